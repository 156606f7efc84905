"""Tests sunrise and sunset against another program over a year, and what polar days and nights say."""

from __future__ import annotations

import datetime
from collections.abc import Iterator

import pytest
from astral import Observer
from astral.sun import noon, sunrise, sunset

from sitebook.analysis.foray.daylight import HORIZON_DEG, height_deg, sun_times
from sitebook.errors import PositionImpossible

YEAR = 2026
ISLAND = -19.4
NORTH_CAPE_SIDE = 69.6
EAST_OF_IT = 19.0
"""Here the sun sets before midnight UTC outside the days left out; astral tells sets by the UTC day."""
DAYS_FROM_SWITCH = 10


def _days() -> Iterator[datetime.date]:
    first = datetime.date(YEAR, 1, 1)
    yield from (first + datetime.timedelta(days=day) for day in range(365))


def _astral(lon: float, lat: float, on: datetime.date) -> tuple[datetime.datetime, datetime.datetime] | None:
    place = Observer(latitude=lat, longitude=lon)
    try:
        return sunrise(place, on, tzinfo=datetime.UTC), sunset(place, on, tzinfo=datetime.UTC)
    except ValueError:
        return None


def _minutes_apart(one: datetime.datetime, other: datetime.datetime) -> float:
    return abs((one - other).total_seconds()) / 60.0


@pytest.mark.source(
    item="",
    what="sunrise and sunset on every day of a year at 0, 48.6 and 60 N",
    value="within 1 minute",
    source="astral 3.2",
    mark="secondary",
)
@pytest.mark.parametrize("lat", [0.0, 48.6, 60.0])
def test_rise_and_set_agree_with_astral(lat: float) -> None:
    worst = 0.0
    for on in _days():
        found, theirs = sun_times(ISLAND, lat, on), _astral(ISLAND, lat, on)
        assert theirs is not None
        assert found.rises is not None
        assert found.sets is not None
        assert found.polar is None
        worst = max(worst, _minutes_apart(found.rises, theirs[0]), _minutes_apart(found.sets, theirs[1]))
    assert worst < 1.0


@pytest.mark.source(
    item="",
    what="sunrise and sunset at 69.6 N but for ten days either side of the switch to polar day or night",
    value="within 5 minutes; the same days polar",
    source="astral 3.2",
    mark="secondary",
)
def test_rise_and_set_agree_with_astral_in_the_far_north() -> None:
    days = list(_days())
    theirs = [_astral(EAST_OF_IT, NORTH_CAPE_SIDE, on) for on in days]
    switches = [k for k in range(1, len(days)) if (theirs[k] is None) != (theirs[k - 1] is None)]
    assert len(switches) >= 4
    compared = polar = 0
    for k, on in enumerate(days):
        if min(abs(k - switch) for switch in switches) <= DAYS_FROM_SWITCH:
            continue
        found, their = sun_times(EAST_OF_IT, NORTH_CAPE_SIDE, on), theirs[k]
        if their is None:
            polar += 1
            assert found.polar == ("day" if 4 <= on.month <= 8 else "night")
            assert found.rises is None
            assert found.sets is None
            continue
        compared += 1
        assert found.rises is not None
        assert found.sets is not None
        assert _minutes_apart(found.rises, their[0]) < 5.0
        assert _minutes_apart(found.sets, their[1]) < 5.0
    assert compared > 180
    assert polar > 50


@pytest.mark.source(
    item="",
    what="noon by the sun on every tenth day",
    value="within 1 minute",
    source="astral 3.2",
    mark="secondary",
)
def test_noon_agrees_with_astral() -> None:
    for on in list(_days())[::10]:
        theirs = noon(Observer(latitude=48.6, longitude=ISLAND), on, tzinfo=datetime.UTC)
        assert _minutes_apart(sun_times(ISLAND, 48.6, on).noon, theirs) < 1.0


def test_the_sun_stands_on_the_horizon_when_it_rises_and_sets() -> None:
    day = sun_times(ISLAND, 48.6, datetime.date(2026, 10, 3))
    assert day.rises is not None
    assert day.sets is not None
    assert day.rises < day.noon < day.sets
    for instant in (day.rises, day.sets):
        assert height_deg(ISLAND, 48.6, instant) == pytest.approx(HORIZON_DEG.value, abs=0.005)


@pytest.mark.parametrize("lon", [-180.0, -100.0, 0.0, 100.0, 180.0])
def test_the_day_is_the_one_at_the_place(lon: float) -> None:
    on = datetime.date(2026, 10, 3)
    day = sun_times(lon, 20.0, on)
    assert day.rises is not None
    local = day.noon + datetime.timedelta(hours=lon / 15.0)
    assert local.date() == on
    assert 11 <= local.hour <= 12
    assert datetime.timedelta(hours=5) < day.noon - day.rises < datetime.timedelta(hours=7)


def test_the_poles_have_day_and_night() -> None:
    assert sun_times(0.0, 90.0, datetime.date(2026, 6, 21)).polar == "day"
    assert sun_times(0.0, -90.0, datetime.date(2026, 6, 21)).polar == "night"


def test_a_place_off_the_globe_is_refused() -> None:
    with pytest.raises(PositionImpossible):
        sun_times(0.0, 91.0, datetime.date(2026, 6, 21))
