"""Warmth of a day above a threshold, from its lowest and highest temperature."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


def single_sine(
    temp_min: ArrayLike, temp_max: ArrayLike, lower: ArrayLike, upper: ArrayLike | None = None
) -> Floats:
    """Give the degree days of a day whose temperature runs along one sine wave.

    Parameters
    ----------
    temp_min, temp_max
        Lowest and highest temperature.
    lower
        Threshold above which warmth counts.
    upper
        Temperature above which more warmth adds nothing (horizontal cut-off); None for no such limit.
        All four in one unit, deg C or deg F.

    Returns
    -------
    ndarray
        Degree days in that unit, 0 or more.

    Raises
    ------
    ValueError
        When a lowest temperature lies above the highest, or the upper limit below the threshold.

    References
    ----------
    baskerville_emin1969; the horizontal cut-off as in zalom1983.
    """
    low, high = np.asarray(temp_min, np.float64), np.asarray(temp_max, np.float64)
    if np.any(low > high):
        raise ValueError("a lowest temperature lies at or below the highest")
    if upper is None:
        return _above(low, high, np.asarray(lower, np.float64))
    limit = np.asarray(upper, np.float64)
    if np.any(limit < np.asarray(lower, np.float64)):
        raise ValueError("an upper limit lies at or above the threshold")
    return np.asarray(_above(low, high, np.asarray(lower, np.float64)) - _above(low, high, limit))


def _above(low: Floats, high: Floats, threshold: Floats) -> Floats:
    """Give the area of a sine wave above a threshold over one day."""
    low, high, threshold = np.broadcast_arrays(low, high, threshold)
    middle, swing = (high + low) / 2.0, (high - low) / 2.0
    crosses = (low < threshold) & (high > threshold)
    ratio = np.where(crosses, (threshold - middle) / np.where(crosses, swing, 1.0), 0.0)
    angle = np.arcsin(np.clip(ratio, -1.0, 1.0))
    part = ((middle - threshold) * (np.pi / 2.0 - angle) + swing * np.cos(angle)) / np.pi
    whole = np.where(low >= threshold, middle - threshold, 0.0)
    return np.asarray(np.where(crosses, part, whole))
