"""Tests of the traffic index."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from numpy.typing import ArrayLike, NDArray

from sitebook.analysis.contamination import roads
from sitebook.analysis.contamination.kernel import segment_weight
from sitebook.analysis.contamination.roads import line_shares, traffic_index

Floats = NDArray[np.float64]

ENDLESS = [[[-5000.0, 0.0], [5000.0, 0.0]]]
CORNER = [[-200.0, 20.0], [30.0, 20.0], [30.0, -300.0]]


@pytest.mark.source(
    item="C8",
    what="[-50,50] at 10 m",
    value="0.230894000684",
    source="25-digit quadrature",
    mark="computed",
)
@pytest.mark.source(
    item="C8",
    what="[0,100] at 10 m",
    value="0.129878369696",
    source="25-digit quadrature",
    mark="computed",
)
@pytest.mark.source(
    item="C8",
    what="[20,120] at 10 m",
    value="0.043530660272",
    source="25-digit quadrature",
    mark="computed",
)
@pytest.mark.parametrize(
    ("start", "end", "index"),
    [(-50, 50, 0.230894000684), (0, 100, 0.129878369696), (20, 120, 0.043530660272)],
)
def test_finite_roads(start: float, end: float, index: float) -> None:
    assert_allclose(traffic_index([[0, 10]], [[[start, 0], [end, 0]]], 10_000), index, rtol=5e-11)


@pytest.mark.source(
    item="C9",
    what="index of an L-shaped road with 8905 vehicles a day",
    value="0.170028282691",
    source="25-digit quadrature",
    mark="computed",
)
def test_a_road_with_a_corner() -> None:
    assert_allclose(traffic_index([[0, 0]], [CORNER], 8905), 0.170028282691, rtol=5e-11)


@pytest.mark.source(
    item="C9",
    what="shares of the L's two legs, lengths 5 m and 50 m",
    value="0.018198079669, 0.002322619765; 0.505968659124, 0.366627278070",
    source="25-digit quadrature",
    mark="computed",
)
def test_the_legs_of_the_corner() -> None:
    short = segment_weight([-200, -20], [30, 300], [20, 30], 5)
    long = segment_weight([-200, -20], [30, 300], [20, 30], 50)
    assert_allclose(short, [0.018198079669, 0.002322619765], rtol=2e-10)
    assert_allclose(long, [0.505968659124, 0.366627278070], rtol=2e-10)


@pytest.mark.source(
    item="C15",
    what="index at 0, 1, 2, 5, 10, 20, 30, 50, 100, 150, 200 and 300 m",
    value="1, 0.851024, 0.728414, 0.475271, 0.272014, 0.148717, 0.111745, 0.073612, 0.027067, 0.009957, "
    "0.003663, 0.000496",
    source="0.8 exp(-d/5) + 0.2 exp(-d/50)",
    mark="computed",
)
def test_an_endless_road_at_twelve_distances() -> None:
    table = {
        0: 1.0,
        1: 0.851024,
        2: 0.728414,
        5: 0.475271,
        10: 0.272014,
        20: 0.148717,
        30: 0.111745,
        50: 0.073612,
        100: 0.027067,
        150: 0.009957,
        200: 0.003663,
        300: 0.000496,
    }
    places = [[0.0, float(distance)] for distance in table]
    index = traffic_index(places, ENDLESS, 10_000)
    assert_allclose(index, list(table.values()), atol=5.1e-7)
    assert np.all(np.diff(index) < 0.0)


@pytest.mark.source(
    item="C16",
    what="index at 6 m over index at 18 m",
    value="2.59203456",
    source="0.8 exp(-d/5) + 0.2 exp(-d/50)",
    mark="computed",
)
@pytest.mark.source(
    item="C16",
    what="lead above the low-traffic road at 6 m over that at 18 m, within 1 %",
    value="64.9 / 25.0 = 2.596",
    source="Lead levels in vegetation and soils near highways, Va J Sci 26(2), abstract",
    mark="computed",
)
def test_the_fall_of_lead_beside_a_virginian_road() -> None:
    near, far = traffic_index([[0, 6], [0, 18]], ENDLESS, 10_000)
    assert_allclose(near / far, 2.59203456, rtol=3e-9)
    assert_allclose(near / far, (87.3 - 22.4) / (47.4 - 22.4), rtol=0.01)


def _town(seed: int, roads: int = 400) -> tuple[list[Floats], Floats, Floats]:
    chance = np.random.default_rng(seed)
    starts = chance.uniform(-1500, 1500, (roads, 1, 2))
    steps = chance.uniform(-60, 60, (roads, 3, 2))
    lines = list(np.concatenate([starts, starts + np.cumsum(steps, axis=1)], axis=1))
    traffic = np.asarray(chance.choice([8905.0, 1000.0, 500.0, 250.0], roads), dtype=np.float64)
    return lines, traffic, chance.uniform(1.5, 7.0, roads)


def _node_by_node(place: Floats, lines: list[Floats], traffic: Floats, half_width: Floats) -> float:
    """Add up every straight piece within 1,000 m with the 24-node rule, one by one."""
    total = 0.0
    for line, vehicles, half in zip(lines, traffic, half_width, strict=True):
        for start, end in pairwise(line):
            length = float(np.hypot(*(end - start)))
            along = (end - start) / length
            begin = float((start - place) @ along)
            beside = abs(float(np.cross(np.append(start - place, 0.0), np.append(along, 0.0))[2]))
            if np.hypot(beside, max(begin, -begin - length, 0.0)) > 1000.0:
                continue
            for scale, share in ((5.0, 0.8), (50.0, 0.2)):
                weight = segment_weight(begin, begin + length, max(beside, half), scale)
                total += vehicles / 1e4 * share * np.exp(half / scale) * float(weight)
    return total


@pytest.mark.parametrize("with_width", [False, True])
def test_a_town_agrees_with_the_24_node_rule_piece_by_piece(with_width: bool) -> None:
    lines, traffic, half = _town(5)
    half = half if with_width else np.zeros_like(half)
    places = np.random.default_rng(6).uniform(-800, 800, (6, 2))
    places[0] = lines[0][1]
    places[1] = 0.5 * (lines[1][0] + lines[1][1])
    expected = [_node_by_node(place, lines, traffic, half) for place in places]
    assert_allclose(traffic_index(places, lines, traffic, half_width_m=half), expected, rtol=1e-9)


def test_the_shares_of_lines_add_up_to_the_index() -> None:
    lines, traffic, half = _town(8)
    places = np.random.default_rng(9).uniform(-900, 900, (40, 2))
    shares = line_shares(places, lines, half_width_m=half)
    assert_allclose(
        shares @ (traffic / 1e4), traffic_index(places, lines, traffic, half_width_m=half), rtol=1e-12
    )


@pytest.mark.parametrize("half", [2.0, 4.5, 7.0])
def test_the_kerb_of_an_endless_road_has_index_one(half: float) -> None:
    places = [[0.0, 0.0], [3.0, half], [0.0, half + 10.0]]
    index = traffic_index(places, ENDLESS, 10_000, half_width_m=half)
    assert_allclose(index, [1.0, 1.0, 0.8 * np.exp(-2.0) + 0.2 * np.exp(-0.2)], rtol=1e-9)


@settings(max_examples=40)
@given(st.integers(0, 10_000), st.floats(0.0, 2 * np.pi), st.floats(-1e5, 1e5), st.floats(-1e5, 1e5))
def test_turning_and_moving_everything_changes_nothing(
    seed: int, turn: float, east: float, north: float
) -> None:
    lines, traffic, half = _town(seed, roads=12)
    place = np.zeros((1, 2))
    rotation = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])

    def moved(shape: ArrayLike) -> Floats:
        return np.asarray(np.asarray(shape) @ rotation.T + np.array([east, north]))

    before = traffic_index(place, lines, traffic, half_width_m=half)
    after = traffic_index(moved(place), [moved(line) for line in lines], traffic, half_width_m=half)
    assert_allclose(after, before, rtol=1e-7, atol=1e-12)


@settings(max_examples=40)
@given(st.integers(0, 10_000), st.floats(0.02, 0.98))
def test_splitting_and_reversing_roads_changes_nothing(seed: int, at: float) -> None:
    chance = np.random.default_rng(seed)
    lines = [chance.uniform(-300, 300, (2, 2)) for _ in range(6)]
    traffic = chance.uniform(100, 20_000, 6)
    cuts = [line[0] + at * (line[1] - line[0]) for line in lines]
    split = [part for line, cut in zip(lines, cuts, strict=True) for part in ([line[0], cut], [cut, line[1]])]
    before = traffic_index([[0, 0]], lines, traffic)
    assert_allclose(traffic_index([[0, 0]], split, np.repeat(traffic, 2)), before, rtol=1e-9)
    assert_allclose(traffic_index([[0, 0]], [line[::-1] for line in lines], traffic), before, rtol=1e-10)


def test_the_same_road_twice_weighs_twice() -> None:
    once = traffic_index([[0, 10]], [CORNER], 500)
    assert_allclose(traffic_index([[0, 10]], [CORNER, CORNER], 500), 2 * once)


def test_a_vertex_given_twice_changes_nothing() -> None:
    doubled: ArrayLike = [CORNER[0], CORNER[1], CORNER[1], CORNER[2]]
    assert_allclose(traffic_index([[0, 0]], [doubled], 8905), traffic_index([[0, 0]], [CORNER], 8905))


def test_a_long_straight_piece_is_cut_without_a_change() -> None:
    whole = traffic_index([[0, 15]], [[[-900, 0], [700, 0]]], 1000)
    expected = 0.1 * (0.8 * segment_weight(-900, 700, 15, 5) + 0.2 * segment_weight(-900, 700, 15, 50))
    assert_allclose(whole, expected, rtol=1e-10)


def test_a_road_beyond_the_reach_adds_nothing() -> None:
    index = traffic_index([[0, 0]], [[[-50, 1001], [50, 1001]], [[-50, 999], [50, 999]]], [1e9, 0.0])
    assert index[0] == 0.0
    assert traffic_index([[0, 0]], [[[-50, 999], [50, 999]]], 1e9)[0] > 0.0


def test_no_roads_and_no_places() -> None:
    assert_allclose(traffic_index([[0, 0], [5, 5]], [], 100), [0.0, 0.0])
    assert traffic_index(np.empty((0, 2)), [CORNER], 100).shape == (0,)
    assert_allclose(traffic_index([[0, 0]], [[[3, 3], [3, 3]]], 100), [0.0])


def test_traffic_below_zero_is_refused() -> None:
    with pytest.raises(ValueError, match="traffic of a line"):
        traffic_index([[0, 0]], [CORNER], -1)
    with pytest.raises(ValueError, match="half the width of a line"):
        traffic_index([[0, 0]], [CORNER], 1, half_width_m=np.nan)
    with pytest.raises(ValueError, match="a place is not a finite pair"):
        traffic_index([[0, np.nan]], [CORNER], 1)
    with pytest.raises(ValueError, match="line 0 is not a list of pairs"):
        traffic_index([[0, 0]], [[[0.0, np.inf], [1.0, 1.0]]], 1)


@pytest.mark.parametrize("block", [500, 120_000])
def test_many_places_at_once_agree_with_one_by_one(block: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(roads, "BLOCK_PAIRS", block)
    lines, traffic, half = _town(11)
    lines += [np.array([[-4000.0, 300.0], [3000.0, -900.0]]), np.array([[100.0, 100.0], [100.0, 400.0]])]
    traffic, half = np.append(traffic, [8905.0, 500.0]), np.append(half, [4.5, 2.5])
    places = np.concatenate([np.random.default_rng(12).uniform(-1800, 1800, (60, 2)), lines[5], lines[-1]])
    together = traffic_index(places, lines, traffic, half_width_m=half)
    alone = [traffic_index([place], lines, traffic, half_width_m=half)[0] for place in places]
    assert_allclose(together, alone, rtol=1e-12)
    expected = [_node_by_node(place, lines, traffic, half) for place in places[-4:]]
    assert_allclose(together[-4:], expected, rtol=1e-9)
