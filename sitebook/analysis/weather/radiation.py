"""The sun above the air: its radiation on level ground, and how long the day is by geometry."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

SOLAR_CONSTANT_MJ_M2_MIN = 0.0820
MINUTES_A_DAY = 1440.0
DAYS_IN_EQUATION = 365.0
"""The equations of FAO-56 divide by 365 in leap years too."""


def relative_distance(day_of_year: ArrayLike) -> Floats:
    """Give the inverse square of the relative distance from earth to sun [1].

    References
    ----------
    allen1998, equation 23.
    """
    day = np.asarray(day_of_year, dtype=np.float64)
    return np.asarray(1.0 + 0.033 * np.cos(2.0 * math.pi * day / DAYS_IN_EQUATION))


def declination_rad(day_of_year: ArrayLike) -> Floats:
    """Give the declination of the sun [rad].

    References
    ----------
    allen1998, equation 24.
    """
    day = np.asarray(day_of_year, dtype=np.float64)
    return np.asarray(0.409 * np.sin(2.0 * math.pi * day / DAYS_IN_EQUATION - 1.39))


def sunset_hour_angle_rad(latitude_deg: ArrayLike, day_of_year: ArrayLike) -> Floats:
    """Give the hour angle of the geometric sunset [rad]: 0 in polar night, pi in polar day.

    Raises
    ------
    ValueError
        When a latitude is beyond 90 degrees, or a day is none of the year.

    References
    ----------
    allen1998, equation 25.
    """
    latitude, day = np.asarray(latitude_deg, np.float64), np.asarray(day_of_year, np.float64)
    if not (np.all(np.abs(latitude) <= 90.0) and np.all((day >= 1) & (day <= 366))):
        raise ValueError("a latitude lies from -90 to 90 degrees, and a day of the year from 1 to 366")
    cosine = -np.tan(np.radians(latitude)) * np.tan(declination_rad(day))
    return np.asarray(np.arccos(np.clip(cosine, -1.0, 1.0)))


def extraterrestrial_radiation_mj_m2(latitude_deg: ArrayLike, day_of_year: ArrayLike) -> Floats:
    """Give the sun's radiation of a day above the air, on level ground.

    Parameters
    ----------
    latitude_deg
        Latitude, below 0 in the south [deg].
    day_of_year
        1 on 1 January [d]; both broadcast.

    Returns
    -------
    ndarray
        Radiation [MJ/m2 a day]; 0 in polar night.

    Raises
    ------
    ValueError
        When a latitude is beyond 90 degrees, or a day is none of the year.

    References
    ----------
    allen1998, equation 21.
    """
    hour_angle = sunset_hour_angle_rad(latitude_deg, day_of_year)
    latitude, tilt = np.radians(np.asarray(latitude_deg, np.float64)), declination_rad(day_of_year)
    height = hour_angle * np.sin(latitude) * np.sin(tilt)
    height = height + np.cos(latitude) * np.cos(tilt) * np.sin(hour_angle)
    scale = MINUTES_A_DAY / math.pi * SOLAR_CONSTANT_MJ_M2_MIN
    return np.asarray(np.maximum(scale * relative_distance(day_of_year) * height, 0.0))


def day_length_h(latitude_deg: ArrayLike, day_of_year: ArrayLike) -> Floats:
    """Give the length of the day by geometry alone, without the bending of light by the air.

    Parameters
    ----------
    latitude_deg, day_of_year
        As in `extraterrestrial_radiation_mj_m2`.

    Returns
    -------
    ndarray
        Hours from geometric sunrise to sunset [h]: 0 in polar night, 24 in polar day. What an almanac
        prints is longer by some minutes, since light bends and the sun is a disc.

    References
    ----------
    allen1998, equation 34.
    """
    return np.asarray(24.0 / math.pi * sunset_hour_angle_rad(latitude_deg, day_of_year))
