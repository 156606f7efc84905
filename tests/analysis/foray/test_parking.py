"""Tests where a car is left for each place, and that one walks, drives and walks."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from sitebook.analysis.foray import pace
from sitebook.analysis.foray.car_travel import travel_by_car
from sitebook.analysis.foray.parking import Parking, park
from sitebook.analysis.foray.ways_graph import WaysGraph, build
from tests.analysis.foray.ways import at, made_way, ways_of


@pytest.fixture(scope="module")
def valley() -> WaysGraph:
    """Give a main road, a lane off it with two paths, and a private drive."""
    return build(
        [
            made_way((0, 0), (1000, 0), (3000, 0), (4000, 0), road_class="primary"),
            made_way((1000, 0), (1000, 500), (1000, 1000), (1000, 1500), road_class="unclassified"),
            made_way((1000, 500), (1600, 500)),
            made_way((1000, 1500), (1000, 2100)),
            made_way((1000, 1000), (1300, 1000), road_class="service", motor_access="private"),
            made_way((3000, 0), (3000, 800), road_class="path"),
        ]
    )


def _lies_at(graph: WaysGraph, spot: Parking, x_m: float, y_m: float) -> bool:
    x, y = graph.metres.to_metres([at(x_m, y_m)])[0]
    return bool(np.hypot(spot.at_m[0] - x, spot.at_m[1] - y) < 3.0)


def test_a_car_is_left_where_the_path_starts(valley: WaysGraph) -> None:
    first, second = park(valley, [at(1500, 500), at(1000, 2050)])
    assert first.how == second.how == "path starts"
    assert _lies_at(valley, first, 1000, 500)
    assert first.walk_min == pytest.approx(float(pace.walking_minutes(500.0)), rel=1e-2)
    assert _lies_at(valley, second, 1000, 1500)


def test_a_place_beside_the_road_is_walked_to_from_it(valley: WaysGraph) -> None:
    (found,) = park(valley, [at(1040, 250)])
    assert found.how == "roadside"
    assert _lies_at(valley, found, 1000, 250)


def test_no_car_is_left_on_the_main_road_or_a_private_drive(valley: WaysGraph) -> None:
    by_the_main_road, by_the_drive = park(valley, [at(3000, 700), at(1290, 1005)])
    assert by_the_main_road.how == "road"
    assert _lies_at(valley, by_the_main_road, 1000, 0)
    assert _lies_at(valley, by_the_drive, 1000, 1000) or _lies_at(valley, by_the_drive, 1000, 500)


def test_near_places_share_a_spot_and_are_walked_between(valley: WaysGraph) -> None:
    found = travel_by_car(valley, at(0, 0), [at(1300, 500), at(1550, 500), at(1000, 2050)], at(0, 0))
    assert found.parking[1].at_m == found.parking[2].at_m
    walk = found.leg(1, 2)
    assert [part.mode for part in walk.parts] == ["foot"]
    assert walk.metres == pytest.approx(250.0, abs=0.5)
    drive = found.leg(2, 3)
    assert [part.mode for part in drive.parts] == ["foot", "car", "foot"]
    spent = sum(part.minutes for part in drive.parts) + pace.value("park_change")
    assert drive.minutes == pytest.approx(spent)
    assert drive.metres == pytest.approx(550.0 + 1000.0 + 550.0, abs=1.0)
    out = found.leg(0, 1)
    assert [part.mode for part in out.parts] == ["car", "foot"]


def test_the_car_may_stand_elsewhere_than_one_does(valley: WaysGraph) -> None:
    here, car = at(1500, 500), at(1000, 500)
    found = travel_by_car(valley, here, [at(1000, 2050)], at(0, 0), car_at=car)
    leg = found.leg(0, 1)
    assert [part.mode for part in leg.parts] == ["foot", "car", "foot"]
    assert leg.parts[0].metres == pytest.approx(500.0, abs=0.5)


def test_without_a_map_the_car_comes_to_the_place() -> None:
    empty = build([], around=at(0, 0))
    found = travel_by_car(empty, at(0, 0), [at(5000, 0)], at(0, 0))
    assert found.parking[1].how == "not mapped"
    expected = float(pace.unmapped_minutes(5000.0, "car")) + pace.value("park_change")
    assert found.minutes[0, 1] == pytest.approx(expected, rel=1e-2)
    assert found.leg(0, 1).parts[0].unmapped


def test_every_leg_in_a_city_adds_up(shared_file: Callable[[str], Path]) -> None:
    graph = build(ways_of(shared_file("osm/Helsinki.osm.pbf")))
    random = np.random.default_rng(5)
    picked = graph.junctions_m[random.choice(len(graph.junctions_m), 12, replace=False)]
    places = [(float(x), float(y)) for x, y in graph.metres.to_degrees(picked)]
    found = travel_by_car(graph, places[0], places[1:-1], places[-1])
    for start in range(len(places)):
        for end in range(len(places)):
            if start == end:
                continue
            leg = found.leg(start, end)
            parked = pace.value("park_change") if any(part.mode == "car" for part in leg.parts) else 0.0
            assert leg.minutes == pytest.approx(sum(part.minutes for part in leg.parts) + parked)
            assert leg.parts[0].lonlat[0] == pytest.approx(places[start], abs=1e-3)
