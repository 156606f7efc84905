"""Tests of the sun's radiation above the air and the geometric length of the day."""

from __future__ import annotations

import numpy as np
import pytest

from sitebook.analysis.weather import radiation


@pytest.mark.source(
    item="S1",
    what="extraterrestrial radiation at 20 degrees south on 3 September",
    value="32.2 MJ/m2; 32.194 in full",
    source="FAO-56, example 8, as two open test suites quote it",
    mark="secondary",
)
def test_radiation_of_example_8() -> None:
    found = float(radiation.extraterrestrial_radiation_mj_m2(-20.0, 246))
    assert found == pytest.approx(32.2, abs=0.05)
    assert found == pytest.approx(32.1940, abs=1e-4)


@pytest.mark.source(
    item="S2",
    what="relative distance of example 8",
    value="0.985",
    source="FAO-56, example 8",
    mark="secondary",
)
@pytest.mark.source(
    item="S3",
    what="declination of example 8",
    value="0.120 rad",
    source="FAO-56, example 8",
    mark="secondary",
)
@pytest.mark.source(
    item="S4",
    what="sunset angle of example 8",
    value="1.527 rad",
    source="FAO-56, example 8",
    mark="secondary",
)
def test_steps_of_example_8() -> None:
    assert float(radiation.relative_distance(246)) == pytest.approx(0.98483, abs=1e-5)
    assert float(radiation.declination_rad(246)) == pytest.approx(0.11966, abs=1e-5)
    assert float(radiation.sunset_hour_angle_rad(-20.0, 246)) == pytest.approx(1.52702, abs=1e-5)


@pytest.mark.source(
    item="S5", what="day length of example 9", value="11.7 h", source="FAO-56, example 9", mark="secondary"
)
@pytest.mark.source(
    item="S7",
    what="day length of example 10 at Rio",
    value="10.9 h",
    source="FAO-56, example 10",
    mark="secondary",
)
@pytest.mark.source(
    item="S9", what="day length of example 18", value="16.1 h", source="FAO-56, example 18", mark="secondary"
)
def test_day_lengths_of_the_examples() -> None:
    found = radiation.day_length_h([-20.0, -22.9, 50.8], [246, 135, 187])
    assert found == pytest.approx([11.7, 10.9, 16.1], abs=0.05)
    assert found == pytest.approx([11.6656, 10.8951, 16.1046], abs=1e-4)


@pytest.mark.source(
    item="S6",
    what="radiation of example 10 at Rio",
    value="25.1 MJ/m2",
    source="FAO-56, example 10",
    mark="secondary",
)
@pytest.mark.source(
    item="S8",
    what="radiation of example 18",
    value="41.09 MJ/m2",
    source="FAO-56, example 18",
    mark="secondary",
)
def test_radiation_of_examples_10_and_18() -> None:
    found = radiation.extraterrestrial_radiation_mj_m2([-22.9, 50.8], [135, 187])
    assert found == pytest.approx([25.1110, 41.0884], abs=1e-4)
    assert found == pytest.approx([25.1, 41.09], abs=0.05)


@pytest.mark.source(
    item="S13",
    what="radiation at 50 degrees north in the middle of each month",
    value="8.9 14.4 22.2 31.5 38.5 41.7 40.2 34.4 25.7 16.9 10.2 7.5 MJ/m2, within 0.15",
    source="FAO-56, table 2.6",
    mark="memory",
)
def test_radiation_of_a_year_at_50_degrees_north() -> None:
    days = [15, 46, 74, 105, 135, 166, 196, 227, 258, 288, 319, 349]
    printed = [8.9, 14.4, 22.2, 31.5, 38.5, 41.7, 40.2, 34.4, 25.7, 16.9, 10.2, 7.5]
    assert radiation.extraterrestrial_radiation_mj_m2(50.0, days) == pytest.approx(printed, abs=0.15)


@pytest.mark.source(
    item="S14",
    what="polar night and polar day at 70 degrees north",
    value="0 on 1 January; 24 h and 42.695 MJ/m2 on day 172",
    source="the equations themselves",
    mark="computed",
)
def test_polar_night_and_day() -> None:
    assert radiation.day_length_h(70.0, [1, 172]) == pytest.approx([0.0, 24.0])
    found = radiation.extraterrestrial_radiation_mj_m2(70.0, [1, 172])
    assert found == pytest.approx([0.0, 42.695], abs=1e-3)


def test_both_halves_of_the_year_mirror_each_other() -> None:
    days = np.arange(1, 366)
    north, south = radiation.day_length_h(48.6, days), radiation.day_length_h(-48.6, days)
    assert north + south == pytest.approx(np.full(365, 24.0))
    assert radiation.day_length_h(0.0, days) == pytest.approx(np.full(365, 12.0))


@pytest.mark.parametrize(
    ("latitude", "day"), [(90.1, 1), (-91.0, 1), (0.0, 0), (0.0, 367), (float("nan"), 5)]
)
def test_what_is_no_place_or_day_is_refused(latitude: float, day: int) -> None:
    with pytest.raises(ValueError, match="latitude"):
        radiation.extraterrestrial_radiation_mj_m2(latitude, day)
