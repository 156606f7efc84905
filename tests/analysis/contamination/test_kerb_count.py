"""Tests of counts at the kerb, worked out by hand."""

from __future__ import annotations

import datetime
import math
from typing import Any

import pytest
from shapely.geometry import Point

from sitebook.analysis.contamination import parameters
from sitebook.analysis.contamination.kerb_count import (
    daily,
    daily_from_kerb,
    is_short,
    poisson_interval,
    share_of_day,
)
from sitebook.records.map_data import TrafficCount
from sitebook.reference import reader

NOW = datetime.datetime(2025, 6, 1, 12, tzinfo=datetime.UTC)


def _count(**given: Any) -> TrafficCount:  # noqa: ANN401 - any column
    fixed: dict[str, Any] = {"uuid": "a", "created_at": NOW, "changed_at": NOW, "source": "A. Lind"}
    return TrafficCount(**{**fixed, "vehicles_per_day": 1000.0, "geom": Point(0, 0), **given})


@pytest.mark.source(
    item="",
    what="on a primary road 60 in 10 min after 16:00, 12 in 30 min after 20:00, 1 in 15 min after 2:00",
    value="5,400; 800; 400 vehicles a day, within 0.1 %",
    source="7,124, 1,069 and 712 of 8,905 vehicles in 12, 4 and 8 hours (WG-AEN Tool 2.5), by hand",
    mark="computed",
)
def test_three_counts_by_hand() -> None:
    assert daily_from_kerb(60, 10.0, 16, "primary").central == pytest.approx(60 / (0.8 * 10 / 720))
    assert daily_from_kerb(60, 10.0, 16, "primary").central == pytest.approx(5400.0)
    assert daily_from_kerb(12, 30.0, 20, "primary").central == pytest.approx(800.0, rel=1e-3)
    assert daily_from_kerb(1, 15.0, 2, "primary").central == pytest.approx(400.0, rel=1e-3)


@pytest.mark.source(
    item="",
    what="90 % limits of Poisson's law after none and after one",
    value="0 and 2.995732; 0.051293 and 4.743865",
    source="-ln 0.05; -ln 0.95 and the root of exp(-m) (1 + m) = 0.05",
    mark="computed",
)
def test_the_limits_of_chance() -> None:
    assert poisson_interval(0) == pytest.approx((0.0, -math.log(0.05)))
    low, high = poisson_interval(1)
    assert low == pytest.approx(-math.log(0.95))
    assert math.exp(-high) * (1.0 + high) == pytest.approx(0.05)
    assert high == pytest.approx(4.743865, abs=1e-6)


@pytest.mark.source(
    item="",
    what="90 % limits of Poisson's law after ten",
    value="the sums of the law to 10 and from 10 are 0.05 each",
    source="Poisson's law summed term by term",
    mark="computed",
)
def test_the_limits_of_chance_after_ten() -> None:
    low, high = poisson_interval(10)
    to_ten = sum(math.exp(-high) * high**k / math.factorial(k) for k in range(11))
    below_ten = sum(math.exp(-low) * low**k / math.factorial(k) for k in range(10))
    assert (to_ten, 1.0 - below_ten) == pytest.approx((0.05, 0.05))


def test_the_range_takes_chance_and_hours_together() -> None:
    band = daily_from_kerb(60, 10.0, 16, "primary")
    low, high = poisson_interval(60)
    assert band.high == pytest.approx(5400.0 * math.exp(math.hypot(math.log(3.0), math.log(high / 60.0))))
    assert band.low == pytest.approx(5400.0 / math.exp(math.hypot(math.log(3.0), math.log(60.0 / low))))
    assert band.high / 3.0 > band.central > band.low * 3.0


def test_a_count_of_none() -> None:
    band = daily_from_kerb(0, 10.0, 9, "residential")
    assert (band.central, band.low) == (0.0, 0.0)
    assert band.high == pytest.approx(2.995732 / (0.7 * 10 / 720), rel=1e-6)


def test_the_range_widens_as_fewer_pass() -> None:
    bands = [daily_from_kerb(number, 10.0, 9, "tertiary") for number in (1000, 100, 10, 1)]
    ratios = [band.high / band.central for band in bands]
    assert ratios == sorted(ratios)
    assert ratios[0] > 3.0
    highs = [daily_from_kerb(number, 10.0, 9, "tertiary").high for number in range(30)]
    assert highs == sorted(highs)


def test_a_whole_day_is_itself() -> None:
    for road_class in ("motorway", "secondary", "residential"):
        assert share_of_day(1440.0, 5, road_class) == pytest.approx(1.0)
    band = daily_from_kerb(900, 1440.0, 0, "residential")
    assert band.central == pytest.approx(900.0)
    assert band.high < 900.0 * 1.6


def test_longer_counts_run_on_into_the_next_hours() -> None:
    assert share_of_day(120.0, 18, "primary") == pytest.approx((7124 / 12 + 1069 / 4) / 8905)
    assert (
        share_of_day(60.0, 23, "primary") == share_of_day(60.0, 6, "primary") == pytest.approx(712 / 8 / 8905)
    )


def test_a_track_takes_the_hours_of_a_service_road() -> None:
    assert share_of_day(60.0, 9, "track") == share_of_day(60.0, 9, "service") == pytest.approx(0.7 / 12)


@pytest.mark.source(
    item="",
    what="first hours of day, evening and night",
    value="7, 19, 23",
    source="Directive 2002/49/EC, Annex I, default values, from memory",
    mark="memory",
)
def test_the_parts_of_the_day_fill_it() -> None:
    rows = reader.rows("kerb_hours")
    assert [int(row["first_hour"]) for row in rows] == [7, 19, 23]
    assert sum(int(row["hours"]) for row in rows) == 24


def test_a_second_count_narrows_the_range() -> None:
    short = _count(counted_vehicles=60, counted_minutes=10.0, counted_hour=16)
    assert is_short(short)
    alone, one_of_two = daily(short, "primary", only=True), daily(short, "primary", only=False)
    assert alone.central == one_of_two.central == pytest.approx(5400.0)
    assert alone.high > one_of_two.high > 5400.0 * parameters.value("count_band")


def test_a_daily_number_stands_as_given() -> None:
    assert not is_short(_count())
    band = daily(_count(), "primary", only=True)
    assert (band.low, band.central, band.high) == (1000.0 / 1.5, 1000.0, 1500.0)


@pytest.mark.parametrize(
    ("given", "message"),
    [
        ((-1, 10.0, 9, "primary"), "0 vehicles or more"),
        ((1, 0.0, 9, "primary"), "more than 0 minutes"),
        ((1, 1441.0, 9, "primary"), "at most a day"),
        ((1, math.nan, 9, "primary"), "more than 0 minutes"),
        ((1, 10.0, 24, "primary"), "0 to 23"),
        ((1, 10.0, 9, "raceway"), "no class of the table"),
    ],
)
def test_impossible_counts_are_refused(given: tuple[int, float, int, str], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        daily_from_kerb(*given)
