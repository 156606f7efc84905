"""Temperature of the soil under litter, from that of the air."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from sitebook.citations import Cited

Floats = NDArray[np.float64]

FOLLOWS = Cited(1.0 / 8.0, "1/d", "ours", "our choice")
"""Share of the difference to the air that soil 10 cm under litter makes up in a day."""

SPIN_UP_DAYS = 30
DAYS_A_YEAR = 365.0


def soil_temperature_degc(air_degc: ArrayLike, follows: float = FOLLOWS.value) -> Floats:
    """Give the temperature some 10 cm under litter on each day.

    Parameters
    ----------
    air_degc
        Mean air temperature of successive days (n,) [deg C]; NaN where not known.
    follows
        Share of the difference made up in a day, above 0 to 1.

    Returns
    -------
    ndarray
        Soil temperature (n,) [deg C]; NaN for the first 30 days of each unbroken run.

    Raises
    ------
    ValueError
        When the share is out of its range.
    """
    if not 0.0 < follows <= 1.0:
        raise ValueError("a share of the difference lies above 0 and at most at 1")
    air = np.asarray(air_degc, np.float64)
    soil = np.full(air.shape, np.nan)
    level, run = math.nan, 0
    for day, degrees in enumerate(air):
        if math.isnan(degrees):
            level, run = math.nan, 0
            continue
        level = degrees if run == 0 else level + follows * (degrees - level)
        run += 1
        if run > SPIN_UP_DAYS:
            soil[day] = level
    return soil


def annual_wave_degc(
    day: ArrayLike,
    *,
    depth_m: float,
    mean_degc: float,
    swing_degc: float,
    coldest_day: float,
    diffusivity_m2_d: float,
) -> Floats:
    """Give the soil temperature of an even year at a depth, to hold other ways against.

    Parameters
    ----------
    day
        Day of the year [d].
    depth_m
        Depth [m].
    mean_degc, swing_degc
        Yearly mean, and half the yearly range at the surface [deg C].
    coldest_day
        Day of the lowest temperature at the surface [d].
    diffusivity_m2_d
        Thermal diffusivity [m2/d].

    References
    ----------
    hillel1982: a damped wave; its damping depth is the root of twice the diffusivity over the frequency.
    """
    frequency = 2.0 * math.pi / DAYS_A_YEAR
    damping_m = math.sqrt(2.0 * diffusivity_m2_d / frequency)
    phase = frequency * (np.asarray(day, np.float64) - coldest_day) - depth_m / damping_m - math.pi / 2.0
    return np.asarray(mean_degc + swing_degc * math.exp(-depth_m / damping_m) * np.sin(phase))
