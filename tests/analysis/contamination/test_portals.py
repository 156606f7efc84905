"""Tests that tunnels count behind their portals and nowhere else."""

from __future__ import annotations

import datetime
import uuid
from typing import Any

import pytest
from shapely.geometry import LineString

from sitebook.analysis.contamination.traffic import Network, Road, network
from sitebook.ground.projection import LocalMetres
from sitebook.records.map_data import Way

FRAME = LocalMetres(-19.4, 48.6)
TODAY = datetime.date(2025, 6, 1)
Metres = list[tuple[float, float]]


def _way(line: Metres, road_class: str = "primary", **given: Any) -> Way:  # noqa: ANN401 - any column
    shape = LineString(FRAME.to_degrees(line))
    return Way(uuid=str(uuid.uuid4()), road_class=road_class, geom=shape, **given)


def _network(ways: list[Way]) -> Network:
    return network(ways, [], FRAME, today=TODAY)


def _ends(roads: tuple[Road, ...]) -> list[tuple[int, int]]:
    spans = [(float(road.line_m[:, 0].min()), float(road.line_m[:, 0].max())) for road in roads]
    return sorted((round(low), round(high)) for low, high in spans)


OPEN: Metres = [(-300.0, 0.0), (0.0, 0.0)]


def test_fifty_metres_behind_each_portal_count_as_open() -> None:
    found = _network([_way(OPEN), _way([(0, 0), (400, 0)], tunnel=True), _way([(400, 0), (500, 0)])])
    assert _ends(found.roads) == [(-300, 0), (0, 50), (350, 400), (400, 500)]
    assert _ends(found.tunnels) == [(50, 350)]
    (portal, *_) = [road for road in found.roads if _ends((road,)) == [(0, 50)]]
    assert portal.source.endswith("50 m of a tunnel behind its portal [our choice]")
    assert portal.traffic.central == 8905.0


def test_an_end_at_the_edge_of_the_map_is_no_portal() -> None:
    found = _network([_way(OPEN), _way([(0, 0), (400, 0)], tunnel=True)])
    assert _ends(found.roads) == [(-300, 0), (0, 50)]
    assert _ends(found.tunnels) == [(50, 400)]
    assert _network([_way([(0, 0), (400, 0)], tunnel=True)]).roads == ()


def test_a_short_tunnel_counts_whole() -> None:
    found = _network([_way(OPEN), _way([(0, 0), (90, 0)], tunnel=True), _way([(90, 0), (200, 0)])])
    assert _ends(found.roads) == [(-300, 0), (0, 90), (90, 200)]
    assert found.tunnels == ()


def test_the_depth_runs_on_into_the_next_tunnel() -> None:
    parts = [_way([(0, 0), (20, 0)], tunnel=True), _way([(20, 0), (400, 0)], "secondary", tunnel=True)]
    found = _network([_way(OPEN), *parts])
    assert _ends(found.roads) == [(-300, 0), (0, 20), (20, 50)]
    assert _ends(found.tunnels) == [(50, 400)]


def test_cutting_a_tunnel_changes_nothing() -> None:
    whole = _network([_way(OPEN), _way([(0, 0), (400, 0)], tunnel=True)])
    cut = _network([_way([(400, 0), (30, 0)], tunnel=True), _way([(0, 0), (30, 0)], tunnel=True), _way(OPEN)])
    assert (_ends(whole.roads), _ends(whole.tunnels)) == (_ends(cut.roads), _ends(cut.tunnels))


@pytest.mark.parametrize("given", [{"road_class": "footway"}, {"motor_access": "no"}])
def test_a_way_without_motors_makes_no_portal(given: dict[str, str]) -> None:
    found = _network([_way(OPEN, **given), _way([(0, 0), (400, 0)], tunnel=True)])
    assert found.roads == ()
    assert _ends(found.tunnels) == [(0, 400)]


def test_bridges_and_slip_roads_count_as_they_are() -> None:
    ways = [_way(OPEN, bridge=True, layer=1), _way([(0, 0), (0, 90)], "primary_link", link=True, oneway=True)]
    assert [road.traffic.central for road in _network(ways).roads] == [8905.0, 8905.0]
