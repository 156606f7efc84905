"""Tests of the traffic index with its band and the parameter that drives it."""

from __future__ import annotations

import datetime
import math
import uuid
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from numpy.typing import NDArray
from shapely.geometry import LineString

from sitebook.analysis.contamination.kernel import segment_weight
from sitebook.analysis.contamination.road_index import index_at
from sitebook.analysis.contamination.roads import traffic_index
from sitebook.analysis.contamination.traffic import Road, network
from sitebook.ground.projection import LocalMetres
from sitebook.records.map_data import Way
from sitebook.records.results.contamination import Band
from sitebook.records.results.road_index import IndexAt

Floats = NDArray[np.float64]
TODAY = datetime.date(2025, 6, 1)
ENDLESS = [(-9000.0, 0.0), (9000.0, 0.0)]
CLASSES = ("motorway", "primary", "tertiary", "residential", "service")


def _road(line: Any, vehicles: float = 8905.0, half: float = 0.0, **given: Any) -> Road:  # noqa: ANN401
    fixed = {"name": "Long Quay", "road_class": "primary", "source": "s", "mark": "secondary", **given}
    band = Band(vehicles, vehicles / 3.0, vehicles * 3.0)
    return Road(line_m=np.asarray(line, dtype=np.float64), traffic=band, half_width_m=half, **fixed)


def _one(place: tuple[float, float], roads: list[Road], uncertainty_m: float = 0.0) -> IndexAt:
    (found,) = index_at([place], roads, uncertainty_m=uncertainty_m)
    return found


def _effect(found: IndexAt, name: str) -> tuple[float, float]:
    (effect,) = [effect for effect in found.effects if effect.name == name]
    return effect.low, effect.high


def _town(seed: int, size: int = 12) -> list[Road]:
    chance = np.random.default_rng(seed)
    roads = []
    for _ in range(size):
        line = np.cumsum(
            np.vstack([chance.uniform(-250, 250, (1, 2)), chance.uniform(-60, 60, (3, 2))]), axis=0
        )
        vehicles = float(chance.choice([37290.0, 8905.0, 500.0, 250.0, 0.0]))
        roads.append(_road(line, vehicles, float(chance.uniform(0, 7)), name=str(chance.integers(5))))
    return roads


def _curve(distance_m: float) -> float:
    return 0.8905 * (0.8 * math.exp(-distance_m / 5.0) + 0.2 * math.exp(-distance_m / 50.0))


@pytest.mark.source(
    item="",
    what="12 m, within 10 m, from an endless primary road: index, and its range by position alone",
    value="0.20, 0.12 to 0.65",
    source="0.8905 (0.8 exp(-d/5) + 0.2 exp(-d/50)) at 12, 22 and 2 m",
    mark="computed",
)
@pytest.mark.parametrize("turn", [0.0, 0.3, 1.0])
def test_the_position_moves_the_index_most_beside_a_road(turn: float) -> None:
    ends = 9000.0 * np.array([[math.cos(turn), math.sin(turn)]])
    place = (-12.0 * math.sin(turn), 12.0 * math.cos(turn))
    found = _one(place, [_road(np.vstack([-ends, ends]))], uncertainty_m=10.0)
    assert found.index.central == pytest.approx(_curve(12.0), rel=1e-9)
    assert _effect(found, "position") == pytest.approx((_curve(22.0), _curve(2.0)), rel=1e-5)
    assert [round(value, 2) for value in (found.index.central, *_effect(found, "position"))] == [
        0.2,
        0.12,
        0.65,
    ]
    assert (found.edge_m, found.nearest_edge_m) == pytest.approx((12.0, 2.0))


@pytest.mark.source(
    item="",
    what="each parameter alone, 12 m from an endless primary road",
    value="ends of coarse and fine length, shares, power and vehicles put into the curve",
    source="N/10,000 to the power b times (w exp(-d/l) + (1-w) exp(-d/m))",
    mark="computed",
)
def test_each_parameter_alone_and_all_together() -> None:
    found = _one((0.0, 12.0), [_road(ENDLESS)])

    def curve(coarse: float = 5.0, fine: float = 50.0, share: float = 0.8, load: float = 0.8905) -> float:
        return load * (share * math.exp(-12.0 / coarse) + (1.0 - share) * math.exp(-12.0 / fine))

    middle = curve()
    expected = {
        "coarse_scale": (curve(coarse=2.4), curve(coarse=14.0)),
        "fine_scale": (curve(fine=20.0), curve(fine=125.0)),
        "shares": (curve(share=0.95), curve(share=0.6)),
        "traffic_power": (middle, curve(load=0.8905**0.5)),
        "traffic": (middle / 3.0, 3.0 * middle),
    }
    for name, ends in expected.items():
        assert _effect(found, name) == pytest.approx(ends, rel=2e-4), name
    up = math.sqrt(sum((high - middle) ** 2 for _, high in expected.values()))
    down = math.sqrt(sum(math.log(middle / low) ** 2 for low, _ in expected.values()))
    assert found.index.high == pytest.approx(middle + up, rel=1e-3)
    assert found.index.low == pytest.approx(middle * math.exp(-down), rel=1e-3)
    widths = [effect.high - effect.low for effect in found.effects]
    assert widths == sorted(widths, reverse=True)
    assert found.driver == "how many vehicles pass"


def test_busy_roads_weigh_less_by_the_square_root() -> None:
    found = _one((0.0, 12.0), [_road(ENDLESS, 40_000.0)])
    low, high = _effect(found, "traffic_power")
    assert (low, high) == pytest.approx((found.index.central / 2.0, found.index.central))


def test_the_centre_is_that_of_the_traffic_index() -> None:
    roads = _town(3, 40)
    places = np.random.default_rng(4).uniform(-250, 250, (20, 2))
    expected = traffic_index(
        places,
        [road.line_m for road in roads],
        [road.traffic.central for road in roads],
        half_width_m=[road.half_width_m for road in roads],
    )
    assert_allclose([at.index.central for at in index_at(places, roads)], expected, rtol=1e-8)


@pytest.mark.source(
    item="",
    what="edge rule on an endless road of 9 m width",
    value="the index at d from the middle is that at max(d - 4.5, 0) from a road without width",
    source="0.8 exp(-d/5) + 0.2 exp(-d/50)",
    mark="computed",
)
@pytest.mark.parametrize("distance_m", [0.0, 3.0, 4.5, 6.0, 20.0, 90.0])
def test_the_edge_rule_is_exact_on_an_endless_road(distance_m: float) -> None:
    found = _one((0.0, distance_m), [_road(ENDLESS, half=4.5)])
    assert found.index.central == pytest.approx(_curve(max(distance_m - 4.5, 0.0)), rel=1e-8)
    assert found.edge_m == max(distance_m - 4.5, 0.0)


@pytest.mark.source(
    item="",
    what="edge rule on a network of streets against the distance from the edge piece by piece",
    value="differ, by a median below 1 %",
    source="both rules added up with 24 nodes; a larger network gave a median of 0.04 %",
    mark="computed",
)
def test_the_edge_rule_differs_little_on_a_network() -> None:
    grid = [((80.0 * k, -400.0), (80.0 * k, 400.0)) for k in range(-5, 6)]
    streets = [_road(line, 500.0, 2.5) for line in grid] + [
        _road([p[::-1] for p in line], 500.0, 2.5) for line in grid
    ]
    places = np.random.default_rng(1).uniform(-100, 100, (60, 2))
    ours = np.array([at.index.central for at in index_at(places, streets)])
    plain = np.array([_from_the_edge(place, streets) for place in places])
    apart = np.abs(ours / plain - 1.0)
    assert 1e-7 < np.median(apart) < 0.01
    assert np.max(apart) < 0.05


def _from_the_edge(place: Floats, roads: list[Road]) -> float:
    total = 0.0
    for road in roads:
        start, end = road.line_m
        length = float(np.hypot(*(end - start)))
        along = (end - start) / length
        away = start - place
        begin, beside = float(away @ along), abs(float(away[0] * along[1] - away[1] * along[0]))
        distance = max(beside - road.half_width_m, 0.0)
        for scale, share in ((5.0, 0.8), (50.0, 0.2)):
            weight = float(segment_weight(begin, begin + length, distance, scale))
            total += road.traffic.central / 1e4 * share * weight
    return total


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 10_000), st.sampled_from([0.0, 7.0, 20.0]))
def test_no_road_added_lowers_the_index_or_its_upper_end(seed: int, uncertainty_m: float) -> None:
    roads = _town(seed)
    places = np.random.default_rng(seed).uniform(-150, 150, (4, 2))
    found = [index_at(places, roads[:k], uncertainty_m=uncertainty_m) for k in (0, 4, 8, 11, 12)]
    for fewer, more in pairwise(found):
        for one, other in zip(fewer, more, strict=True):
            assert other.index.central >= one.index.central * (1.0 - 1e-12)
            assert other.index.high >= one.index.high * (1.0 - 1e-12)
            assert other.edge_m <= one.edge_m


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 10_000))
def test_a_wider_uncertainty_never_narrows_the_band(seed: int) -> None:
    roads, place = _town(seed), [np.random.default_rng(seed).uniform(-150, 150, 2)]
    found = [index_at(place, roads, uncertainty_m=u)[0] for u in (0.0, 5.0, 10.0, 20.0, 40.0, 80.0)]
    for one, other in pairwise(found):
        assert other.index.high >= one.index.high * (1.0 - 1e-9)
        assert other.index.low <= one.index.low * (1.0 + 1e-9) + 1e-15
        assert other.index.low <= other.index.central <= other.index.high


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 10_000), st.floats(0.0, 2 * np.pi), st.floats(-1e5, 1e5), st.floats(-1e5, 1e5))
def test_turning_and_moving_the_map_changes_nothing(
    seed: int, turn: float, east: float, north: float
) -> None:
    roads, place = _town(seed), np.random.default_rng(seed).uniform(-150, 150, (1, 2))
    rotation = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    shift = np.array([east, north])
    moved = [
        _road(road.line_m @ rotation.T + shift, road.traffic.central, road.half_width_m, name=road.name)
        for road in roads
    ]
    before, after = index_at(place, roads)[0], index_at(place @ rotation.T + shift, moved)[0]
    for name in ("central", "low", "high"):
        assert_allclose(getattr(after.index, name), getattr(before.index, name), rtol=1e-6, atol=1e-12)
    assert_allclose(after.edge_m, before.edge_m, atol=1e-6)


FRAME = LocalMetres(-19.4, 48.6)


def _way(line: Any, road_class: str, frame: LocalMetres = FRAME, **given: Any) -> Way:  # noqa: ANN401
    shape = LineString(frame.to_degrees(line))
    return Way(uuid=str(uuid.uuid4()), road_class=road_class, geom=shape, **given)


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 10_000))
def test_how_ways_are_cut_ordered_and_drawn_changes_nothing(seed: int) -> None:
    chance = np.random.default_rng(seed)
    whole, cut = [], []
    for _ in range(10):
        line = np.cumsum(
            np.vstack([chance.uniform(-250, 250, (1, 2)), chance.uniform(-60, 60, (3, 2))]), axis=0
        )
        oneway = bool(chance.integers(2))
        tags: dict[str, Any] = {
            "oneway": oneway,
            "tunnel": bool(chance.integers(5) == 0),
            "name": f"Lane {chance.integers(4)}",
        }
        word = str(chance.choice(CLASSES))
        middle = line[1] + chance.uniform(0.1, 0.9) * (line[2] - line[1])
        parts = [np.vstack([line[:2], middle]), np.vstack([middle, line[2:]])]
        parts = [part if oneway else part[::-1] for part in parts]
        whole.append(_way(line, word, **tags))
        cut += [_way(part, word, **tags) for part in parts]
    cut = [cut[int(number)] for number in chance.permutation(len(cut))]
    places = chance.uniform(-150, 150, (3, 2))
    one, other = (
        index_at(places, network(ways, [], FRAME, today=TODAY).roads, uncertainty_m=8.0)
        for ways in (whole, cut)
    )
    for before, after in zip(one, other, strict=True):
        for name in ("central", "low", "high"):
            assert_allclose(getattr(after.index, name), getattr(before.index, name), rtol=1e-6, atol=1e-12)


@pytest.mark.parametrize(("lon", "lat"), [(180.0, -16.5), (-179.99999, 70.0), (18.9, 70.0)])
def test_the_seam_and_far_north(lon: float, lat: float) -> None:
    frame = LocalMetres(lon, lat)
    way = _way([(-900.0, 20.0), (900.0, 20.0)], "primary", frame)
    roads = network([way], [], frame, today=TODAY).roads
    (found,) = index_at([[0.0, 0.0]], roads, uncertainty_m=5.0)
    assert found.index.central == pytest.approx(_curve(20.0 - 4.5), rel=1e-6)
    assert found.roads[0].direction == "north"


def test_no_roads() -> None:
    (found,) = index_at([[0.0, 0.0]], [], uncertainty_m=10.0)
    assert found == IndexAt(Band(0.0, 0.0, 0.0), (), math.inf, math.inf, ())
    assert found.driver == ""
    assert index_at(np.empty((0, 2)), [_road(ENDLESS)]) == ()


def test_a_road_beyond_the_reach_adds_nothing() -> None:
    found = _one((0.0, 1001.0), [_road(ENDLESS)])
    assert (found.index, found.edge_m, found.roads) == (Band(0.0, 0.0, 0.0), math.inf, ())


@pytest.mark.parametrize("place", [(0.0, 0.0), (100.0, 0.0), (37.5, 0.0)])
def test_a_place_on_a_road(place: tuple[float, float]) -> None:
    bent = _road([(-9000.0, 0.0), (100.0, 0.0), (9000.0, 0.0)], half=4.5)
    found = _one(place, [bent], uncertainty_m=10.0)
    assert found.index.central == pytest.approx(0.8905, rel=1e-6)
    assert found.edge_m == found.nearest_edge_m == 0.0
    assert found.roads[0].direction == ""
    assert found.roads[0].reason == "primary road with about 8,900 vehicles a day, the place lies on it"
    assert _effect(found, "position") == pytest.approx((_curve(5.5), 0.8905), rel=1e-6)


def test_a_count_of_none_still_has_an_upper_end() -> None:
    road = Road("Kiln Lane", "residential", np.array(ENDLESS), Band(0.0, 0.0, 300.0), "s", "computed")
    found = _one((0.0, 5.0), [road])
    assert (found.index.central, found.index.low) == (0.0, 0.0)
    assert found.index.high == pytest.approx(0.03 * (0.8 * math.exp(-1.0) + 0.2 * math.exp(-0.1)), rel=1e-6)
    assert found.driver == "how many vehicles pass"


def test_five_nearest_roads_and_the_strongest() -> None:
    lanes = [_road([(-20, y), (20, y)], 250.0, name=f"Lane {y}") for y in (40, 50, 60, 70, 80, 90)]
    lanes += [_road([(20, 40), (60, 40)], 250.0, name="Lane 40")]
    found = _one((0.0, 0.0), [*lanes, _road([(-900, -120), (900, -120)], 37290.0, name="Coast Way")])
    assert [road.name for road in found.roads] == [*(f"Lane {y}" for y in (40, 50, 60, 70, 80)), "Coast Way"]
    first, last = found.roads[0], found.roads[-1]
    assert (first.distance_m, first.edge_m, first.direction) == pytest.approx((40.0, 40.0, "north"))
    assert (last.vehicles_per_day, last.vehicles_low, last.vehicles_high) == (37290.0, 12430.0, 111870.0)
    assert last.low < last.value < last.high
    alone = _one((0.0, 0.0), [lanes[0], lanes[-1]])
    assert (first.value, first.low, first.high) == pytest.approx(
        (alone.index.central, alone.index.low, alone.index.high)
    )


def test_many_places_agree_with_one_by_one() -> None:
    roads, places = _town(9, 30), np.random.default_rng(2).uniform(-200, 200, (15, 2))
    for together, place in zip(index_at(places, roads, uncertainty_m=12.0), places, strict=True):
        alone = index_at([place], roads, uncertainty_m=12.0)[0]
        assert_allclose(together.index.high, alone.index.high, rtol=1e-10)
        assert [road.name for road in together.roads] == [road.name for road in alone.roads]


@pytest.mark.parametrize("uncertainty_m", [-1.0, math.nan, math.inf])
def test_an_impossible_uncertainty_is_refused(uncertainty_m: float) -> None:
    with pytest.raises(ValueError, match="uncertainty of a position"):
        index_at([[0.0, 0.0]], [], uncertainty_m=uncertainty_m)
