"""Tests speeds: the hiking function's known points, time with heights, and the table of ways."""

from __future__ import annotations

import numpy as np
import pytest

from sitebook.analysis.foray import pace
from sitebook.reference import reader


@pytest.mark.source(
    item="",
    what="hiking function at slope 0 and at slope -0.05",
    value="5.04 and 6 km/h",
    source="Tobler 1993, restated by the packages hexmatrix and hiker",
    mark="secondary",
)
def test_hiking_speed_at_the_known_slopes() -> None:
    assert pace.hiking_speed_kmh(0.0) == pytest.approx(5.04, abs=0.005)
    assert pace.hiking_speed_kmh(-0.05) == pytest.approx(6.0, abs=1e-12)


def test_hiking_speed_falls_on_both_sides_of_the_gentlest_way_down() -> None:
    slopes = np.linspace(-0.6, 0.5, 111)
    speed = pace.hiking_speed_kmh(slopes)
    top = int(np.argmax(speed))
    assert slopes[top] == pytest.approx(-0.05)
    assert np.all(np.diff(speed[: top + 1]) > 0.0)
    assert np.all(np.diff(speed[top:]) < 0.0)


def test_a_hill_takes_longer_up_than_down_and_no_distance_no_time() -> None:
    up, down, none = pace.walking_minutes([1000.0, 1000.0, 0.0], [100.0, -100.0, 5.0])
    assert up > down > 0.0
    assert none == 0.0
    assert pace.walking_minutes(1000.0) == pytest.approx(60.0 / 5.0366, abs=0.01)
    assert pace.walking_minutes(1000.0, flat_kmh=4.0) == pytest.approx(15.0)


def test_no_map_costs_a_detour() -> None:
    for mode in pace.MODES:
        straight = 1000.0 / (pace.value(f"unmapped_{mode}") * pace.M_A_MINUTE_PER_KMH)
        assert pace.unmapped_minutes(1000.0, mode) == pytest.approx(straight * pace.value(f"detour_{mode}"))
    assert pace.off_way_minutes(100.0) > pace.walking_minutes(100.0)


def test_every_class_of_way_a_map_brings_is_open_to_somebody_or_known_closed() -> None:
    mapped = {row["kind"] for row in reader.rows("osm_tags") if row["lands_in"] == "way"}
    listed = {road_class for mode in pace.MODES for road_class in pace.speeds(mode)}
    assert listed <= mapped
    assert mapped - listed == {"busway"}
    assert not {"motorway", "trunk"} & set(pace.speeds("foot"))
    assert not {"motorway", "trunk", "steps"} & set(pace.speeds("bicycle"))
    assert not {"footway", "path", "steps", "cycleway", "pedestrian"} & set(pace.speeds("car"))


def test_the_flat_speed_on_foot_is_the_hiking_function() -> None:
    assert pace.speeds("foot")["footway"].value == pytest.approx(float(pace.hiking_speed_kmh(0.0)), abs=0.005)
