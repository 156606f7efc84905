"""Water in the top soil, day by day, as a bucket that rain fills and grass empties."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from sitebook.citations import Cited

Floats = NDArray[np.float64]

HOLDS_MM = Cited(50.0, "mm", "ours", "our choice")
"""Water that litter and top soil hold for plants."""

EASY_SHARE = Cited(0.5, "1", "ours", "our choice")
"""Share of it that is taken up freely before plants begin to close."""

MEMORY_DAYS = Cited(15.0, "d", "ours", "our choice")
"""Days after which about two thirds of what soil moisture tells of later moisture is lost."""
BRIDGED_DAYS = Cited(3.0, "d", "ours", "our choice")
"""Longest gap that is bridged with the mean rain and the last evaporation, rather than begun anew after."""
UNSURE_DAYS = Cited(10.0, "d", "ours", "our choice")
"""Days that the level is not believed after a bridged gap, for each day of the gap."""
SPIN_UP_DAYS = 90
"""Days run before a level is believed, since the first level is a guess."""


@dataclass(frozen=True)
class Bucket:
    """How much water a soil holds.

    Parameters
    ----------
    holds_mm
        Total available water, from field capacity to wilting point [mm].
    easy_share
        Share of it that is readily available, above 0 to below 1 [1].
    """

    holds_mm: float = HOLDS_MM.value
    easy_share: float = EASY_SHARE.value

    def __post_init__(self) -> None:
        if not (self.holds_mm > 0.0 and 0.0 < self.easy_share < 1.0):
            raise ValueError("a soil holds more than 0 mm, and a share of it between 0 and 1 is easy to take")

    @property
    def readily_mm(self) -> float:
        """Readily available water [mm]; allen1998, equation 83."""
        return self.easy_share * self.holds_mm


def holds_mm(field_capacity: float, wilting_point: float, root_depth_m: float) -> float:
    """Give the total available water of a soil [mm].

    Parameters
    ----------
    field_capacity, wilting_point
        Water by volume at either end [m3/m3].
    root_depth_m
        Depth looked at [m].

    References
    ----------
    allen1998, equation 82.
    """
    return 1000.0 * (field_capacity - wilting_point) * root_depth_m


def stress(depletion_mm: ArrayLike, bucket: Bucket) -> Floats:
    """Give the factor by which a dry soil slows what evaporates [1].

    References
    ----------
    allen1998, equation 84.
    """
    depletion = np.asarray(depletion_mm, np.float64)
    left = (bucket.holds_mm - depletion) / (bucket.holds_mm - bucket.readily_mm)
    return np.asarray(np.clip(left, 0.0, 1.0))


def water_share(rain_mm: ArrayLike, evaporation_mm: ArrayLike, bucket: Bucket | None = None) -> Floats:
    """Give how full the soil was on each day, 0 to 1.

    Parameters
    ----------
    rain_mm, evaporation_mm
        Rain and reference evapotranspiration of successive days (n,) [mm]; NaN where not known.
    bucket
        What the soil holds; None for the top soil of our choice.

    Returns
    -------
    ndarray
        Share (n,) [1]; NaN for the first 90 days, whose level begun with a guess, for gaps, for ten
        days after each day of a gap of up to three, and for 90 after a longer one.

    References
    ----------
    allen1998, equations 84 to 86: depletion falls by rain and rises by what evaporates, from 0 to all.
    """
    soil = bucket or Bucket()
    rain, taken = np.asarray(rain_mm, np.float64), np.asarray(evaporation_mm, np.float64)
    known = np.isfinite(rain) & np.isfinite(taken)
    mean_rain = float(rain[known].mean()) if known.any() else 0.0
    share = np.full(rain.shape, np.nan)
    depletion, run, gap, unsure, last = soil.holds_mm / 2.0, 0, 0, 0, 0.0
    for day, measured in enumerate(known):
        gap = 0 if measured else gap + 1
        if gap > BRIDGED_DAYS.value:
            depletion, run = soil.holds_mm / 2.0, 0
            continue
        last = float(taken[day]) if measured else last
        unsure = max(unsure - 1, 0) if measured else unsure + round(UNSURE_DAYS.value)
        fallen = float(rain[day]) if measured else mean_rain
        lost = float(stress(depletion, soil)) * last
        depletion = min(max(depletion - fallen + lost, 0.0), soil.holds_mm)
        run += 1
        if measured and run > SPIN_UP_DAYS and not unsure:
            share[day] = 1.0 - depletion / soil.holds_mm
    return share
