"""Fits how much hosts, sites, trees and years differ from each other."""

from __future__ import annotations

from dataclasses import asdict, dataclass, replace

import numpy as np
from numpy.typing import NDArray

from sitebook.analysis.season import newton, parameters
from sitebook.analysis.season.design import EFFORT, Bools, Design, coefficients_before
from sitebook.analysis.season.prior import SeasonPrior

Floats = NDArray[np.float64]

TRIED = (-0.5, 0.5, -1.0, 1.0)
"""Logs of the ratio to the first spread that are tried, one kind of spread after the other."""
ORDER = ("site", "tree", "year", "host")
HELD = 1e10
"""Precision of an exponent of effort that is held at 0."""


@dataclass(frozen=True)
class Spreads:
    """Standard deviations of the log rate between members of a group.

    Parameters
    ----------
    host, site, tree, year
        Between host species, sites, trees of a site, and years [1].
    """

    host: float
    site: float
    tree: float
    year: float


def first_spreads() -> Spreads:
    """Give the spreads of our choice."""
    return Spreads(*(parameters.value(f"{name}_sd") for name in ("host", "site", "tree", "year")))


def before(prior: SeasonPrior, laid: Design, spreads: Spreads) -> tuple[Floats, Floats]:
    """Give mean and precision of every coefficient before any look: shared, sites, trees.

    The site of presence-only records differs from others by anything, so that how often they come moves
    no rate.
    """
    mean, variance = coefficients_before(prior)
    timing = parameters.turn_rad("year_timing")
    sites = np.full(laid.site.count, spreads.site)
    sites[laid.presence_only : laid.presence_only + 1] = parameters.value("presence_only_sd")
    groups = (
        np.full(laid.host.count, spreads.host),
        np.full(laid.year.count, spreads.year),
        np.full(laid.timing.count, timing),
        sites,
        np.full(laid.tree.count, spreads.tree),
    )
    spread = np.concatenate(groups)
    return np.pad(mean, (0, spread.size)), np.concatenate([1.0 / variance, spread**-2])


def mode(
    laid: Design, found: Bools, prior: SeasonPrior, spreads: Spreads, start: Floats | None = None
) -> tuple[newton.Mode, float]:
    """Find the most likely coefficients and the log of the marginal likelihood.

    The exponent of effort is held at 0 where it would fall below.

    Parameters
    ----------
    laid, found
        Columns of the looks, and what they found.
    prior, spreads
        What is assumed before.
    start
        Where to begin; None for the middle of the priors.
    """
    mean, precision = before(prior, laid, spreads)
    found_mode = newton.maximised(laid, found, mean, precision, mean if start is None else start)
    if found_mode.coefficients[EFFORT] < 0.0:
        held_mean, held = mean.copy(), precision.copy()
        held_mean[EFFORT], held[EFFORT] = 0.0, HELD
        found_mode = newton.maximised(laid, found, held_mean, held, found_mode.coefficients)
        precision = held
    volume = 0.5 * (np.log(precision).sum() - found_mode.factor.log_determinant)
    return found_mode, found_mode.log_posterior + float(volume)


def fitted(laid: Design, found: Bools, prior: SeasonPrior) -> tuple[Spreads, newton.Mode]:
    """Give the spreads that make the looks most likely, and the coefficients under them.

    With fewer looks with a find than `finds_for_spreads`, presence-only records left out, the spreads
    stay at our choice.
    """
    best = first_spreads()
    best_mode, log_marginal = mode(laid, found, prior, best)
    if found[laid.site.slot != laid.presence_only].sum() < parameters.value("finds_for_spreads"):
        return best, best_mode
    best_height, first = log_marginal, asdict(best)
    for name in ORDER:
        if getattr(laid, name).count == 0:
            continue
        for step in TRIED:
            tried = replace(best, **{name: first[name] * float(np.exp(step))})
            tried_mode, log_marginal = mode(laid, found, prior, tried, best_mode.coefficients)
            height = log_marginal + _log_prior(tried)
            if height > best_height:
                best, best_mode, best_height = tried, tried_mode, height
    return best, best_mode


def _log_prior(spreads: Spreads) -> float:
    first = asdict(first_spreads())
    away = [
        np.log(spread / first[name]) / parameters.value(f"{name}_sd_spread")
        for name, spread in asdict(spreads).items()
    ]
    return -0.5 * float(np.square(away).sum())
