"""How much of a substance is left after some days, as first-order decay with a wide band."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from sitebook.citations import Cited

Floats = NDArray[np.float64]

BAND_FACTOR = Cited(3.0, "1", "ours", "our choice")
"""Half-lives are taken three times longer and shorter: five soils of one substance span a factor of 37."""

WASHING_RAIN_MM = Cited(2.5, "mm", "ours", "our choice")
"""A day with more rain than this washes foliage once."""

SOIL_DEPTH_M = Cited(0.05, "m", "ours", "our choice")
BULK_DENSITY_KG_M3 = Cited(1500.0, "kg/m3", "ours", "our choice")


def remaining_fraction(days: ArrayLike, dt50_days: ArrayLike) -> Floats:
    """Give the fraction left after some days.

    Parameters
    ----------
    days
        Time since it was brought out [d], 0 or more.
    dt50_days
        Time in which half is gone [d], above 0; infinite for an element, which does not decay.

    Raises
    ------
    ValueError
        When a time is negative or missing, or a half-life is not above 0.
    """
    _refuse_impossible(days, dt50_days)
    time, half_life = np.broadcast_arrays(np.asarray(days, np.float64), np.asarray(dt50_days, np.float64))
    return np.asarray(np.exp2(-time / half_life))


def _refuse_impossible(days: ArrayLike, dt50_days: ArrayLike) -> None:
    time, half_life = np.asarray(days, np.float64), np.asarray(dt50_days, np.float64)
    if not (np.all(time >= 0.0) and np.all(np.isfinite(time)) and np.all(half_life > 0.0)):
        raise ValueError("days are 0 or more, and a half-life is above 0")


def time_weighted_mean(days: ArrayLike, dt50_days: ArrayLike) -> Floats:
    """Give the mean fraction over the time from the start to some day.

    Parameters
    ----------
    days, dt50_days
        As in `remaining_fraction`.
    """
    _refuse_impossible(days, dt50_days)
    time, half_life = np.broadcast_arrays(np.asarray(days, np.float64), np.asarray(dt50_days, np.float64))
    folds = np.log(2.0) * time / half_life
    still = folds == 0.0
    return np.asarray(np.where(still, 1.0, -np.expm1(-folds) / np.where(still, 1.0, folds)))


def remaining_band(days: ArrayLike, dt50_days: ArrayLike) -> tuple[Floats, Floats, Floats]:
    """Give the fraction left as (central, low, high), the half-life divided and multiplied by three."""
    half_life = np.asarray(dt50_days, np.float64)
    return (
        remaining_fraction(days, half_life),
        remaining_fraction(days, half_life / BAND_FACTOR.value),
        remaining_fraction(days, half_life * BAND_FACTOR.value),
    )


def foliage_fraction(
    days: ArrayLike, half_life_days: ArrayLike, washings: ArrayLike, wash_off: ArrayLike
) -> Floats:
    """Give the fraction left on leaves and caps, washed once for each rainy day.

    Parameters
    ----------
    days
        Time since it was brought out [d].
    half_life_days
        Half-life on foliage [d].
    washings
        Days with more rain than `WASHING_RAIN_MM` since.
    wash_off
        Fraction that one such rain takes, 0 to 1.

    Raises
    ------
    ValueError
        When a number is out of its range.
    """
    share, times = np.asarray(wash_off, np.float64), np.asarray(washings, np.float64)
    if not (np.all((share >= 0.0) & (share <= 1.0)) and np.all(times >= 0.0)):
        raise ValueError("a wash-off fraction lies between 0 and 1, and washings are 0 or more")
    return np.asarray(remaining_fraction(days, half_life_days) * (1.0 - share) ** times)


def soil_residue_mg_kg(
    rate_g_ha: ArrayLike,
    fraction: ArrayLike = 1.0,
    *,
    depth_m: float = SOIL_DEPTH_M.value,
    bulk_kg_m3: float = BULK_DENSITY_KG_M3.value,
) -> Floats:
    """Give the concentration in the topsoil that a rate makes when mixed in evenly.

    Parameters
    ----------
    rate_g_ha
        What was brought out [g/ha].
    fraction
        Share of it that reached this ground and is left, 0 to 1.
    depth_m, bulk_kg_m3
        Mixing depth [m] and bulk density of the soil [kg/m3].

    Returns
    -------
    ndarray
        Concentration [mg/kg of dry soil].
    """
    grams_m2 = np.asarray(rate_g_ha, np.float64) / 10_000.0 * np.asarray(fraction, np.float64)
    return np.asarray(grams_m2 * 1000.0 / (depth_m * bulk_kg_m3))
