"""Simpler ways to say a chance, out of noted looks alone, which the season model must beat or give way to."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray
from scipy import optimize

from sitebook.analysis.season import circular, newton, parameters
from sitebook.analysis.season.baseline import (
    KERNEL_CONCENTRATION,
    LOOK_MINUTES,
    MINUTES_NOT_NOTED,
    PSEUDO_LOOKS,
)
from sitebook.analysis.season.design import Looks, Points, noted
from sitebook.analysis.season.prediction import at_least_one
from sitebook.analysis.season.prior import SeasonPrior

Floats = NDArray[np.float64]
Simpler = Callable[[Looks, Points, SeasonPrior], Floats]

MONTHS = 12
ALOFT = 1.0
"""Looks, half of them with a find, that the overall share starts from."""


def constant(looks: Looks, points: Points, prior: SeasonPrior) -> Floats:  # noqa: ARG001
    """Give the share of looks with a find, whenever and wherever."""
    return np.full(len(points), _overall(noted(looks)))


def month_histogram(looks: Looks, points: Points, prior: SeasonPrior) -> Floats:  # noqa: ARG001
    """Give the share of looks with a find by twelfth of the year, drawn a little to the overall share."""
    made_looks = noted(looks)
    month = _month(made_looks.at.angle_rad)
    finds = np.bincount(month, made_looks.found, MONTHS)
    made = np.bincount(month, minlength=MONTHS)
    pseudo = PSEUDO_LOOKS.value
    share = (finds + pseudo * _overall(made_looks)) / (made + pseudo)
    return np.asarray(share[_month(points.angle_rad)])


def pooled_ratio(looks: Looks, points: Points, prior: SeasonPrior) -> Floats:  # noqa: ARG001
    """Give the share of looks with a find at about the same time of the year, all places together."""
    made = noted(looks)
    away = points.angle_rad[:, None] - made.at.angle_rad[None, :]
    weights = np.exp(KERNEL_CONCENTRATION.value * (np.cos(away) - 1.0))
    pseudo = PSEUDO_LOOKS.value
    finds = weights @ made.found.astype(np.float64) + pseudo * _overall(made)
    return np.asarray(finds / (weights.sum(axis=1) + pseudo))


def published_calendar(looks: Looks, points: Points, prior: SeasonPrior) -> Floats:
    """Give the season of the books at one rate fitted to the looks, in step with effort."""
    made = noted(looks)
    offset = prior.offset(made.at.angle_rad) + _log_effort(made.at)
    mean, sd = parameters.value("rate_mean"), parameters.value("rate_sd")

    def badness(rate: float) -> float:
        return 0.5 * ((rate - mean) / sd) ** 2 - newton.log_likelihood(offset + rate, made.found)

    found = optimize.minimize_scalar(badness, bounds=(mean - 8.0 * sd, mean + 8.0 * sd), method="bounded")
    return at_least_one(prior.offset(points.angle_rad) + _log_effort(points) + float(found.x))


SIMPLER: dict[str, Simpler] = {
    "constant": constant,
    "month histogram": month_histogram,
    "pooled ratio": pooled_ratio,
    "published calendar": published_calendar,
}
"""Every simpler way by its name."""


def _overall(looks: Looks) -> float:
    return float((looks.found.sum() + ALOFT / 2.0) / (len(looks) + ALOFT))


def _month(angle_rad: Floats) -> NDArray[np.int64]:
    turns = np.mod(angle_rad, circular.FULL_TURN_RAD) / circular.FULL_TURN_RAD
    return np.minimum((turns * MONTHS).astype(np.int64), MONTHS - 1)


def _log_effort(points: Points) -> Floats:
    minutes = np.where(np.isnan(points.minutes), MINUTES_NOT_NOTED.value, points.minutes)
    return np.asarray(np.log(minutes / LOOK_MINUTES.value))
