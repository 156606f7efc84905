"""Tests of main roads of the past."""

from __future__ import annotations

import datetime
from typing import Any

import pytest
from shapely.geometry import LineString, MultiLineString, Point
from shapely.geometry.base import BaseGeometry

from sitebook.analysis.contamination.past_roads import KIND, PAST_USE, old_roads
from sitebook.analysis.contamination.road_index import index_at
from sitebook.ground.projection import LocalMetres
from sitebook.records.map_data import Hazard
from sitebook.reference.map_tags import hazard_kinds

FRAME = LocalMetres(-19.4, 48.6)
TODAY = datetime.date(2025, 6, 1)
NOW = datetime.datetime(2025, 6, 1, 12, tzinfo=datetime.UTC)
LINE = LineString(FRAME.to_degrees([(-900, 0), (900, 0)]))


def _old(geom: BaseGeometry = LINE, **given: Any) -> Hazard:  # noqa: ANN401 - any column
    fixed: dict[str, Any] = {
        "uuid": "a",
        "created_at": NOW,
        "changed_at": NOW,
        "kind": KIND,
        "origin": "told",
        "source": "harbour master",
        "vehicles_per_day": 6000.0,
    }
    return Hazard(geom=geom, **{**fixed, **given})


def test_an_old_main_road_counts_by_what_it_once_carried() -> None:
    assert KIND in hazard_kinds()
    (road,) = old_roads([_old(name="Old Post Road", valid_to=datetime.date(1988, 1, 1))], FRAME, TODAY)
    assert (road.name, road.past_use, road.half_width_m) == ("Old Post Road", PAST_USE, 4.5)
    assert (road.traffic.low, road.traffic.central, road.traffic.high) == (2000.0, 6000.0, 18000.0)
    assert road.source == (
        "about 6,000 vehicles a day (2,000 to 18,000) in its day, past use as main road of the years of "
        "leaded petrol, told: harbour master"
    )
    assert road.mark == "memory"


@pytest.mark.parametrize(
    "given",
    [
        {"kind": "landfill"},
        {"vehicles_per_day": None},
        {"withdrawn_at": NOW},
        {"valid_from": datetime.date(2026, 1, 1)},
        {"geom": Point(-19.4, 48.6)},
    ],
)
def test_what_is_left_aside(given: dict[str, Any]) -> None:
    assert old_roads([_old(**given)], FRAME, TODAY) == ()


def test_a_line_in_parts_is_a_road_each() -> None:
    parts = MultiLineString([FRAME.to_degrees([(0, 0), (9, 0)]), FRAME.to_degrees([(20, 0), (30, 0)])])
    assert len(old_roads([_old(parts)], FRAME, TODAY)) == 2


def test_it_adds_to_the_index_but_is_no_motor_road_of_today() -> None:
    (found,) = index_at([[0, 8]], old_roads([_old()], FRAME, TODAY))
    assert found.index.central > 0.2
    assert found.edge_m == float("inf")
    (source,) = found.roads
    assert (source.kind, source.name, source.direction) == (KIND, "old main road without a name", "south")
    assert source.edge_m == pytest.approx(3.5, abs=1e-3)
    assert source.reason == f"{PAST_USE} with about 6,000 vehicles a day, its edge 3 m to the south"
