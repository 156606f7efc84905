"""Tests who may use which way, in which direction, and where a car may be left."""

from __future__ import annotations

from typing import Any

import pytest

from sitebook.analysis.foray.pace import Mode
from sitebook.analysis.foray.ways_access import may_park, passage
from tests.analysis.foray.ways import made_way

ROAD = ((0.0, 0.0), (100.0, 0.0))


@pytest.mark.parametrize(
    ("road_class", "tags", "mode", "ways"),
    [
        ("residential", {"oneway": True}, "foot", (True, True)),
        ("residential", {"oneway": True}, "bicycle", (True, False)),
        ("residential", {"oneway": True}, "car", (True, False)),
        ("residential", {"oneway": True, "raw_tags": "oneway:bicycle=no"}, "bicycle", (True, True)),
        ("residential", {"oneway": True, "raw_tags": "highway=residential\noneway=-1"}, "car", (False, True)),
        ("residential", {"motor_access": "private"}, "car", (False, False)),
        ("residential", {"motor_access": "destination"}, "car", (True, True)),
        ("service", {"foot_access": "private"}, "foot", (False, False)),
        ("motorway", {"foot_access": "yes", "raw_tags": "foot=yes"}, "foot", (False, False)),
        ("motorway", {}, "bicycle", (False, False)),
        ("trunk", {}, "foot", (False, False)),
        ("trunk", {"foot_access": "yes", "raw_tags": "foot=yes"}, "foot", (True, True)),
        ("footway", {"motor_access": "yes"}, "car", (False, False)),
        ("footway", {"oneway": True}, "bicycle", (True, True)),
        ("footway", {"bicycle_access": "no"}, "bicycle", (True, True)),
        ("footway", {"bicycle_access": "no", "foot_access": "no"}, "bicycle", (False, False)),
        ("steps", {}, "bicycle", (False, False)),
        ("steps", {}, "foot", (True, True)),
        ("track", {}, "car", (False, False)),
        ("track", {"motor_access": "yes"}, "car", (True, True)),
        ("cycleway", {"bicycle_access": "dismount", "oneway": True}, "bicycle", (True, True)),
        ("primary", {"bicycle_access": "use_sidepath"}, "bicycle", (False, False)),
    ],
)
def test_access_and_direction(
    road_class: str, tags: dict[str, Any], mode: Mode, ways: tuple[bool, bool]
) -> None:
    found = passage(made_way(*ROAD, road_class=road_class, **tags), mode)
    assert (found.forward, found.backward) == ways
    assert (found.speed_kmh > 0.0) == any(ways)


def test_a_bicycle_is_pushed_where_it_may_not_be_ridden() -> None:
    pushed = passage(made_way(*ROAD), "bicycle").speed_kmh
    ridden = passage(made_way(*ROAD, bicycle_access="yes", raw_tags="bicycle=yes"), "bicycle").speed_kmh
    assert pushed < passage(made_way(*ROAD), "foot").speed_kmh < ridden


@pytest.mark.parametrize(
    ("road_class", "tags", "may"),
    [
        ("residential", {}, True),
        ("primary", {}, False),
        ("residential", {"bridge": True}, False),
        ("residential", {"tunnel": True}, False),
        ("service", {"motor_access": "private"}, False),
        ("track", {}, False),
        ("footway", {}, False),
    ],
)
def test_where_a_car_may_be_left(road_class: str, tags: dict[str, Any], may: bool) -> None:
    assert may_park(made_way(*ROAD, road_class=road_class, **tags)) is may
