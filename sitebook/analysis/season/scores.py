"""Scores of chances against what came, and of dates against what came."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import special

Floats = NDArray[np.float64]

LEAST_CHANCE = 1e-4
"""Chances are held this far from 0 and 1 before their logarithm is taken."""
EDGES = (0.0, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 1.0)
"""Ends of the bins of a reliability table."""


@dataclass(frozen=True)
class BrierParts:
    """The Brier score and what it is made of: reliability - resolution + uncertainty.

    Parameters
    ----------
    score
        Mean square of chance less outcome.
    reliability
        Mean square of chance less how often it came true; 0 is best.
    resolution
        How far these shares lie from the overall share; more is better.
    uncertainty
        The score of always saying the overall share.
    """

    score: float
    reliability: float
    resolution: float
    uncertainty: float


@dataclass(frozen=True)
class Bin:
    """Looks that were given about the same chance.

    Parameters
    ----------
    said
        Their mean chance.
    came
        Share of them that found something.
    looks
        How many they are.
    """

    said: float
    came: float
    looks: int


def log_loss(chance: ArrayLike, came: ArrayLike) -> float:
    """Give the mean of minus the log of the chance given to what came; 0 is best."""
    said, outcome = _pairs(chance, came)
    held = np.clip(said, LEAST_CHANCE, 1.0 - LEAST_CHANCE)
    return float(-np.where(outcome > 0.5, np.log(held), np.log1p(-held)).mean())


def brier(chance: ArrayLike, came: ArrayLike) -> BrierParts:
    """Give the Brier score and its parts, looks of equal chance taken together.

    References
    ----------
    Murphy 1973: the partition holds where every chance is one of a set.
    """
    said, outcome = _pairs(chance, came)
    levels, which = np.unique(said, return_inverse=True)
    looks = np.bincount(which)
    share = np.bincount(which, outcome) / looks
    overall = outcome.mean()
    weights = looks / said.size
    return BrierParts(
        float(((said - outcome) ** 2).mean()),
        float(weights @ (levels - share) ** 2),
        float(weights @ (share - overall) ** 2),
        float(overall * (1.0 - overall)),
    )


def reliability(chance: ArrayLike, came: ArrayLike, edges: ArrayLike = EDGES) -> tuple[Bin, ...]:
    """Sort looks by their chance into bins, empty ones left out.

    Parameters
    ----------
    chance, came
        Chance given to each look, and whether it found something.
    edges
        Ends of the bins, from 0 to 1.
    """
    said, outcome = _pairs(chance, came)
    ends = np.asarray(edges, np.float64)
    which = np.clip(np.searchsorted(ends, said, side="right") - 1, 0, ends.size - 2)
    inside = [which == number for number in range(ends.size - 1)]
    return tuple(
        Bin(float(said[one].mean()), float(outcome[one].mean()), int(one.sum()))
        for one in inside
        if one.any()
    )


def calibration_error(bins: tuple[Bin, ...]) -> float:
    """Give the mean distance, over looks, between what was said and what came in their bin."""
    looks = sum(one.looks for one in bins)
    return math.fsum(abs(one.said - one.came) * one.looks for one in bins) / looks


def normal_crps(mean: ArrayLike, sd: ArrayLike, came: ArrayLike) -> Floats:
    """Give the continuous ranked probability score of a normal forecast, in the unit of what came.

    Parameters
    ----------
    mean, sd
        Mean and standard deviation of the forecast, above 0.
    came
        What came; all three broadcast.

    References
    ----------
    Gneiting & Raftery 2007, Journal of the American Statistical Association.
    """
    spread = np.asarray(sd, np.float64)
    z = (np.asarray(came, np.float64) - np.asarray(mean, np.float64)) / spread
    density = np.exp(-0.5 * z * z) / math.sqrt(2.0 * math.pi)
    below = 2.0 * special.ndtr(z) - 1.0
    return np.asarray(spread * (z * below + 2.0 * density - 1.0 / math.sqrt(math.pi)))


def _pairs(chance: ArrayLike, came: ArrayLike) -> tuple[Floats, Floats]:
    said, outcome = np.asarray(chance, np.float64), np.asarray(came, np.float64)
    if said.shape != outcome.shape or said.size == 0 or not np.all((said >= 0.0) & (said <= 1.0)):
        raise ValueError("a score needs at least one chance from 0 to 1, each with what came")
    return said, outcome
