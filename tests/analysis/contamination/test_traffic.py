"""Tests of the traffic that each mapped road is taken to carry."""

from __future__ import annotations

import datetime
import uuid
from typing import Any

import pytest
from shapely.geometry import LineString, Point

from sitebook.analysis.contamination.traffic import Network, Road, network
from sitebook.ground.projection import LocalMetres
from sitebook.records.map_data import TrafficCount, Way

FRAME = LocalMetres(-19.4, 48.6)
TODAY = datetime.date(2025, 6, 1)
NOW = datetime.datetime(2025, 6, 1, 12, tzinfo=datetime.UTC)
Metres = list[tuple[float, float]]


def _way(line: Metres, road_class: str = "residential", **given: Any) -> Way:  # noqa: ANN401 - any column
    shape = LineString(FRAME.to_degrees(line))
    return Way(uuid=str(uuid.uuid4()), road_class=road_class, geom=shape, **given)


def _count(at: tuple[float, float], vehicles: float, **given: Any) -> TrafficCount:  # noqa: ANN401 - any column
    return TrafficCount(
        **{"uuid": str(uuid.uuid4()), "created_at": NOW, "changed_at": NOW, "source": "A. Lind", **given},
        vehicles_per_day=vehicles,
        geom=Point(FRAME.to_degrees([at])[0]),
    )


def _network(ways: list[Way], counts: list[TrafficCount] | None = None) -> Network:
    return network(ways, counts or [], FRAME, today=TODAY)


def _only(found: Network) -> Road:
    (road,) = found.roads
    return road


ALONG: Metres = [(-100.0, 0.0), (100.0, 0.0)]


def test_a_road_takes_the_number_of_its_class_with_a_threefold_band() -> None:
    road = _only(_network([_way(ALONG, "primary", name="Long Quay")]))
    assert (road.traffic.central, road.traffic.low, road.traffic.high) == (8905.0, 8905.0 / 3, 26715.0)
    assert road.name == "Long Quay"
    assert road.source == (
        "about 8,900 vehicles a day (3,000 to 27,000), number for a primary road "
        "[wgaen2006, Tool 2.5; secondary]"
    )
    assert road.mark == "secondary"


def test_a_road_without_a_name_is_called_by_its_class() -> None:
    assert _only(_network([_way(ALONG)])).name == "residential street without a name"


def test_a_count_overrides_the_class_and_says_so() -> None:
    counts = [_count((10.0, 12.0), 3000.0, counted_on=datetime.date(2024, 5, 2))]
    road = _only(_network([_way(ALONG, "primary")], counts))
    assert (road.traffic.central, road.traffic.low, road.traffic.high) == (3000.0, 2000.0, 4500.0)
    assert road.source == "about 3,000 vehicles a day (2,000 to 4,500), count by A. Lind on 2024-05-02"
    assert road.mark == "computed"


def test_one_direction_is_doubled_save_on_a_one_way_road() -> None:
    counts = [_count((0.0, 1.0), 700.0, counts_directions="one")]
    both = _only(_network([_way(ALONG)], counts))
    assert both.traffic.central == 1400.0
    assert both.source == (
        "about 1,400 vehicles a day (930 to 2,100), count by A. Lind, day not noted, one direction doubled"
    )
    assert _only(_network([_way(ALONG, oneway=True)], counts)).traffic.central == 700.0


@pytest.mark.parametrize(("aside", "used"), [(29.9, True), (30.1, False)])
def test_a_count_farther_than_30_m_is_not_used(aside: float, used: bool) -> None:
    count = _count((0.0, aside), 4000.0)
    found = _network([_way(ALONG)], [count])
    assert (_only(found).traffic.central == 4000.0) is used
    assert found.unused_counts == (() if used else (count,))


def test_a_count_goes_to_the_nearest_motor_road_not_to_a_nearer_footway() -> None:
    ways = [_way(ALONG), _way([(-100.0, 9.0), (100.0, 9.0)], "footway")]
    assert _only(_network(ways, [_count((0.0, 8.0), 900.0)])).traffic.central == 900.0


def test_a_track_counts_only_where_somebody_counted() -> None:
    track = _way(ALONG, "track")
    assert _network([track]).roads == ()
    assert _only(_network([track], [_count((0.0, 0.0), 40.0)])).traffic.central == 40.0


def test_a_count_speaks_for_pieces_of_the_same_road_nearby() -> None:
    ways = [
        _way(ALONG, name="Long Quay"),
        _way([(100.0, 0.0), (200.0, 0.0)], name="Long Quay"),
        _way([(420.0, 0.0), (500.0, 0.0)], name="Long Quay"),
        _way([(100.0, 0.0), (100.0, 90.0)], name="Kiln Lane"),
        _way([(100.0, 0.0), (90.0, 90.0)]),
    ]
    roads = _network(ways, [_count((0.0, 0.0), 6000.0)]).roads
    found = {(road.name, float(road.line_m[:, 0].max().round())): road.traffic.central for road in roads}
    assert found == {
        ("Long Quay", 200.0): 6000.0,
        ("Long Quay", 500.0): 500.0,
        ("Kiln Lane", 100.0): 500.0,
        ("residential street without a name", 100.0): 500.0,
    }


def test_a_count_ends_300_m_along_a_long_road() -> None:
    roads = _network([_way([(-1000.0, 0.0), (1000.0, 0.0)])], [_count((100.0, 3.0), 6000.0)]).roads
    ends = sorted(
        (round(float(r.line_m[0, 0])), round(float(r.line_m[-1, 0])), r.traffic.central) for r in roads
    )
    assert ends == [(-1000, -200, 500.0), (-200, 400, 6000.0), (400, 1000, 500.0)]


def test_a_count_on_the_spot_beats_a_newer_one_along_the_road() -> None:
    ways = [_way(ALONG, name="Long Quay"), _way([(100.0, 0.0), (300.0, 0.0)], name="Long Quay")]
    counts = [
        _count((0.0, 0.0), 1000.0, counted_on=datetime.date(2020, 1, 1)),
        _count((200.0, 0.0), 2000.0, counted_on=datetime.date(2024, 1, 1)),
    ]
    roads = sorted(_network(ways, counts).roads, key=lambda road: float(road.line_m[:, 0].min()))
    assert [road.traffic.central for road in roads] == [1000.0, 2000.0]
    assert [float(x) for x in roads[0].line_m[[0, -1], 0]] == pytest.approx([-100.0, 100.0])


def test_of_two_counts_on_one_spot_the_newest_stands_in_any_order() -> None:
    old = _count((0.0, 0.0), 1000.0, counted_on=datetime.date(2020, 1, 1))
    new = _count((5.0, 0.0), 2000.0, counted_on=datetime.date(2024, 1, 1))
    undated = _count((0.0, 0.0), 3000.0)
    for counts in ([old, new, undated], [undated, new, old]):
        road = _only(_network([_way(ALONG)], counts))
        assert road.traffic.central == 2000.0
        assert road.source.endswith(
            "count by A. Lind on 2024-01-01, the newest on this spot (not used: count by A. Lind on "
            "2020-01-01, 1,000 vehicles a day; count by A. Lind, day not noted, 3,000 vehicles a day)"
        )
    assert "newest" not in _only(_network([_way(ALONG)], [new])).source


def test_a_withdrawn_count_is_not_used() -> None:
    found = _network([_way(ALONG)], [_count((0.0, 0.0), 9.0, withdrawn_at=NOW)])
    assert _only(found).traffic.central == 500.0
    assert found.unused_counts == ()


def test_tunnels_are_set_aside_and_take_no_count() -> None:
    ways = [_way(ALONG, "trunk", tunnel=True), _way([(-100.0, 20.0), (100.0, 20.0)])]
    found = _network(ways, [_count((0.0, 0.0), 900.0)])
    assert [road.road_class for road in found.tunnels] == ["trunk"]
    assert _only(found).traffic.central == 900.0


def test_ways_without_motors_and_ways_no_longer_there_do_not_count() -> None:
    ways = [
        _way(ALONG, "footway"),
        _way(ALONG, motor_access="no"),
        _way(ALONG, valid_to=datetime.date(2025, 1, 1)),
    ]
    assert _network(ways).roads == ()
    assert len(_network([_way(ALONG, valid_to=datetime.date(2026, 1, 1))]).roads) == 1


def test_a_class_that_the_table_does_not_know_is_named() -> None:
    assert [way.road_class for way in _network([_way(ALONG, "raceway")]).strange] == ["raceway"]


def test_a_single_kerb_count_has_a_wide_band_and_is_told_in_full() -> None:
    timed = {"counted_vehicles": 60, "counted_minutes": 10.0, "counted_hour": 16}
    road = _only(_network([_way(ALONG, "primary")], [_count((0.0, 3.0), 1.0, **timed)]))
    assert road.traffic.central == pytest.approx(5400.0)
    assert road.traffic.high > 3.0 * 5400.0
    assert road.source == (
        "about 5,400 vehicles a day (1,800 to 17,000), count by A. Lind, day not noted, "
        "60 vehicles in 10 minutes of the hour from 16:00, turned into a day by the hours of the class "
        "[wgaen2006, Tool 2.5; secondary], the only count of this road"
    )


def test_a_kerb_count_is_matched_to_the_hours_of_the_class_it_lies_on() -> None:
    timed = {"counted_vehicles": 10, "counted_minutes": 60.0, "counted_hour": 2}
    one = _only(_network([_way(ALONG, "motorway")], [_count((0.0, 3.0), 1.0, **timed)]))
    assert one.traffic.central == pytest.approx(10 / (3729 / 8 / 37290))


@pytest.mark.parametrize(
    ("where", "narrow"), [((90.0, 0.0), True), ((5.0, 0.0), True), ((350.0, 0.0), False)]
)
def test_two_counts_on_a_road_narrow_the_band(where: tuple[float, float], narrow: bool) -> None:
    timed = {"counted_vehicles": 2000, "counted_minutes": 600.0, "counted_hour": 8}
    counts = [_count((0.0, 0.0), 1.0, **timed), _count(where, 2000.0, counted_on=datetime.date(1990, 1, 1))]
    roads = _network([_way([(-100.0, 0.0), (400.0, 0.0)], "tertiary")], counts).roads
    found = [
        r.traffic.high / r.traffic.central for r in roads if "2,000 vehicles in" in r.source.split("(not")[0]
    ]
    assert all(ratio < 1.6 if narrow else ratio > 3.0 for ratio in found)
    assert bool(found) == (where != (5.0, 0.0))


def test_a_count_of_none_leaves_a_range() -> None:
    timed = {"counted_vehicles": 0, "counted_minutes": 20.0, "counted_hour": 10}
    road = _only(_network([_way(ALONG)], [_count((0.0, 3.0), 0.0, **timed)]))
    assert (road.traffic.central, road.traffic.low) == (0.0, 0.0)
    assert 100.0 < road.traffic.high < 200.0
    assert road.source.startswith("about 0 vehicles a day (0 to 150), count by A. Lind")


def test_every_road_has_half_its_width() -> None:
    ways = [_way(ALONG, width_m=8.0), _way([(0.0, 50.0), (9.0, 50.0)], "primary", lanes=4.0)]
    assert {road.half_width_m for road in _network(ways).roads} == {4.0, 6.5}
