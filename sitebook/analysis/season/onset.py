"""Estimates the first or last day of a season from dated finds, with its interval."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import special

Floats = NDArray[np.float64]

FEWEST_DAYS = 3


@dataclass(frozen=True)
class Endpoint:
    """An estimated end of a series of days.

    Parameters
    ----------
    day
        The estimate, in the unit of the days given.
    low, high
        Ends of its interval.
    """

    day: float
    low: float
    high: float


def weibull_endpoint(
    days: ArrayLike, end: Literal["first", "last"] = "first", level: float = 0.95
) -> Endpoint:
    """Estimate when a season truly began or ended, beyond the first or last day seen.

    Parameters
    ----------
    days
        Days of sightings (n,), in any order; ties at the end looked for count once.
    end
        Which end is looked for.
    level
        Level of the interval, between 0 and 1.

    Returns
    -------
    Endpoint
        Estimate and interval; the interval of a first day ends at the first day seen.

    Raises
    ------
    ValueError
        When fewer than three different days are given, a day is not finite, or the level is out of range.

    References
    ----------
    cooke1979; roberts_solow2003: the extremes of any continuous season run like those of a Weibull law.
    """
    seen = np.asarray(days, dtype=np.float64).ravel()
    if end not in ("first", "last") or not 0.0 < level < 1.0 or not np.all(np.isfinite(seen)):
        raise ValueError("an end is first or last, a level lies between 0 and 1, and days are finite")
    if np.unique(seen).size < FEWEST_DAYS:
        raise ValueError("an end needs at least three different days")
    turned = seen if end == "first" else -seen
    found = _lower(_untied(np.sort(turned)), level)
    return found if end == "first" else Endpoint(-found.day, -found.high, -found.low)


def _untied(ordered: Floats) -> Floats:
    """Keep one of the days that tie at the end looked for."""
    return ordered[np.flatnonzero(ordered == ordered[0])[-1] :]


def _lower(ordered: Floats, level: float) -> Endpoint:
    count, first, last = ordered.size, float(ordered[0]), float(ordered[-1])
    shape = float(np.sum(np.log((first - last) / (first - ordered[1:-1])))) / (count - 1)
    weights = _weights(count, shape)
    tail = (1.0 - level) / 2.0

    def bound(share: float) -> float:
        spread = math.pow(-math.log(share) / count, -shape)
        return first + (first - last) / (spread - 1.0)

    return Endpoint(float(weights @ ordered), bound(tail), bound(1.0 - tail))


def _weights(count: int, shape: float) -> Floats:
    """Give the weights of the best linear estimate of an end, which add up to 1."""
    numbers = np.arange(1, count + 1, dtype=np.float64)
    higher, lower = np.maximum.outer(numbers, numbers), np.minimum.outer(numbers, numbers)
    logs = special.gammaln(2.0 * shape + higher) + special.gammaln(shape + lower)
    logs = logs - special.gammaln(shape + higher) - special.gammaln(lower)
    solved = np.linalg.solve(np.exp(logs - logs.max()), np.ones(count))
    return np.asarray(solved / solved.sum())
