"""The equations of a fit give the published slope of a mixed model over real sites and years."""

from __future__ import annotations

import csv
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import optimize, stats

from sitebook.analysis.season import arrow, laplace
from sitebook.analysis.season.design import Block, Design

Floats = NDArray[np.float64]


def _laid(year: Floats, station: NDArray[np.int64]) -> Design:
    """Lay out a line over years with an effect of each station and nothing else."""
    one, nowhere = np.ones(year.size), np.zeros(year.size, np.int64)
    none = Block(nowhere, 0, one)
    sites = Block(station, int(station.max()) + 1, one)
    dense = np.column_stack([one, year - year.mean()])
    return Design(0.0 * one, dense, none, none, none, sites, none, np.zeros(0, np.int64), sites.count)


def _solved(laid: Design, day: Floats, ratio: float) -> tuple[Floats, arrow.Factor, float, float]:
    """Give coefficients, their factor, the variance left, and the restricted likelihood, for a given ratio.

    The ratio is the variance between stations over that within; the line itself has no prior.
    """
    sites, shared = laid.site.count, laid.shared_count
    precision = np.concatenate([np.zeros(shared), np.full(sites, 1.0 / ratio)])
    factor = arrow.factored(arrow.curvature(laid, np.ones(day.size), precision))
    right = np.concatenate([laid.dense.T @ day, arrow.total(laid.site, day)])
    found = arrow.solved(factor, right)
    degrees = day.size - shared
    left = float(day @ day - right @ found) / degrees
    badness = degrees * np.log(left) + factor.log_determinant + sites * np.log(ratio)
    return found, factor, left, float(badness)


@pytest.mark.source(
    item="",
    what="shift of the start of 163 airborne spore seasons, with a random effect of each of 16 stations",
    value="-0.5925 days a year, p 0.0431; mean start on day 82.442",
    source="published with the data set phenology-spore, as data/SOURCE.md tells it",
    mark="secondary",
)
def test_the_slope_of_spore_seasons_is_the_published_one(shared_file: Callable[[str], Path]) -> None:
    with shared_file("fruiting/spore_season_df_analysis.csv").open(encoding="utf-8") as file:
        rows = [row for row in csv.DictReader(file) if row["Metric"] == "SOS"]
    day = np.array([float(row["Value"]) for row in rows])
    year = np.array([float(row["year_new"]) for row in rows])
    names, station = np.unique([row["id"] for row in rows], return_inverse=True)
    assert (day.size, names.size, round(float(day.mean()), 3)) == (163, 16, 82.442)
    laid = _laid(year, station)
    best = optimize.minimize_scalar(
        lambda log_ratio: _solved(laid, day, float(np.exp(log_ratio)))[3],
        bounds=(-5.0, 5.0),
        method="bounded",
    )
    found, factor, left, _ = _solved(laid, day, float(np.exp(best.x)))
    assert found[1] == pytest.approx(-0.5925, abs=5e-5)
    error = np.sqrt(left * laplace.covariance(factor).shared[1, 1])
    p = 2.0 * stats.t.sf(abs(found[1]) / error, day.size - names.size - 1)
    assert p == pytest.approx(0.0431, abs=5e-5)
