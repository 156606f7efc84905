"""Fits the season of one taxon to looks, on top of what books say."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sitebook.analysis.season import arrow, laplace, newton, parameters, spreads
from sitebook.analysis.season.design import (
    EFFORT,
    WEATHER,
    Design,
    Levels,
    Looks,
    design,
    levels_of,
    read_weather,
)
from sitebook.analysis.season.prior import SeasonPrior

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Fit:
    """What looks and books together say of one taxon; plain arrays, so it can be kept.

    Parameters
    ----------
    prior
        The season of the books.
    levels
        Hosts, sites, trees and years that were looked at.
    spreads
        How much these differ from each other.
    mean
        Posterior mean of the coefficients, corrected for skewness: shared, sites, trees.
    factor
        Their precision, factored.
    covariance
        Their covariance, where a point can ask for it.
    weather_covariance
        Covariance of the three anomalies over the looks (3, 3).
    looks, finds
        How many looks, and how many of them found the taxon.
    """

    prior: SeasonPrior
    levels: Levels
    spreads: spreads.Spreads
    mean: Floats
    factor: arrow.Factor
    covariance: laplace.Covariance
    weather_covariance: Floats
    looks: int
    finds: int


def fit(looks: Looks, prior: SeasonPrior) -> Fit:
    """Fit the season model to the looks of one taxon.

    The log of finds to be expected in a look is the season of the books, a rate, three pairs of waves
    round the year, anomalies of the weather, an exponent of effort, and effects of host species, site,
    tree within site, year, and a shift of the season in each year; a look finds something unless a
    Poisson count of that mean is 0. Weather not known counts as usual weather.

    Parameters
    ----------
    looks
        Looks of one taxon, each once; there may be none.
    prior
        The season of the books.

    Raises
    ------
    ValueError
        When a tree stands at two sites.

    References
    ----------
    Priors: table season_model, our choice. Skewness: the first-order term of the mean in Laplace's method.
    """
    levels = levels_of(looks.at)
    laid = design(looks.at, levels, prior)
    found_spreads, mode = spreads.fitted(laid, looks.found, prior)
    known = laplace.covariance(mode.factor)
    return Fit(
        prior,
        levels,
        found_spreads,
        _corrected(laid, looks, mode, known),
        mode.factor,
        known,
        _weather_covariance(looks),
        len(looks),
        int(looks.found.sum()),
    )


def _corrected(laid: Design, looks: Looks, mode: newton.Mode, known: laplace.Covariance) -> Floats:
    """Move the mode to the mean, which skewness parts from it."""
    rate = newton.log_rate(laid, mode.coefficients)
    pull = newton.third_order(laid, rate, looks.found, laplace.variance(laid, known))
    mean = mode.coefficients + 0.5 * arrow.solved(mode.factor, pull)
    mean[EFFORT] = max(mean[EFFORT], 0.0)
    return mean


def _weather_covariance(looks: Looks) -> Floats:
    """Give how anomalies go together over the looks, drawn towards unrelated ones of spread 1."""
    anomalies, unknown = read_weather(looks.at)
    rows = anomalies[~unknown.any(axis=1) & ~looks.at.irrigated]
    pseudo = parameters.value("weather_pseudo_days")
    return np.asarray((rows.T @ rows + pseudo * np.eye(len(WEATHER))) / (len(rows) + pseudo))
