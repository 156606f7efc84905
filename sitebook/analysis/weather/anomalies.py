"""How far the weather of a day lies from what its station is used to at that time of the year."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from sitebook.citations import Cited

Floats = NDArray[np.float64]
Dates = NDArray[np.datetime64]

HARMONICS = 2
FEWEST_DAYS = Cited(1095.0, "d", "ours", "our choice")
"""Known days that a climate needs: three years."""
FEWEST_TWELFTH_DAYS = Cited(60.0, "d", "ours", "our choice")
"""Known days that it needs of each twelfth of the year."""


@dataclass(frozen=True)
class Climate:
    """What a station is used to over the year.

    Parameters
    ----------
    waves
        Mean, and cosine and sine of one and two turns a year (5,), in the unit of the series.
    spread
        Standard deviation of a day around it, in the same unit.
    """

    waves: Floats
    spread: float


def climate_of(values: ArrayLike, local_dates: Dates) -> Climate | None:
    """Learn what a station is used to from its own days.

    Parameters
    ----------
    values
        A daily series (n,); NaN where not known.
    local_dates
        Its dates (n,).

    Returns
    -------
    Climate or None
        None where fewer than three years of days are known, or too few of a time of the year, or all
        days are alike.
    """
    series = np.asarray(values, np.float64)
    angle = _angle_rad(local_dates)
    known = np.isfinite(series)
    twelfths = np.bincount((angle[known] * 6.0 / math.pi).astype(np.int64) % 12, minlength=12)
    if known.sum() < FEWEST_DAYS.value or twelfths.min() < FEWEST_TWELFTH_DAYS.value:
        return None
    columns = _columns(angle[known])
    waves = np.asarray(np.linalg.lstsq(columns, series[known], rcond=None)[0], np.float64)
    left = series[known] - columns @ waves
    spread = float(np.sqrt(left @ left / (known.sum() - waves.size)))
    floor = 1e-9 * max(1.0, float(np.abs(series[known]).max()))
    return Climate(waves, spread) if spread > floor else None


def normal(climate: Climate, local_dates: Dates) -> Floats:
    """Give what a station is used to on some dates (n,), in the unit of its series."""
    return np.asarray(_columns(_angle_rad(local_dates)) @ climate.waves)


def anomalies(values: ArrayLike, local_dates: Dates, climate: Climate | None = None) -> Floats:
    """Give each day of a series in standard deviations from what the station is used to.

    Parameters
    ----------
    values
        A daily series (n,); NaN where not known.
    local_dates
        Its dates (n,).
    climate
        What the station is used to; None to learn it from the series.

    Returns
    -------
    ndarray
        Anomaly (n,) [1]; NaN where the day is not known, and everywhere without a climate.
    """
    series = np.asarray(values, np.float64)
    used = climate or climate_of(series, local_dates)
    if used is None:
        return np.full(series.shape, np.nan)
    return np.asarray((series - normal(used, local_dates)) / used.spread)


def _columns(angle_rad: Floats) -> Floats:
    waves = [wave(k * angle_rad) for k in range(1, HARMONICS + 1) for wave in (np.cos, np.sin)]
    return np.column_stack([np.ones(angle_rad.size), *waves])


def _angle_rad(local_dates: Dates) -> Floats:
    day, days_in_year = day_of_year(local_dates)
    return np.asarray(2.0 * math.pi * (day - 0.5) / days_in_year)


def day_of_year(local_dates: Dates) -> tuple[Floats, Floats]:
    """Give the day of the year, 1 on 1 January, and how many days its year has."""
    days = np.asarray(local_dates, "datetime64[D]")
    first = days.astype("datetime64[Y]").astype("datetime64[D]")
    following = (days.astype("datetime64[Y]") + 1).astype("datetime64[D]")
    one = np.timedelta64(1, "D")
    return (days - first) / one + 1.0, (following - first) / one
