"""Says when the sun rises and sets at a place on a day."""

from __future__ import annotations

import datetime
import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from sitebook.citations import Cited
from sitebook.ground.projection import refuse_impossible

Polar = Literal["day", "night"]

HORIZON_DEG = Cited(-0.833, "°", "noaa_solar", "secondary", "sunrise and sunset")
"""Height of the sun's middle when its upper rim touches a level horizon, bent light allowed for."""

J2000 = datetime.datetime(2000, 1, 1, 12, tzinfo=datetime.UTC)
DAYS_A_CENTURY = 36525.0
HALF_DAY = datetime.timedelta(hours=12)
HALVINGS = 30
"""Half a day halved this often is less than a millisecond."""


@dataclass(frozen=True)
class SunTimes:
    """The sun's day at a place.

    Parameters
    ----------
    rises
        Instant at which its upper rim comes up, UTC; None where it is up already or stays down.
    sets
        Instant at which its upper rim goes down, UTC; None where it stays up or never came.
    noon
        Instant at which it stands highest, to the second, UTC.
    polar
        "day" where it neither rises nor sets for being up, "night" where it stays down, else None.
    """

    rises: datetime.datetime | None
    sets: datetime.datetime | None
    noon: datetime.datetime
    polar: Polar | None


def sun_times(lon: float, lat: float, on: datetime.date) -> SunTimes:
    """Say when the sun rises, stands highest and sets.

    The day is the one by the sun at the place: it runs from the midnight before the noon to the midnight
    after. The horizon is level and the place at the height of the sea; hills, height and weather move
    the instants by minutes.

    Parameters
    ----------
    lon, lat
        The place, WGS 84 [deg].
    on
        Local calendar date.

    Raises
    ------
    PositionImpossible
        When it is not a place on the globe.

    References
    ----------
    noaa_solar, equations of the spreadsheet, after Meeus; secondary. Its solution for the hour is
    replaced by a search, which also holds near the ends of the polar day.
    """
    refuse_impossible(lon, lat)
    noon = _noon(lon, on)
    before, after = noon - HALF_DAY, noon + HALF_DAY

    def above(instant: datetime.datetime) -> bool:
        return height_deg(lon, lat, instant) > HORIZON_DEG.value

    if not above(noon):
        return SunTimes(None, None, _to_second(noon), "night")
    rises = None if above(before) else _turn(above, before, noon)
    sets = None if above(after) else _turn(above, after, noon)
    return SunTimes(rises, sets, _to_second(noon), "day" if rises is None and sets is None else None)


def height_deg(lon: float, lat: float, at: datetime.datetime) -> float:
    """Give the height of the sun's middle above a level horizon [deg], without the air's bending.

    References
    ----------
    noaa_solar, equations of the spreadsheet; secondary.
    """
    declination, equation_min = _declination_and_equation(_century(at))
    midnight = at.replace(hour=0, minute=0, second=0, microsecond=0)
    clock_min = (at - midnight).total_seconds() / 60.0
    hour_angle = math.radians((clock_min + equation_min) / 4.0 + lon - 180.0)
    phi = math.radians(lat)
    sine = math.sin(phi) * math.sin(declination)
    sine += math.cos(phi) * math.cos(declination) * math.cos(hour_angle)
    return math.degrees(math.asin(min(max(sine, -1.0), 1.0)))


def _noon(lon: float, on: datetime.date) -> datetime.datetime:
    mean = datetime.datetime.combine(on, datetime.time(12), datetime.UTC) - datetime.timedelta(
        hours=lon / 15.0
    )
    noon = mean
    for _ in range(2):
        _, equation_min = _declination_and_equation(_century(noon))
        noon = mean - datetime.timedelta(minutes=equation_min)
    return noon


def _turn(
    above: Callable[[datetime.datetime], bool], low: datetime.datetime, high: datetime.datetime
) -> datetime.datetime:
    """Find when the sun crosses the horizon between an instant below and one above it."""
    for _ in range(HALVINGS):
        middle = low + (high - low) / 2
        low, high = (low, middle) if above(middle) else (middle, high)
    return _to_second(high)


def _to_second(instant: datetime.datetime) -> datetime.datetime:
    return (instant + datetime.timedelta(milliseconds=500)).replace(microsecond=0)


def _century(at: datetime.datetime) -> float:
    return (at - J2000).total_seconds() / 86400.0 / DAYS_A_CENTURY


def _declination_and_equation(century: float) -> tuple[float, float]:
    """Give the sun's declination [rad] and the equation of time [min] from centuries after J2000."""
    longitude = math.radians(280.46646 + century * (36000.76983 + century * 0.0003032))
    anomaly = math.radians(357.52911 + century * (35999.05029 - century * 0.0001537))
    eccentricity = 0.016708634 - century * (0.000042037 + century * 0.0000001267)
    centre_deg = (1.914602 - century * (0.004817 + century * 0.000014)) * math.sin(anomaly)
    centre_deg += (0.019993 - century * 0.000101) * math.sin(2.0 * anomaly)
    centre_deg += 0.000289 * math.sin(3.0 * anomaly)
    node = math.radians(125.04 - 1934.136 * century)
    seen_deg = math.degrees(longitude) + centre_deg - 0.00569 - 0.00478 * math.sin(node)
    tilt_seconds = 21.448 - century * (46.815 + century * (0.00059 - century * 0.001813))
    tilt = math.radians(23.0 + (26.0 + tilt_seconds / 60.0) / 60.0 + 0.00256 * math.cos(node))
    declination = math.asin(math.sin(tilt) * math.sin(math.radians(seen_deg)))
    y = math.tan(tilt / 2.0) ** 2
    equation = y * math.sin(2.0 * longitude) - 2.0 * eccentricity * math.sin(anomaly)
    equation += 4.0 * eccentricity * y * math.sin(anomaly) * math.cos(2.0 * longitude)
    equation -= 0.5 * y * y * math.sin(4.0 * longitude)
    equation -= 1.25 * eccentricity**2 * math.sin(2.0 * anomaly)
    return declination, 4.0 * math.degrees(equation)
