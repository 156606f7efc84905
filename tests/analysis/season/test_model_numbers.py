"""Tests that the season model solves its equations as the plain way would."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy import optimize, special

from sitebook.analysis.season import arrow, laplace, model, newton, prediction, spreads
from sitebook.analysis.season.design import Looks, Points, chosen, design, levels_of
from sitebook.analysis.season.prior import Hump, SeasonPrior
from tests.analysis.season import dense, worlds

Floats = NDArray[np.float64]


@pytest.fixture(scope="module")
def world() -> worlds.World:
    return worlds.matched(3)


@pytest.fixture(scope="module")
def past(world: worlds.World) -> Looks:
    looks = world.past(60, np.random.default_rng(1))
    at = looks.at
    tree = np.where(np.arange(len(looks)) % 7 == 0, -1, at.tree)
    host = np.where(np.arange(len(looks)) % 11 == 0, -1, at.host)
    return Looks(
        Points(at.angle_rad, at.year, at.minutes, host, at.site, tree, at.weather, at.irrigated), looks.found
    )


def test_the_fit_is_that_of_a_plain_newton_on_all_columns(past: Looks, world: worlds.World) -> None:
    laid = design(past.at, levels_of(past.at), world.prior)
    mean, precision = spreads.before(world.prior, laid, spreads.first_spreads())
    ours = newton.maximised(laid, past.found, mean, precision, mean)
    plain = dense.mode(laid, past.found, mean, precision)
    assert ours.coefficients == pytest.approx(plain, abs=1e-9)
    assert ours.steps < 12


def test_covariance_and_determinant_are_those_of_the_whole_inverse(past: Looks, world: worlds.World) -> None:
    laid = design(past.at, levels_of(past.at), world.prior)
    mean, precision = spreads.before(world.prior, laid, spreads.first_spreads())
    ours = newton.maximised(laid, past.found, mean, precision, mean)
    written = dense.columns(laid)
    rate = laid.offset + written @ ours.coefficients
    whole = dense.information(written, rate, past.found, precision)
    inverse = np.linalg.inv(whole)
    per_look = ((written @ inverse) * written).sum(axis=1)
    assert laplace.variance(laid, laplace.covariance(ours.factor)) == pytest.approx(per_look, rel=1e-6)
    assert ours.factor.log_determinant == pytest.approx(np.linalg.slogdet(whole)[1], rel=1e-8)
    right = np.sin(np.arange(len(mean)))
    assert arrow.solved(ours.factor, right) == pytest.approx(inverse @ right, abs=1e-6)


@settings(max_examples=30, deadline=None)
@given(st.floats(-8.0, 4.0), st.booleans())
def test_derivatives_are_those_of_the_log_likelihood(rate: float, found: bool) -> None:
    step = 1e-4
    at = np.array([rate - step, rate, rate + step])
    said = np.array([found])
    heights = [newton.log_likelihood(np.array([value]), said) for value in at]
    first, second, third = newton.derivatives(at, np.full(3, found))
    assert first[1] == pytest.approx((heights[2] - heights[0]) / (2 * step), rel=1e-4, abs=1e-7)
    assert second[1] == pytest.approx(-(first[2] - first[0]) / (2 * step), rel=1e-4, abs=1e-7)
    assert third[1] == pytest.approx(-(second[2] - second[0]) / (2 * step), rel=1e-4, abs=1e-7)


@pytest.mark.source(
    item="",
    what="mean less mode of the log of a rate known from n counts alone, to first order",
    value="-1/(2 n)",
    source="digamma function: psi(n) - log n",
    mark="computed",
)
def test_correction_for_skewness_is_that_of_the_digamma_function() -> None:
    counts = 40.0
    mean_log = special.digamma(counts) - np.log(counts)
    variance, third = 1.0 / counts, -counts
    assert 0.5 * variance * third * variance == pytest.approx(mean_log, rel=0.02)
    rate = np.zeros(40)
    assert newton.derivatives(rate, np.zeros(40, np.bool_))[2].sum() == pytest.approx(third)


def test_the_spreads_are_the_likeliest_of_those_tried_one_after_the_other(
    past: Looks, world: worlds.World
) -> None:
    laid = design(past.at, levels_of(past.at), world.prior)
    first = spreads.first_spreads()
    found, _ = spreads.fitted(laid, past.found, world.prior)
    assert spreads.mode(laid, past.found, world.prior, found)[1] >= (
        spreads.mode(laid, past.found, world.prior, first)[1] - 1e-9
    )
    few = np.flatnonzero(past.found)[:5]
    thinned = past.found & np.isin(np.arange(len(past)), few)
    assert spreads.fitted(laid, thinned, world.prior)[0] == first


def test_quadrature_agrees_with_twenty_thousand_draws(past: Looks, world: worlds.World) -> None:
    fit = model.fit(past, world.prior)
    points = chosen(past.at, np.flatnonzero(~np.isnan(past.at.weather).any(axis=1))[:40])
    points = chosen(points, np.flatnonzero(points.host >= 0))
    rates = prediction.drawn_rates(fit, points, 20_000, seed=5)
    noise = np.random.default_rng(6).normal(0.0, 0.6, rates.shape)
    drawn = prediction.at_least_one(rates + noise).mean(axis=0)
    assert np.abs(prediction.predict(fit, points).chance - drawn).max() < 0.005


def test_draws_have_the_spread_that_is_said(past: Looks, world: worlds.World) -> None:
    fit = model.fit(past, world.prior)
    points = chosen(past.at, np.flatnonzero(past.at.host >= 0)[:30])
    rates = prediction.drawn_rates(fit, points, 4_000, seed=7)
    laid = design(points, fit.levels, fit.prior)
    assert rates.std(axis=0) == pytest.approx(np.sqrt(laplace.variance(laid, fit.covariance)), rel=0.08)
    assert rates.tolist() == prediction.drawn_rates(fit, points, 4_000, seed=7).tolist()


def test_the_top_is_found_by_another_climber_too() -> None:
    prior = SeasonPrior((Hump(4.5, 3.0),))
    looks = chosen_small(worlds.matched(8))
    laid = design(looks.at, levels_of(looks.at), prior)
    mean, precision = spreads.before(prior, laid, spreads.first_spreads())
    written = dense.columns(laid)

    def badness(at: Floats) -> float:
        likely = newton.log_likelihood(laid.offset + written @ at, looks.found)
        return float(0.5 * ((at - mean) ** 2 @ precision) - likely)

    other = optimize.minimize(badness, mean, method="L-BFGS-B", options={"maxiter": 5000, "ftol": 1e-13})
    ours = newton.maximised(laid, looks.found, mean, precision, mean)
    assert -ours.log_posterior <= float(other.fun) + 1e-9
    assert ours.coefficients == pytest.approx(other.x, abs=0.01)


def chosen_small(world: worlds.World) -> Looks:
    """Give some 40 looks of a world."""
    return world.past(12, np.random.default_rng(2))
