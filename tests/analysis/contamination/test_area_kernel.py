"""Tests of the share of the endless plane's effect that an area carries."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from numpy.typing import NDArray
from scipy.integrate import dblquad
from scipy.special import k0, k1
from shapely import MultiPolygon, Polygon, affinity, box
from shapely.geometry.base import BaseGeometry

from sitebook.analysis.contamination.kernel import area_weight

Floats = NDArray[np.float64]

SQUARE = box(0, 0, 40, 40)
FAR_M = 1e4


def star(chance: np.random.Generator, corners: int, radius_m: float) -> Floats:
    """Give corners of a star-shaped outline round the origin, counter-clockwise."""
    angles = (np.arange(corners) + chance.uniform(-0.35, 0.35, corners)) * (2 * np.pi / corners)
    reach = radius_m * chance.uniform(0.5, 1.2, corners)
    return np.column_stack([reach * np.cos(angles), reach * np.sin(angles)])


def holed(seed: int) -> Polygon:
    """Give a polygon with a hole, not convex, 20 to 48 m across its middle."""
    chance = np.random.default_rng(seed)
    return Polygon(star(chance, 7, 40.0), [star(chance, 4, 12.0)])


@pytest.mark.source(
    item="C12",
    what="square of 40 m, length 10 m, at its middle",
    value="0.767346168562",
    source="two-dimensional quadrature, 12 digits",
    mark="computed",
)
@pytest.mark.source(
    item="C12",
    what="square of 40 m, length 10 m, 10 m beside it",
    value="0.143187013405",
    source="two-dimensional quadrature, 12 digits",
    mark="computed",
)
@pytest.mark.source(
    item="C12",
    what="square of 40 m, length 10 m, off its corner",
    value="0.043416881355",
    source="two-dimensional quadrature, 12 digits",
    mark="computed",
)
@pytest.mark.source(
    item="C12",
    what="rectangle of 20 m by 100 m, length 20 m, 5 m beside it",
    value="0.230616655163",
    source="two-dimensional quadrature, 12 digits",
    mark="computed",
)
def test_squares_and_a_rectangle() -> None:
    share = area_weight([[20, 20], [-10, 20], [50, 50]], SQUARE, 10)
    assert_allclose(share, [0.767346168562, 0.143187013405, 0.043416881355], rtol=2e-11)
    assert_allclose(area_weight([[-5, 50]], box(0, 0, 20, 100), 20), 0.230616655163, rtol=2e-11)


@pytest.mark.source(
    item="C13",
    what="half-plane 10 m off, length 10 m",
    value="0.183939720586",
    source="exp(-1) / 2",
    mark="computed",
)
@pytest.mark.source(
    item="C13",
    what="strip from 10 m to 20 m, length 10 m",
    value="0.116272078967",
    source="(exp(-1) - exp(-2)) / 2",
    mark="computed",
)
@pytest.mark.source(
    item="C13",
    what="disc as wide as the length, drawn with 720 corners, at its middle",
    value="0.398090097895",
    source="two-dimensional quadrature, 12 digits",
    mark="computed",
)
@pytest.mark.source(
    item="C13",
    what="disc as wide as the length, at its middle, within the error of 720 corners",
    value="0.398092769803",
    source="1 - K1(1)",
    mark="computed",
)
def test_half_plane_strip_and_disc() -> None:
    assert_allclose(area_weight([[0, 0]], box(10, -FAR_M, FAR_M, FAR_M), 10), 0.183939720586, rtol=1e-11)
    assert_allclose(area_weight([[0, 0]], box(10, -FAR_M, 20, FAR_M), 10), 0.116272078967, rtol=1e-11)
    turn = np.arange(720) * (2 * np.pi / 720)
    drawn = Polygon(10.0 * np.column_stack([np.cos(turn), np.sin(turn)]))
    assert_allclose(area_weight([[0, 0]], drawn, 10), 0.398090097895, rtol=1e-11)
    assert_allclose(area_weight([[0, 0]], drawn, 10), 0.398092769803, atol=3e-6)
    assert_allclose(0.398092769803, 1.0 - k1(1.0), rtol=1e-11)


def by_quadrature(place: Floats, area: Polygon, scale: float) -> float:
    """Add up K0 over the fans of triangles that the place makes with each edge, in two dimensions.

    A triangle from the place to an edge is s (edge point - place) with s from 0 to 1; fans add up to the
    area with the sign of their turning, whichever side the place is on.
    """
    total = 0.0
    for ring, sign in [(area.exterior, 1.0), *((hole, -1.0) for hole in area.interiors)]:
        corners = shapely.get_coordinates(ring) - place
        turning = 1.0 if ring.is_ccw else -1.0
        for a, b in pairwise(corners):
            across = float(a[0] * b[1] - a[1] * b[0])

            def fall(s: float, t: float, a: Floats = a, b: Floats = b) -> float:
                r = s * float(np.hypot(*(a + t * (b - a)))) / scale
                return s * float(k0(r)) if r > 0.0 else 0.0

            part = dblquad(fall, 0.0, 1.0, 0.0, 1.0, epsabs=1e-10, epsrel=1e-10)[0]
            total += sign * turning * across * part
    return total / (2.0 * np.pi * scale**2)


@pytest.mark.source(
    item="",
    what="shares of random polygons with holes",
    value="two-dimensional adaptive quadrature of K0",
    source="scipy.integrate.dblquad",
    mark="computed",
)
@pytest.mark.parametrize(
    ("seed", "place", "scale"),
    [
        (1, (0.0, 0.0), 10.0),
        (2, (15.0, -10.0), 10.0),
        (3, (60.0, 20.0), 50.0),
        (4, (-25.0, 5.0), 25.0),
        (5, (5.0, 70.0), 20.0),
    ],
)
def test_random_polygons_with_holes(seed: int, place: tuple[float, float], scale: float) -> None:
    area, at = holed(seed), np.asarray(place)
    assert_allclose(area_weight([at], area, scale)[0], by_quadrature(at, area, scale), rtol=1e-9)


SEEDS = st.integers(0, 10_000)
PLACES = st.tuples(st.floats(-120, 120), st.floats(-120, 120))
SCALES = st.sampled_from([5.0, 10.0, 50.0, 300.0])


def _same(place: tuple[float, float], before: BaseGeometry, after: BaseGeometry, scale: float) -> None:
    assert_allclose(area_weight([place], after, scale), area_weight([place], before, scale), atol=1e-11)


@settings(max_examples=40)
@given(SEEDS, PLACES, SCALES)
def test_the_direction_of_rings_and_their_first_corner_change_nothing(
    seed: int, place: tuple[float, float], scale: float
) -> None:
    area = holed(seed)
    outer, hole = shapely.get_coordinates(area.exterior), shapely.get_coordinates(area.interiors[0])
    _same(place, area, Polygon(outer[::-1], [hole]), scale)
    _same(place, area, Polygon(outer, [hole[::-1]]), scale)
    _same(place, area, Polygon(np.roll(outer[:-1], 3, axis=0), [hole]), scale)


@settings(max_examples=40)
@given(SEEDS, PLACES, SCALES, st.floats(0.7, 30.0))
def test_splitting_edges_changes_nothing(
    seed: int, place: tuple[float, float], scale: float, longest_m: float
) -> None:
    area = holed(seed)
    _same(place, area, shapely.segmentize(area, longest_m), scale)


@settings(max_examples=40)
@given(SEEDS, PLACES, SCALES, st.floats(-180, 180), st.tuples(st.floats(-1e5, 1e5), st.floats(-1e5, 1e5)))
def test_turning_and_moving_everything_changes_nothing(
    seed: int, place: tuple[float, float], scale: float, turn_deg: float, shift: tuple[float, float]
) -> None:
    def moved(shape: BaseGeometry) -> BaseGeometry:
        return affinity.translate(affinity.rotate(shape, turn_deg, origin=(0, 0)), *shift)

    at = shapely.get_coordinates(moved(shapely.Point(place)))
    before = area_weight([place], holed(seed), scale)
    assert_allclose(area_weight(at, moved(holed(seed)), scale), before, atol=1e-9)


@settings(max_examples=40)
@given(SEEDS, PLACES, SCALES, st.floats(0.01, 100.0))
def test_scaling_all_lengths_changes_nothing(
    seed: int, place: tuple[float, float], scale: float, factor: float
) -> None:
    grown = affinity.scale(holed(seed), factor, factor, origin=(0, 0))
    at = [(factor * place[0], factor * place[1])]
    assert_allclose(
        area_weight(at, grown, factor * scale), area_weight([place], holed(seed), scale), atol=1e-11
    )


@settings(max_examples=40)
@given(SEEDS, PLACES, SCALES)
def test_parts_add_up_to_the_whole_and_stay_between_nothing_and_all(
    seed: int, place: tuple[float, float], scale: float
) -> None:
    area = holed(seed)
    filled, plug = Polygon(area.exterior), Polygon(area.interiors[0])
    parts = area_weight([place], area, scale) + area_weight([place], plug, scale)
    assert_allclose(parts, area_weight([place], filled, scale), atol=1e-11)
    far: Polygon = affinity.translate(plug, 300.0, 0.0)
    both = area_weight([place], MultiPolygon([area, far]), scale)
    assert_allclose(both, area_weight([place], area, scale) + area_weight([place], far, scale), atol=1e-11)
    assert 0.0 - 1e-12 <= both[0] <= 1.0 + 1e-12


def test_on_an_edge_it_is_a_half_and_on_a_corner_a_quarter() -> None:
    plane = box(0, 0, FAR_M, FAR_M)
    share = area_weight([[0, 5000], [0, 0], [5000, 5000]], plane, 10)
    assert_allclose(share, [0.5, 0.25, 1.0], atol=1e-12)


def test_corners_and_edges_that_are_no_round_numbers() -> None:
    area = affinity.translate(affinity.rotate(box(0, 0, 3000, 3000), 17.3, origin=(0, 0)), 611.7, -233.9)
    corners = shapely.get_coordinates(area)
    share = area_weight(np.concatenate([corners[:4], 0.5 * (corners[:-1] + corners[1:])]), area, 10)
    assert_allclose(share, [0.25] * 4 + [0.5] * 4, atol=1e-10)


def test_the_share_runs_smoothly_across_edges_and_corners() -> None:
    steps = np.array([-1e-3, -1e-6, -1e-9, -1e-12, 0.0, 1e-12, 1e-9, 1e-6, 1e-3])
    across_edge = area_weight(np.column_stack([steps, np.full(9, 20.0)]), SQUARE, 10)
    across_corner = area_weight(np.column_stack([steps, steps]), SQUARE, 10)
    for share in (across_edge, across_corner):
        assert np.all(np.diff(share) >= -1e-13)
        assert_allclose(share, share[4], atol=1e-3)
        assert_allclose(share[2:7], share[4], atol=1e-9)


def test_inside_a_hole_only_the_ground_round_it_counts() -> None:
    ring = Polygon(box(-50, -50, 50, 50).exterior, [box(-20, -20, 20, 20).exterior])
    filled, plug = (area_weight([[0, 0]], box(-half, -half, half, half), 10) for half in (50.0, 20.0))
    share = float(area_weight([[0, 0]], ring, 10)[0])
    assert share == pytest.approx(float(filled[0] - plug[0]))
    assert 0.0 < share < 0.3


def test_huge_tiny_and_far_areas() -> None:
    huge = box(-1e6, -1e6, 1e6, 1e6)
    assert_allclose(area_weight([[0.0, 0.0], [0.0, 1e6]], huge, 10), [1.0, 0.5], atol=1e-12)
    assert_allclose(area_weight([[0, 0]], huge, 1e-3), [1.0], atol=1e-12)
    tiny = box(10, 0, 10.001, 0.001)
    assert_allclose(area_weight([[0, 0]], tiny, 10), 1e-6 * k0(1.0) / (200 * np.pi), rtol=3e-4)
    assert_allclose(area_weight([[0, 0]], box(1000, -500, 1400, 500), 10), 0.0, atol=1e-15)
    long = area_weight([[0, 0]], box(-2000, 30, 2000, 60), 50)
    assert_allclose(long, (np.exp(-0.6) - np.exp(-1.2)) / 2, rtol=1e-11)


def test_a_corner_given_twice_and_no_places() -> None:
    doubled = Polygon([(0, 0), (40, 0), (40, 0), (40, 40), (0, 40)])
    assert_allclose(area_weight([[50, 50]], doubled, 10), 0.043416881355, rtol=2e-11)
    assert area_weight(np.empty((0, 2)), SQUARE, 10).shape == (0,)
    assert_allclose(area_weight([[1, 1]], Polygon(), 10), [0.0])


def test_what_is_no_area_is_refused_in_words() -> None:
    bow = Polygon([(0, 0), (10, 10), (10, 0), (0, 10)])
    with pytest.raises(ValueError, match="area 0 cannot be used: Self-intersection"):
        area_weight([[0, 0]], bow, 10)
    with pytest.raises(ValueError, match="is no area: it is a LineString"):
        area_weight([[0, 0]], shapely.LineString([(0, 0), (1, 1)]), 10)
    with pytest.raises(ValueError, match="a length scale"):
        area_weight([[0, 0]], SQUARE, 0.0)
    with pytest.raises(ValueError, match="a place is not a finite pair"):
        area_weight([[0, np.inf]], SQUARE, 10)
