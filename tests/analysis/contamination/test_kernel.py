"""Tests of the share of an endless road's effect that one piece carries."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy.integrate import quad
from scipy.special import iti0k0, k0e

from sitebook.analysis.contamination.kernel import piece_weight, segment_weight

ENDS = st.floats(-300.0, 300.0)
LENGTHS = st.floats(0.5, 200.0)
DISTANCES = st.floats(0.0, 200.0)
SCALES = st.sampled_from([2.4, 5.0, 14.0, 20.0, 50.0, 125.0])


@pytest.mark.source(
    item="C5",
    what="endless road, d = 1 m, length 10 m",
    value="0.904837418036",
    source="exp(-1/10)",
    mark="computed",
)
@pytest.mark.source(
    item="C5",
    what="endless road, d = 20 m, length 5 m",
    value="0.018315638889",
    source="exp(-20/5)",
    mark="computed",
)
@pytest.mark.parametrize(
    ("distance", "scale", "share"), [(1.0, 10.0, 0.904837418036), (20.0, 5.0, 0.018315638889)]
)
def test_an_endless_road_falls_exponentially(distance: float, scale: float, share: float) -> None:
    assert_allclose(segment_weight(-np.inf, np.inf, distance, scale), share, rtol=3e-11)
    assert_allclose(segment_weight(-1e4, 1e4, distance, scale), share, rtol=3e-11)


@pytest.mark.source(
    item="C6",
    what="share of [-50,50] at 10 m, length 10 m",
    value="0.365900768314",
    source="25-digit quadrature",
    mark="computed",
)
@pytest.mark.source(
    item="C6",
    what="share of [0,100] at 10 m, length 10 m",
    value="0.183934557749",
    source="25-digit quadrature",
    mark="computed",
)
@pytest.mark.source(
    item="C6",
    what="share of [20,120] at 10 m, length 10 m",
    value="0.025074097473",
    source="25-digit quadrature",
    mark="computed",
)
@pytest.mark.source(
    item="C6",
    what="share of [-30,70] at 5 m, length 20 m",
    value="0.718134237622",
    source="25-digit quadrature",
    mark="computed",
)
@pytest.mark.source(
    item="C6",
    what="share of [-1000,1000] at 30 m, length 50 m",
    value="0.548811635740",
    source="25-digit quadrature",
    mark="computed",
)
@pytest.mark.source(
    item="C6",
    what="share of [-100,100] at 0.5 m, length 5 m",
    value="0.904837417679",
    source="25-digit quadrature",
    mark="computed",
)
@pytest.mark.source(
    item="C6",
    what="share of [0,25] at 4 m, length 50 m",
    value="0.257688077477",
    source="25-digit quadrature",
    mark="computed",
)
def test_pieces_of_finite_length() -> None:
    share = segment_weight(
        [-50, 0, 20, -30, -1000, -100, 0],
        [50, 100, 120, 70, 1000, 100, 25],
        [10, 10, 10, 5, 30, 0.5, 4],
        [10, 10, 10, 20, 50, 5, 50],
    )
    expected = [
        0.365900768314,
        0.183934557749,
        0.025074097473,
        0.718134237622,
        0.548811635740,
        0.904837417679,
        0.257688077477,
    ]
    assert_allclose(share, expected, rtol=5e-11)


@pytest.mark.source(
    item="C7",
    what="share of [20,120] in line with the place, length 10 m",
    value="0.030913769870",
    source="differences of the integral of K0, good to ten digits",
    mark="computed",
)
@pytest.mark.source(
    item="C7",
    what="share of [-50,50] with the place on it, length 10 m",
    value="0.997829803897",
    source="differences of the integral of K0, good to ten digits",
    mark="computed",
)
def test_places_on_the_line() -> None:
    assert_allclose(segment_weight([20, -50], [120, 50], 0, 10), [0.030913769870, 0.997829803897], rtol=1e-9)


@pytest.mark.source(
    item="",
    what="shares of pieces on whose line the place lies",
    value="differences of the integral of K0",
    source="scipy.special.iti0k0",
    mark="computed",
)
@pytest.mark.parametrize("ends", [(-3.0, 4.0), (0.0, 12.0), (-80.0, 1.0), (2.0, 9.0)])
def test_a_place_on_the_line_agrees_with_the_integral_of_k0(ends: tuple[float, float]) -> None:
    def upto(z: float) -> float:
        return float(np.sign(z) * iti0k0(abs(z))[1])

    expected = (upto(ends[1] / 5.0) - upto(ends[0] / 5.0)) / np.pi
    assert_allclose(segment_weight(*ends, 0.0, 5.0), expected, rtol=1e-9)


def _by_quadrature(low: float, high: float, distance: float, scale: float) -> float:
    """Add up K0 along a piece with an adaptive rule, the fall from its nearest point taken out."""
    nearest = float(np.hypot(distance, max(low, -high, 0.0)))

    def fall(x: float) -> float:
        r = float(np.hypot(x, distance))
        return float(k0e(r / scale) * np.exp((nearest - r) / scale))

    marks = np.geomspace(1e-5, 1e3, 25)
    inside = [float(m) for m in (*-marks, 0.0, *marks) if low < m < high]
    cuts = sorted([low, high, *inside])
    total = sum(quad(fall, a, b, epsabs=0.0, epsrel=1e-12)[0] for a, b in pairwise(cuts))
    return total / (np.pi * scale) * float(np.exp(-nearest / scale))


@pytest.mark.source(
    item="",
    what="shares of 120 random pieces",
    value="adaptive quadrature of K0",
    source="scipy.integrate.quad",
    mark="computed",
)
def test_random_pieces_agree_with_adaptive_quadrature() -> None:
    chance = np.random.default_rng(17)
    for _ in range(120):
        length, scale = chance.choice([1.0, 20.0, 45.0, 300.0]), float(chance.choice([2.4, 5.0, 50.0, 125.0]))
        low = float(chance.uniform(-length, 250.0))
        distance = float(10.0 ** chance.uniform(-3.0, 2.3))
        expected = _by_quadrature(low, low + length, distance, scale)
        assert_allclose(segment_weight(low, low + length, distance, scale), expected, rtol=1e-10)
        quick = piece_weight(np.array([low]), np.array([low + length]), np.array([distance]), scale)
        assert_allclose(quick, expected, rtol=1e-10)


@pytest.mark.parametrize("scale", [2.4, 5.0, 14.0, 20.0, 50.0, 125.0])
def test_few_nodes_agree_with_many(scale: float) -> None:
    chance = np.random.default_rng(3)
    low, length = chance.uniform(-600, 600, 20_000), chance.uniform(0.05, 45.0, 20_000)
    distance = np.abs(chance.normal(0.0, 150.0, 20_000))
    exact = segment_weight(low, low + length, distance, scale)
    assert_allclose(piece_weight(low, low + length, distance, scale), exact, rtol=1e-10)


@pytest.mark.source(
    item="C14",
    what="splitting a piece changes nothing",
    value="sum of both parts = whole, 1e-12",
    source="additivity of an integral",
    mark="computed",
)
@given(ENDS, LENGTHS, st.floats(0.01, 0.99), DISTANCES, SCALES)
def test_splitting_changes_nothing(
    low: float, length: float, at: float, distance: float, scale: float
) -> None:
    cut, high = low + at * length, low + length
    parts = segment_weight([low, cut], [cut, high], distance, scale).sum()
    assert_allclose(parts, segment_weight(low, high, distance, scale), rtol=3e-12, atol=1e-300)


@pytest.mark.source(
    item="C14",
    what="reversing a piece changes nothing",
    value="I(-b,-a) = I(a,b)",
    source="symmetry of the kernel",
    mark="computed",
)
@given(ENDS, LENGTHS, DISTANCES, SCALES)
def test_reversing_changes_nothing(low: float, length: float, distance: float, scale: float) -> None:
    high = low + length
    assert_allclose(
        segment_weight(-high, -low, distance, scale),
        segment_weight(low, high, distance, scale),
        rtol=1e-12,
        atol=1e-300,
    )


@pytest.mark.source(
    item="C14",
    what="scaling all lengths changes nothing",
    value="I(ca,cb,cd,c length) = I(a,b,d,length)",
    source="change of variable",
    mark="computed",
)
@given(ENDS, LENGTHS, DISTANCES, SCALES, st.floats(0.01, 100.0))
def test_scaling_changes_nothing(
    low: float, length: float, distance: float, scale: float, factor: float
) -> None:
    high = low + length
    scaled = segment_weight(factor * low, factor * high, factor * distance, factor * scale)
    assert_allclose(scaled, segment_weight(low, high, distance, scale), rtol=1e-11, atol=1e-300)


@pytest.mark.source(
    item="C14",
    what="a piece never carries more than the endless road, and less from farther off",
    value="I <= exp(-d/length), falling in d",
    source="positivity and fall of K0",
    mark="computed",
)
@given(ENDS, LENGTHS, DISTANCES, st.floats(0.01, 50.0), SCALES)
def test_bounded_and_falling(low: float, length: float, distance: float, more: float, scale: float) -> None:
    near = float(segment_weight(low, low + length, distance, scale))
    far = float(segment_weight(low, low + length, distance + more, scale))
    assert far <= near <= np.exp(-distance / scale) * (1.0 + 1e-12)


def test_arguments_broadcast() -> None:
    share = segment_weight(-10.0, 10.0, np.array([[1.0], [2.0]]), np.array([5.0, 10.0, 50.0]))
    assert share.shape == (2, 3)
    assert_allclose(share[1, 2], segment_weight(-10.0, 10.0, 2.0, 50.0))


def test_swapped_ends_change_the_sign() -> None:
    assert_allclose(segment_weight(50, -50, 10, 10), -segment_weight(-50, 50, 10, 10))


def test_a_piece_very_far_off_adds_nothing() -> None:
    assert segment_weight(-10.0, 10.0, 1e6, 5.0) == 0.0
    assert segment_weight(1e6, 2e6, 1.0, 5.0) == 0.0


@pytest.mark.parametrize(
    "given_values",
    [(0, 1, -1, 5), (0, 1, np.nan, 5), (0, 1, np.inf, 5), (0, 1, 1, 0), (0, 1, 1, -5), (np.nan, 1, 1, 5)],
)
def test_impossible_numbers_are_refused(given_values: tuple[float, float, float, float]) -> None:
    with pytest.raises(ValueError, match=r"road|scale|ends"):
        segment_weight(*given_values)
