"""Turns a short count at the kerb into vehicles a day, with what chance and the hour leave open."""

from __future__ import annotations

import math
from functools import cache

from scipy import stats

from sitebook.analysis.contamination import parameters
from sitebook.records.map_data import TrafficCount
from sitebook.records.results.contamination import Band
from sitebook.reference import reader

WHOLE_DAY_MIN = 1440.0
MINUTES_AN_HOUR = 60.0
HOURS = 24
TAIL = 0.05
"""Share of chance left out at each end of a 90 % interval."""

LIKE = "service"
"""Class whose hours stand in for a class without motor traffic of its own, as a track."""


def daily_from_kerb(vehicles: int, minutes: float, hour: int, road_class: str) -> Band:
    """Turn a count of some minutes that is the only one of its road into vehicles a day.

    Parameters
    ----------
    vehicles
        Vehicles that passed, 0 or more.
    minutes
        How long was counted, above 0 and at most a day [min]. A count longer than an hour is taken to
        run on from the full hour.
    hour
        Local clock hour of the count, 0 to 23.
    road_class
        Value of the highway tag of the road.

    Returns
    -------
    Band
        Vehicles a day. The range takes together the exact 90 % interval of Poisson's law and the factor
        `kerb_band` of the road model, for a whole day `count_band`, by the root of the sum of the squares
        of their logarithms. After a count of none the central number is 0 and the range runs to the upper
        end of Poisson's interval.

    Raises
    ------
    ValueError
        When a number is out of its range or the class is not in the table of traffic.

    Notes
    -----
    The interval is that of chi-square: half its 5 % point at 2 n degrees of freedom to half its 95 %
    point at 2 n + 2. The share of the day is that of the class in day, evening and night (wgaen2006,
    Tool 2.5), each spread evenly over its hours.
    """
    whole_day = minutes >= WHOLE_DAY_MIN
    factor = parameters.value("count_band" if whole_day else "kerb_band")
    return kerb_band(vehicles, minutes, hour, road_class, factor=factor)


def kerb_band(vehicles: int, minutes: float, hour: int, road_class: str, *, factor: float) -> Band:
    """Turn a count of some minutes into vehicles a day, as `daily_from_kerb` with a factor of its own."""
    if vehicles < 0:
        raise ValueError("a count holds 0 vehicles or more")
    share = share_of_day(minutes, hour, road_class)
    low, high = poisson_interval(vehicles)
    if vehicles == 0:
        return Band(0.0, 0.0, high / share)
    down = math.exp(-math.hypot(math.log(factor), math.log(vehicles / low)))
    up = math.exp(math.hypot(math.log(factor), math.log(high / vehicles)))
    central = vehicles / share
    return Band(central, central * down, central * up)


def poisson_interval(vehicles: int) -> tuple[float, float]:
    """Give the exact 90 % interval of the expected number behind a count."""
    low = 0.0 if vehicles == 0 else float(stats.chi2.ppf(TAIL, 2 * vehicles)) / 2.0
    return low, float(stats.chi2.ppf(1.0 - TAIL, 2 * vehicles + 2)) / 2.0


def share_of_day(minutes: float, hour: int, road_class: str) -> float:
    """Give the share of a day's vehicles that passes in some minutes from an hour on.

    Raises
    ------
    ValueError
        When the minutes are not above 0 and at most a day, the hour is not 0 to 23, or the class is not
        in the table of traffic.
    """
    if not 0.0 < minutes <= WHOLE_DAY_MIN:
        raise ValueError("a count lasts more than 0 minutes and at most a day")
    if not 0 <= hour < HOURS:
        raise ValueError("the hour of a count is 0 to 23")
    if road_class not in parameters.road_classes():
        raise ValueError(f"{road_class!r} is no class of the table of traffic")
    by_hour = _shares_by_hour(road_class)
    full, rest = divmod(minutes, MINUTES_AN_HOUR)
    whole = sum(by_hour[(hour + k) % HOURS] for k in range(int(full)))
    return whole + by_hour[(hour + int(full)) % HOURS] * rest / MINUTES_AN_HOUR


def is_short(count: TrafficCount) -> bool:
    """Say whether a count was made at the kerb in less than a day."""
    return _was_timed(count) and (count.counted_minutes or 0.0) < WHOLE_DAY_MIN


def daily(count: TrafficCount, road_class: str, *, only: bool) -> Band:
    """Give the vehicles a day of a count on a road of a class.

    Parameters
    ----------
    count
        The count; where it has vehicles, minutes and hour, these go before its daily number.
    road_class
        Class of the road it is matched to.
    only
        Whether it is the only count of that road.
    """
    factor = parameters.value("kerb_band" if only and is_short(count) else "count_band")
    if _was_timed(count):
        vehicles, minutes = count.counted_vehicles or 0, count.counted_minutes or 0.0
        return kerb_band(vehicles, minutes, count.counted_hour or 0, road_class, factor=factor)
    number = count.vehicles_per_day
    return Band(number, number / factor, number * factor)


def _was_timed(count: TrafficCount) -> bool:
    return None not in (count.counted_vehicles, count.counted_minutes, count.counted_hour)


@cache
def _shares_by_hour(road_class: str) -> tuple[float, ...]:
    """Give the share of a day's vehicles in each of 24 clock hours."""
    rows = {row["road_class"]: row for row in reader.rows("traffic_by_class")}
    row = rows[road_class if float(rows[road_class]["vehicles_per_day"]) > 0.0 else LIKE]
    shares = [0.0] * HOURS
    for part in reader.rows("kerb_hours"):
        first, hours = int(part["first_hour"]), int(part["hours"])
        for k in range(hours):
            shares[(first + k) % HOURS] = float(row[part["part"]]) / hours / float(row["vehicles_per_day"])
    return tuple(shares)
