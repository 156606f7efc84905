"""How much each tree bears, its own record drawn towards that of its kind."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import optimize, special, stats

from sitebook.analysis.season import parameters
from sitebook.citations import Cited

Floats = NDArray[np.float64]


def gamma_poisson(counts: ArrayLike, exposures: ArrayLike) -> tuple[float, float, Floats, float]:
    """Fit a gamma law to the rates of several trees, and shrink each tree's own rate towards it.

    Parameters
    ----------
    counts
        Finds at each tree (n,), 0 or more.
    exposures
        Looks, or time, that each stands for (n,), above 0.

    Returns
    -------
    tuple
        Shape and rate of the gamma law; mean rate of each tree given its own record (n,), in finds an
        exposure; logarithm of the marginal likelihood.

    Raises
    ------
    ValueError
        When counts and exposures differ in length, are fewer than two, or out of range.

    References
    ----------
    gaver_omuircheartaigh1987: marginal maximum likelihood of the negative binomial law.
    """
    found, looked = _checked(counts, exposures)
    shape, rate = _fitted(found, looked)
    return shape, rate, drawn_rates(found, looked, shape, rate), log_likelihood(found, looked, shape, rate)


def _checked(counts: ArrayLike, exposures: ArrayLike) -> tuple[Floats, Floats]:
    found, looked = np.asarray(counts, np.float64).ravel(), np.asarray(exposures, np.float64).ravel()
    if found.shape != looked.shape or found.size < 2:
        raise ValueError("counts and exposures are of one length, two or more")
    if not (np.all(found >= 0.0) and np.all(looked > 0.0) and np.all(np.isfinite(found + looked))):
        raise ValueError("counts are 0 or more, and exposures above 0")
    return found, looked


LEAST_SHAPE = Cited(0.2, "1", "ours", "our choice")
MOST_SHAPE = Cited(5.0, "1", "ours", "our choice")
"""Ends of the shape of a law of rates; with few trees likelihood alone would call them all alike."""


def bounded_law(counts: ArrayLike, exposures: ArrayLike) -> tuple[float, float]:
    """Fit shape and rate of a gamma law of rates, its shape held between two ends.

    The mean of the law starts from the rate that the season model gives a fungus before any look: without
    that, two empty looks would make every rate 0.

    Parameters
    ----------
    counts, exposures
        As `gamma_poisson` takes them.

    Raises
    ------
    ValueError
        As `gamma_poisson` does.
    """
    found, looked = _checked(counts, exposures)
    middle, spread = parameters.value("rate_mean"), parameters.value("rate_sd")

    def cost(logs: Floats) -> float:
        shape, mean = math.exp(logs[0]), math.exp(logs[1])
        away = (float(logs[1]) - middle) / spread
        return 0.5 * away**2 - log_likelihood(found, looked, shape, shape / mean)

    ends = (math.log(LEAST_SHAPE.value), math.log(MOST_SHAPE.value))
    best = _lowest(cost, [0.0, middle], [ends, (-12.0, 8.0)])
    shape = math.exp(best[0])
    return shape, shape / math.exp(best[1])


def lone_law() -> tuple[float, float]:
    """Give shape and rate of the law of rates of a fungus that no other spot tells anything of.

    Its logarithm has the mean and the spread that the season model gives a rate before any look.
    """
    spread = parameters.value("rate_sd")
    shape = float(optimize.brentq(lambda a: special.polygamma(1, a) - spread**2, 0.05, 50.0))
    return shape, math.exp(float(special.digamma(shape)) - parameters.value("rate_mean"))


def log_likelihood(counts: Floats, exposures: Floats, shape: float, rate: float) -> float:
    """Give the logarithm of the marginal likelihood of counts under a gamma law of rates."""
    parts = special.gammaln(shape + counts) - special.gammaln(shape) - special.gammaln(counts + 1.0)
    whole = rate + exposures
    parts = parts + shape * np.log(rate / whole) + counts * np.log(exposures / whole)
    return float(parts.sum())


def drawn_rates(counts: ArrayLike, exposures: ArrayLike, shape: float, rate: float) -> Floats:
    """Give the mean rate of each tree under a fitted law, its own record drawn towards it."""
    return np.asarray((shape + np.asarray(counts, np.float64)) / (rate + np.asarray(exposures, np.float64)))


def interval(
    counts: ArrayLike, exposures: ArrayLike, shape: float, rate: float, level: float = 0.8
) -> tuple[Floats, Floats]:
    """Give the ends of the interval of each tree's rate under a fitted law."""
    found, looked = np.asarray(counts, np.float64), np.asarray(exposures, np.float64)
    tail = (1.0 - level) / 2.0
    law = stats.gamma(shape + found, scale=1.0 / (rate + looked))
    return np.asarray(law.ppf(tail)), np.asarray(law.ppf(1.0 - tail))


def chance_of_one(count: ArrayLike, exposure: ArrayLike, shape: float, rate: float) -> Floats:
    """Give the chance that one more look of exposure 1 finds at least one."""
    found, looked = np.asarray(count, np.float64), np.asarray(exposure, np.float64)
    return np.asarray(1.0 - ((rate + looked) / (rate + looked + 1.0)) ** (shape + found))


def still_there(empty_looks: ArrayLike, occupancy: float, detection: float) -> Floats:
    """Give the chance that a tree still holds what it held, after empty looks in season.

    Parameters
    ----------
    empty_looks
        Looks in a row that found nothing, 0 or more; a part of a look counts as that part.
    occupancy
        Chance before them that the tree holds it, 0 to 1.
    detection
        Chance that one look finds what is there, 0 to 1.

    References
    ----------
    mackenzie2002.
    """
    if not (0.0 <= occupancy <= 1.0 and 0.0 <= detection <= 1.0):
        raise ValueError("chances lie between 0 and 1")
    missed = occupancy * (1.0 - detection) ** np.asarray(empty_looks, np.float64)
    whole = missed + 1.0 - occupancy
    return np.asarray(np.where(whole > 0.0, missed / np.where(whole > 0.0, whole, 1.0), 0.0))


def standing_crop(days_since: ArrayLike, life_days: float) -> Floats:
    """Give the share of a full crop that stands again some days after all was taken [1].

    Parameters
    ----------
    days_since
        Days since then [d], 0 or more.
    life_days
        Mean life of a fruit body [d], above 0.
    """
    if not life_days > 0.0:
        raise ValueError("a fruit body lives longer than 0 days")
    return np.asarray(-np.expm1(-np.asarray(days_since, np.float64) / life_days))


def _fitted(found: Floats, looked: Floats) -> tuple[float, float]:
    """Find the shape and rate of the highest marginal likelihood."""
    mean = max(float(found.sum() / looked.sum()), 1e-6)

    def cost(logs: Floats) -> float:
        return -log_likelihood(found, looked, math.exp(logs[0]), math.exp(logs[1]))

    best = _lowest(cost, [0.0, -math.log(mean)], [(-6.0, 8.0), (-12.0, 14.0)])
    return math.exp(best[0]), math.exp(best[1])


def _lowest(cost: Callable[[Floats], float], start: list[float], ends: list[tuple[float, float]]) -> Floats:
    """Find where a cost of two numbers is lowest."""
    best = optimize.minimize(
        cost,
        np.array([start[0], start[1]]),
        method="Nelder-Mead",
        bounds=ends,
        options={"xatol": 1e-9, "fatol": 1e-12, "maxiter": 4000, "maxfev": 4000},
    )
    return np.asarray(best.x, np.float64)
