"""Tests that the two carriageways of one road are not counted twice over."""

from __future__ import annotations

import datetime
import uuid
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Point

from sitebook.analysis.contamination.carriageways import twins_of
from sitebook.analysis.contamination.stretches import cut, stretches_of
from sitebook.analysis.contamination.traffic import Network, network
from sitebook.ground.projection import LocalMetres
from sitebook.records.map_data import TrafficCount, Way

FRAME = LocalMetres(-19.4, 48.6)
TODAY = datetime.date(2025, 6, 1)
NOW = datetime.datetime(2025, 6, 1, 12, tzinfo=datetime.UTC)
Metres = list[tuple[float, float]]
EAST: Metres = [(-400.0, 0.0), (400.0, 0.0)]


def _way(line: Metres, road_class: str = "motorway", **given: Any) -> Way:  # noqa: ANN401 - any column
    shape = LineString(FRAME.to_degrees(line))
    settled = {"oneway": True, "uuid": str(uuid.uuid4()), **given}
    return Way(road_class=road_class, geom=shape, **settled)


def _west(aside: float) -> Metres:
    return [(400.0, aside), (-400.0, aside)]


def _count(at: tuple[float, float], vehicles: float, directions: str) -> TrafficCount:
    return TrafficCount(
        uuid=str(uuid.uuid4()),
        created_at=NOW,
        changed_at=NOW,
        source="A. Lind",
        vehicles_per_day=vehicles,
        counts_directions=directions,
        geom=Point(FRAME.to_degrees([at])[0]),
    )


def _network(ways: list[Way], counts: list[TrafficCount] | None = None) -> Network:
    return network(ways, counts or [], FRAME, today=TODAY)


def _traffic(found: Network) -> list[float]:
    return sorted(road.traffic.central for road in found.roads)


@pytest.mark.source(
    item="",
    what="motorway of 37,290 vehicles a day on two carriageways",
    value="18,645 on each",
    source="half of WG-AEN Tool 2.5 by hand",
    mark="computed",
)
def test_twins_carry_half_each_and_say_so() -> None:
    found = _network([_way(EAST), _way(_west(14.0))])
    assert _traffic(found) == [18645.0, 18645.0]
    assert found.roads[0].source == (
        "about 19,000 vehicles a day (6,200 to 56,000), half the number for a motorway, "
        "its twin carriageway the other half [wgaen2006, Tool 2.5; secondary]"
    )


def test_a_one_way_road_alone_keeps_the_whole_number_and_says_so() -> None:
    (road,) = _network([_way(EAST, "primary")]).roads
    assert road.traffic.central == 8905.0
    assert "number for a primary road, kept whole on a one-way road without a twin" in road.source


@pytest.mark.parametrize(
    "other",
    [
        _way([(-400, 14), (400, 14)]),
        _way(_west(51.0)),
        _way(_west(14.0), "trunk"),
        _way(_west(14.0), name="Other Road"),
        _way(_west(14.0), oneway=False),
        _way(_west(14.0), link=True),
        _way(_west(14.0), motor_access="no"),
        _way([(0, 10), (0, 400)]),
    ],
    ids=["same way", "too far", "class", "name", "both ways", "slip road", "no motors", "across"],
)
def test_what_is_no_twin(other: Way) -> None:
    roads = _network([_way(EAST), other]).roads
    first = [road for road in roads if abs(float(road.line_m[0, 1])) < 1e-3 and road.road_class == "motorway"]
    assert sum(float(np.ptp(road.line_m[:, 0])) for road in first) == pytest.approx(800.0, abs=1e-3)
    assert {road.traffic.central for road in first} == {37290.0}


def test_a_roundabout_is_not_its_own_twin() -> None:
    turns = np.linspace(0.0, 2.0 * np.pi, 17)
    ring = [(20.0 * float(np.cos(t)), 20.0 * float(np.sin(t))) for t in turns]
    ring[-1] = ring[0]
    assert _traffic(_network([_way(ring, "primary")])) == [8905.0]
    assert _traffic(_network([_way(ring[:9], "primary"), _way(ring[8:], "primary")])) == [8905.0]


def test_each_point_is_asked_by_itself() -> None:
    stretches = stretches_of([_way(EAST), _way([(100.0, 30.0), (-100.0, 30.0)])], FRAME)
    twins = twins_of(stretches)
    number = next(n for n, s in enumerate(stretches) if s.length_m > 500.0)
    (span,) = twins.spans[number]
    beyond = float(np.sqrt(50.0**2 - 30.0**2))
    assert cut(stretches[number], span)[:, 0].tolist() == pytest.approx(
        [-100 - beyond, 100 + beyond], abs=1e-3
    )
    roads = _network([_way(EAST), _way([(100.0, 30.0), (-100.0, 30.0)])]).roads
    assert sorted(road.traffic.central for road in roads) == [18645.0, 18645.0, 37290.0, 37290.0]


@pytest.mark.parametrize(("directions", "each"), [("both", 6000.0), ("one", 12000.0)])
def test_a_count_on_one_carriageway_speaks_for_both(directions: str, each: float) -> None:
    ways = [_way([(-200, 0), (200, 0)]), _way([(200, 14), (-200, 14)])]
    found = _network(ways, [_count((0.0, -3.0), 12000.0, directions)])
    assert _traffic(found) == [each, each]
    said = {"both": "both directions, half on each carriageway", "one": "one direction, its twin alike"}
    assert all(said[directions] in road.source for road in found.roads)


def test_each_carriageway_keeps_its_own_count_of_one_direction() -> None:
    ways = [_way([(-200, 0), (200, 0)], name="Coast Way"), _way([(200, 14), (-200, 14)], name="Coast Way")]
    counts = [_count((0.0, -2.0), 9000.0, "one"), _count((5.0, 16.0), 7000.0, "one")]
    found = {round(float(r.line_m[0, 1])): r.traffic.central for r in _network(ways, counts).roads}
    assert found == {0: 9000.0, 14: 7000.0}


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 10_000))
def test_order_and_cuts_of_ways_change_nothing(seed: int) -> None:
    chance = np.random.default_rng(seed)
    bend = [
        (float(x), float(y)) for x, y in zip(range(-300, 301, 60), chance.uniform(-20, 20, 11), strict=True)
    ]
    back = [(x, y + 15.0 + float(chance.uniform(0, 20))) for x, y in bend[2:-1]][::-1]
    whole = [_way(bend, "trunk", name="Coast Way"), _way(back, "trunk", name="Coast Way")]
    parts = []
    for line in (bend, back):
        k = int(chance.integers(1, len(line) - 1))
        a, b = np.array(line[k - 1]), np.array(line[k])
        middle = tuple((a + chance.uniform(0.2, 0.8) * (b - a)).tolist())
        parts += [_way([*line[:k], middle], "trunk", name="Coast Way")]
        parts += [_way([middle, *line[k:]], "trunk", name="Coast Way")]
    shuffled = [parts[int(n)] for n in chance.permutation(len(parts))]
    one, other = _network(whole).roads, _network(shuffled).roads
    assert [r.traffic for r in one] == [r.traffic for r in other]
    lengths = [[float(LineString(r.line_m).length) for r in roads] for roads in (one, other)]
    assert lengths[0] == pytest.approx(lengths[1], abs=1e-4)
