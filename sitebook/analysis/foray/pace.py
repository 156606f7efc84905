"""Gives speeds on foot, by bicycle and by car, and the time a distance takes."""

from __future__ import annotations

from functools import cache
from typing import Literal, get_args

import numpy as np
from numpy.typing import ArrayLike, NDArray

from sitebook.citations import Cited
from sitebook.reference import reader

Floats = NDArray[np.float64]
Mode = Literal["foot", "bicycle", "car"]
MODES: tuple[Mode, ...] = get_args(Mode)
M_A_MINUTE_PER_KMH = 1000.0 / 60.0


@cache
def model() -> dict[str, Cited]:
    """Give the numbers of travel and of the plan by name, as "detour_foot"."""
    return reader.parameters("foray_model")


def value(name: str) -> float:
    """Give one number of travel or of the plan."""
    return model()[name].value


@cache
def speeds(mode: Mode) -> dict[str, Cited]:
    """Give the speed on each class of way that is open to a mode unless tags say otherwise [km/h]."""
    rows = reader.rows("way_speeds")
    return {row["road_class"]: reader.cited(row) for row in rows if row["mode"] == mode}


def hiking_speed_kmh(slope: ArrayLike) -> Floats:
    """Give the speed on foot on a path.

    Parameters
    ----------
    slope
        Rise over level distance in the direction walked [1]; below 0 it goes down.

    Returns
    -------
    ndarray
        Speed along the level [km/h]: 5.04 on the flat, 6 at most, on a slope of -0.05.

    References
    ----------
    tobler1993, hiking function; secondary.
    """
    away = np.abs(np.asarray(slope, dtype=np.float64) + value("tobler_shift"))
    return np.asarray(value("tobler_top") * np.exp(-value("tobler_steepness") * away))


def walking_minutes(
    distance_m: ArrayLike, rise_m: ArrayLike = 0.0, *, flat_kmh: float | None = None
) -> Floats:
    """Give the time to walk level distances with the rise on each.

    Parameters
    ----------
    distance_m
        Level distance, 0 or more [m].
    rise_m
        Height gained on it, below 0 where it goes down [m]; 0 where no heights are known.
    flat_kmh
        Speed of this way on the flat [km/h]; the hiking function's own where None.

    Returns
    -------
    ndarray
        Time [min]; 0 for no distance.
    """
    distance, rise = np.asarray(distance_m, np.float64), np.asarray(rise_m, np.float64)
    slope = np.divide(rise, distance, out=np.zeros(np.broadcast(rise, distance).shape), where=distance > 0.0)
    speed = hiking_speed_kmh(slope)
    if flat_kmh is not None:
        speed = speed * (flat_kmh / hiking_speed_kmh(0.0))
    return np.asarray(distance / (speed * M_A_MINUTE_PER_KMH))


def off_way_minutes(distance_m: ArrayLike) -> Floats:
    """Give the time to walk across country, without a way, on the flat [min].

    References
    ----------
    tobler1993, off-path travel; secondary.
    """
    flat_kmh = float(hiking_speed_kmh(0.0)) * value("off_way_share")
    return np.asarray(np.asarray(distance_m, np.float64) / (flat_kmh * M_A_MINUTE_PER_KMH))


def unmapped_minutes(distance_m: ArrayLike, mode: Mode) -> Floats:
    """Give the time to travel as the crow flies where there is no map: a stated detour at a stated speed.

    Parameters
    ----------
    distance_m
        Distance in a straight line [m].
    mode
        How one travels.
    """
    way_m = np.asarray(distance_m, np.float64) * value(f"detour_{mode}")
    return np.asarray(way_m / (value(f"unmapped_{mode}") * M_A_MINUTE_PER_KMH))
