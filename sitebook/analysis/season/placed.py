"""Gives the chances of a simpler way at single places, with what looks say of hosts, sites and trees."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray
from scipy import optimize, special

from sitebook.analysis.season import arrow, laplace, newton, parameters
from sitebook.analysis.season.baseline import INTERVAL_LEVEL, KERNEL_CONCENTRATION
from sitebook.analysis.season.design import NONE, Design, Looks, Points, design, noted
from sitebook.analysis.season.model import Fit
from sitebook.analysis.season.prediction import Chances, at_least_one, expected_chance, unseen_places
from sitebook.analysis.season.simpler import SIMPLER

Floats = NDArray[np.float64]

FROM_BOOKS = "published calendar"
LEAST = 1e-12
"""Chances are kept this far from 0 and 1, so that their rates are finite."""
HALF_A_FIND = 0.5
"""Added to the finds that speak for a time of the year: none leave a wide doubt, but no endless one."""
FARTHEST_LEVEL = 40.0
"""How far the level may lie from that of the simpler way, in the log."""


def placed(way: str, fit: Fit, looks: Looks, points: Points) -> Chances:
    """Give the chance that looks find the taxon: season and level of a simpler way, places of the model.

    A simpler way knows no places: alone it would give a wood nobody looked at the chance of one that is
    known to bear. So it tells the season and how often looks find the taxon, and the model's effects of
    host species, site and tree part the places, each against the mean of the places looked at; the finds
    told over the noted looks are in all as many as the way tells. Weather and year are not in it.

    Parameters
    ----------
    way
        Name of the simpler way.
    fit
        The model's fit to the same looks.
    looks
        Looks of the taxon.
    points
        Looks thought of; a host, site or tree not in the fit adds the doubt of its kind.
    """
    own = noted(looks)
    parted = _Parted(way, fit, own)
    middle, around, doubt = parted.rate(points)
    rate = middle + parted.level
    reach = float(special.ndtri(0.5 + INTERVAL_LEVEL.value / 2.0)) * np.sqrt(around)
    found = expected_chance(rate, around)
    share = np.minimum(doubt / _doubt_before(fit, points), 1.0)
    return Chances(
        found,
        np.minimum(at_least_one(rate - reach), found),
        np.maximum(at_least_one(rate + reach), found),
        np.sqrt(around - parameters.value("visit_noise") ** 2),
        np.ones(len(points)) if way == FROM_BOOKS else share,
    )


class _Parted:
    """A simpler way with its places parted, as learnt from noted looks."""

    def __init__(self, way: str, fit: Fit, own: Looks) -> None:
        self._way, self._fit, self._own = way, fit, own
        self._mean_look = _mean_look(fit, own.at)
        self._towards = arrow.solved(fit.factor, self._mean_look)
        self.level = self._level() if len(own) else 0.0

    def rate(self, points: Points) -> tuple[Floats, Floats, Floats]:
        """Give the log rate but for its level, the variance around it, and that of the place in it (n,)."""
        chance = np.clip(SIMPLER[self._way](self._own, points, self._fit.prior), LEAST, 1.0 - LEAST)
        effect, doubt = self._places(points)
        season_doubt = 1.0 / (chance * _speaking(self._own, points) + HALF_A_FIND)
        beside = season_doubt + parameters.value("visit_noise") ** 2
        return np.log(-np.log1p(-chance)) + effect - 0.5 * beside, doubt + beside, doubt

    def _places(self, points: Points) -> tuple[Floats, Floats]:
        """Give how far the log rate of each place lies from that of the mean look, and its variance (n,)."""
        laid = places_alone(self._fit, points)
        effect = newton.log_rate(laid, self._fit.mean) - self._mean_look @ self._fit.mean
        known = laplace.variance(laid, self._fit.covariance)
        apart = known + self._mean_look @ self._towards - 2.0 * newton.log_rate(laid, self._towards)
        return effect, np.maximum(apart, 0.0) + unseen_places(self._fit, points, laid)

    def _level(self) -> float:
        """Give what leaves the finds told over the noted looks as the simpler way has them."""
        wanted = float(SIMPLER[self._way](self._own, self._own.at, self._fit.prior).sum())
        middle, around, _ = self.rate(self._own.at)

        def excess(level: float) -> float:
            return float(expected_chance(middle + level, around).sum()) - wanted

        return float(optimize.brentq(excess, -FARTHEST_LEVEL, FARTHEST_LEVEL, xtol=1e-6))


def places_alone(fit: Fit, points: Points) -> Design:
    """Lay points out with nothing but their host, site and tree."""
    laid = design(points, fit.levels, fit.prior)
    nothing = np.zeros(len(points))
    return replace(
        laid,
        offset=nothing,
        dense=np.zeros_like(laid.dense),
        year=replace(laid.year, factor=nothing),
        timing=replace(laid.timing, factor=nothing),
    )


def _mean_look(fit: Fit, points: Points) -> Floats:
    """Give what the mean of the places of all looks multiplies each coefficient by."""
    laid = design(points, fit.levels, fit.prior)
    parts = [np.zeros(laid.dense.shape[1])]
    for block in (laid.host, None, None, laid.site, laid.tree):
        if block is None:
            parts.append(np.zeros(laid.year.count))
        else:
            counted = np.bincount(block.slot, minlength=block.count + 1)[: block.count]
            parts.append(counted / max(len(points), 1))
    return np.concatenate(parts)


def _doubt_before(fit: Fit, points: Points) -> Floats:
    tree = (points.tree != NONE) * fit.spreads.tree**2
    return np.asarray(fit.spreads.host**2 + fit.spreads.site**2 + tree)


def _speaking(looks: Looks, points: Points) -> Floats:
    """Give how many looks were made at about the time of the year of each point (n,)."""
    away = points.angle_rad[:, None] - looks.at.angle_rad[None, :]
    return np.asarray(np.exp(KERNEL_CONCENTRATION.value * (np.cos(away) - 1.0)).sum(axis=1))
