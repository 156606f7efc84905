"""Turns a fit into chances with their intervals, and draws seasons that are as likely."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import special

from sitebook.analysis.season import laplace, newton, parameters
from sitebook.analysis.season.design import (
    EFFORT,
    NONE,
    WEATHER,
    Block,
    Design,
    Points,
    coefficients_before,
    design,
    read_weather,
)
from sitebook.analysis.season.model import Fit
from sitebook.analysis.weather.rain import known_share
from sitebook.analysis.weather.soil_temperature import FOLLOWS
from sitebook.analysis.weather.soil_water import MEMORY_DAYS

Floats = NDArray[np.float64]

NODES = 21
"""Nodes of the quadrature over the doubt in the log rate."""
WEATHER_COLUMNS = slice(EFFORT - len(WEATHER), EFFORT)


@dataclass(frozen=True)
class Chances:
    """Chances of at least one find, as arrays of one length.

    Parameters
    ----------
    chance
        Chance of at least one find in the look [1].
    low, high
        Ends of its interval [1]; they say where the chance of the very look may lie, which differs from
        other looks by things not known. An end that misses the chance is moved to it.
    sd
        Doubt in the log rate [1].
    share_from_books
        Share of the doubt before any look that is left: 1 where looks said nothing [1].
    """

    chance: Floats
    low: Floats
    high: Floats
    sd: Floats
    share_from_books: Floats

    @property
    def mostly_from_books(self) -> NDArray[np.bool_]:
        """Whether looks say so little that the chance rests mostly on books."""
        share, sd = parameters.value("mostly_books"), parameters.value("vague_sd")
        return np.asarray((self.share_from_books >= share) | (self.sd > sd))


def predict(fit: Fit, points: Points, level: float = 0.8, days_ahead: ArrayLike = 0) -> Chances:
    """Give the chance that a look finds the taxon.

    The chance is the mean over the doubt in the log rate and over what looks differ by for no known
    reason; leaving the latter out makes high chances too high.

    Parameters
    ----------
    fit
        The taxon's fit.
    points
        Looks thought of; hosts, sites, trees and years not in the fit add the doubt of their kind, and
        weather not known adds what it might do.
    level
        Level of the interval, between 0 and 1.
    days_ahead
        Days from the last known weather to each look, so that the weather given is what to expect from
        then on; broadcasts against the points [d].

    Raises
    ------
    ValueError
        When the level lies outside its range.
    """
    if not 0.0 < level < 1.0:
        raise ValueError("a level lies between 0 and 1")
    laid = design(points, fit.levels, fit.prior)
    rate = newton.log_rate(laid, fit.mean)
    known = laplace.variance(laid, fit.covariance) + unseen_places(fit, points, laid)
    doubt = known + _unseen_year(fit, laid) + _unknown_weather(fit, points, days_ahead)
    around = doubt + parameters.value("visit_noise") ** 2
    reach = float(special.ndtri(0.5 + level / 2.0)) * np.sqrt(around)
    chance = expected_chance(rate, around)
    return Chances(
        chance,
        np.minimum(at_least_one(rate - reach), chance),
        np.maximum(at_least_one(rate + reach), chance),
        np.sqrt(doubt),
        np.minimum(known / _variance_before(fit, points, laid), 1.0),
    )


def expected_chance(rate: Floats, variance: Floats) -> Floats:
    """Give the mean chance over a normal doubt in the log rate, by quadrature with 21 nodes."""
    nodes, weights = np.polynomial.hermite_e.hermegauss(NODES)
    spread = rate[:, None] + np.sqrt(variance)[:, None] * nodes
    return np.asarray(at_least_one(spread) @ (weights / weights.sum()))


def at_least_one(rate: Floats) -> Floats:
    """Give the chance of at least one find from the log of finds to be expected [1]."""
    return np.asarray(-np.expm1(-np.exp(np.clip(rate, newton.LOWEST, newton.HIGHEST))))


def drawn_rates(fit: Fit, points: Points, how_many: int, seed: int) -> Floats:
    """Draw log rates at points, all points of a draw from one set of coefficients (how_many, n).

    Parameters
    ----------
    fit, points
        The taxon's fit, and looks thought of in years, at sites and at trees in the fit; what is not in
        the fit is taken at its middle.
    how_many
        Number of draws.
    seed
        Start of the random numbers; the same seed gives the same draws.
    """
    laid = design(points, fit.levels, fit.prior)
    draws = laplace.drawn(fit.factor, fit.mean, how_many, seed)
    return np.stack([newton.log_rate(laid, draw) for draw in draws])


def unknown_shares(days_ahead: ArrayLike) -> Floats:
    """Give how much of each anomaly's variance is not known yet some days ahead (..., 3) [1].

    Rain: the share of the lag kernel still to come; soil moisture and soil temperature: what their
    memory has lost by then.
    """
    ahead = np.maximum(np.asarray(days_ahead, np.float64), 0.0)
    moisture = -np.expm1(-2.0 * ahead / MEMORY_DAYS.value)
    warmth = -np.expm1(2.0 * ahead * np.log1p(-FOLLOWS.value))
    return np.stack([moisture, 1.0 - known_share(ahead), warmth], axis=-1)


def _unknown_weather(fit: Fit, points: Points, days_ahead: ArrayLike) -> Floats:
    """Give the variance that weather not known adds to the log rate (n,)."""
    ahead = np.broadcast_to(np.asarray(days_ahead, np.float64), len(points))
    counts = ~(points.irrigated[:, None] & np.array([True, True, False]))
    share = np.where(read_weather(points)[1], 1.0, unknown_shares(ahead)) * counts
    doubt = fit.covariance.shared[WEATHER_COLUMNS, WEATHER_COLUMNS]
    mean = fit.mean[WEATHER_COLUMNS]
    pairs = (np.outer(mean, mean) + doubt) * fit.weather_covariance
    root = np.sqrt(np.maximum(share, 0.0))
    return np.asarray(((root @ pairs) * root).sum(axis=1))


def unseen_places(fit: Fit, points: Points, laid: Design) -> Floats:
    """Give the variance of hosts, sites and trees not in the fit (n,); the rest of a site has no tree."""
    host = _unseen(laid.host) * fit.spreads.host**2
    tree = (_unseen(laid.tree) & (points.tree != NONE)) * fit.spreads.tree**2
    return np.asarray(host + tree + _unseen(laid.site) * fit.spreads.site**2)


def _unseen_year(fit: Fit, laid: Design) -> Floats:
    timing = (laid.timing.factor * parameters.turn_rad("year_timing")) ** 2
    return np.asarray(_unseen(laid.year) * (fit.spreads.year**2 + timing))


def _unseen(block: Block) -> NDArray[np.bool_]:
    return np.asarray(block.slot == block.count)


def _variance_before(fit: Fit, points: Points, laid: Design) -> Floats:
    """Give the variance of the log rate before any look, without that of years and unknown weather."""
    columns = (laid.dense * laid.dense) @ coefficients_before(fit.prior)[1]
    tree = (points.tree != NONE) * fit.spreads.tree**2
    return np.asarray(columns + fit.spreads.host**2 + fit.spreads.site**2 + tree)
