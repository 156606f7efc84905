"""How much of past rain still counts."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from sitebook.citations import Cited

Floats = NDArray[np.float64]

DECAY = Cited(0.9, "1", "kohler_linsley1951", "memory", "0.85 to 0.9 is usual")
LAG_DAYS = Cited(12.0, "d", "ours", "our choice")
LAG_SPREAD_DAYS = Cited(6.0, "d", "ours", "our choice")
LAG_LENGTH_DAYS = 40


def antecedent_index(rain_mm: ArrayLike, decay: float = DECAY.value, start_mm: float = 0.0) -> Floats:
    """Give the antecedent precipitation index of each day.

    Parameters
    ----------
    rain_mm
        Rain of successive days (n,) [mm], 0 or more. A missing day makes that day and all after it missing.
    decay
        Share of the index that is left after a day, from 0 to below 1.
    start_mm
        Index of the day before the first [mm].

    Returns
    -------
    ndarray
        Index of each day (n,) [mm]: yesterday's times the decay, and today's rain. Steady rain p leads
        to p / (1 - decay).

    Raises
    ------
    ValueError
        When the decay lies outside its range, or rain is below 0.

    References
    ----------
    kohler_linsley1951.
    """
    rain = np.asarray(rain_mm, dtype=np.float64)
    if not 0.0 <= decay < 1.0 or np.any(rain < 0.0) or start_mm < 0.0:
        raise ValueError("a decay lies from 0 to below 1, and rain is 0 or more")
    index = np.empty_like(rain)
    held = float(start_mm)
    for day, fallen in enumerate(rain):
        held = decay * held + float(fallen)
        index[day] = held
    return index


def lagged_rain_mm(rain_mm: ArrayLike) -> Floats:
    """Give the rain of the past 40 days, weighted most 12 days back.

    Parameters
    ----------
    rain_mm
        Rain of successive days (n,) [mm]; NaN where not known.

    Returns
    -------
    ndarray
        Weighted mean of the last 40 days (n,) [mm a day]; NaN for the first days and wherever a day in
        the window is not known.
    """
    rain, weights = np.asarray(rain_mm, np.float64), lag_weights()
    lagged = np.full(rain.shape, np.nan)
    if rain.size < weights.size:
        return lagged
    windows = np.lib.stride_tricks.sliding_window_view(rain, weights.size)
    lagged[weights.size - 1 :] = windows @ weights[::-1]
    return lagged


def lag_weights() -> Floats:
    """Give the weight of the rain of each past day, today first, that add up to 1 (40,) [1]."""
    back = np.arange(LAG_LENGTH_DAYS, dtype=np.float64)
    weights = np.exp(-0.5 * ((back - LAG_DAYS.value) / LAG_SPREAD_DAYS.value) ** 2)
    return np.asarray(weights / weights.sum())


def known_share(days_ahead: ArrayLike) -> Floats:
    """Give how much of the weight of lagged rain has fallen already when looking some days ahead [1]."""
    ahead = np.clip(np.asarray(days_ahead, np.int64), 0, LAG_LENGTH_DAYS)
    left = np.append(np.cumsum(lag_weights()[::-1])[::-1], 0.0)
    return np.asarray(left[ahead])
