"""Adds up what looks say for each week of the year, for many places and taxa at once."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import sparse

from sitebook.analysis.season import circular

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

YEARS = (365, 366)
"""Lengths of a year; a look stands on one of the days of one of them."""
PLACES = sum(YEARS)


def week_sums(
    group: ArrayLike,
    day_of_year: ArrayLike,
    days_in_year: ArrayLike,
    values: Sequence[ArrayLike],
    *,
    groups: int,
    at_rad: tuple[float, ...],
    concentration: float,
) -> list[Floats]:
    """Add up values of looks, each weighted by its nearness to some times of the year.

    A look stands on a whole day, so there are only 731 different times of the year: the weights of each
    with each time wanted are one small matrix, and the sums of all groups are one product with it. That
    is exact, needs no bins and touches each look once.

    Parameters
    ----------
    group
        Number of the group of each look (n,), from 0.
    day_of_year, days_in_year
        Day of each look, 1 on 1 January, and the length of its year, 365 or 366 (n,).
    values
        Arrays to be added up (n,), as finds, effort, or ones.
    groups
        Number of groups g.
    at_rad
        Times of the year wanted [rad], k of them.
    concentration
        Concentration of the von Mises kernel, which is 1 at its peak.

    Returns
    -------
    list of ndarray
        The weighted sums of each array (g, k).
    """
    day, length = np.asarray(day_of_year, np.int64), np.asarray(days_in_year, np.int64)
    place = day - 1 + np.where(length == YEARS[1], YEARS[0], 0)
    rows = np.asarray(group, np.int64)
    weights = _weights(at_rad, concentration)
    shape = (groups, PLACES)
    sums = []
    for value in values:
        laid = sparse.coo_matrix((np.asarray(value, np.float64), (rows, place)), shape=shape)
        sums.append(np.asarray(laid @ weights))
    return sums


@cache
def _weights(at_rad: tuple[float, ...], concentration: float) -> Floats:
    """Give the weight of each day of either length of year at each time wanted (731, k)."""
    angles = np.concatenate([circular.day_angle(np.arange(1, days + 1), days) for days in YEARS])
    away = angles[:, None] - np.array(at_rad)[None, :]
    return np.asarray(np.exp(concentration * (np.cos(away) - 1.0)))
