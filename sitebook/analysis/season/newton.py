"""Finds the coefficients under which looks and priors together are most likely."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sitebook.analysis.season import arrow
from sitebook.analysis.season.design import Block, Bools, Design

Floats = NDArray[np.float64]

LOWEST, HIGHEST = -30.0, 6.0
"""Log rates are held between these: a look in 1e13, and 400 finds a look."""
MOST_STEPS = 60
CLOSE = 1e-12
"""Expected gain of the log likelihood below which a further step is not worth taking."""
SHORTEST = 1e-4
"""Share of a step below which halving it is given up."""


@dataclass(frozen=True)
class Mode:
    """The most likely coefficients.

    Parameters
    ----------
    coefficients
        Shared, then sites, then trees.
    log_posterior
        Log likelihood and log prior there, the constants of the prior left out.
    factor
        Observed information with the precision of the priors, factored.
    steps
        Steps taken.
    """

    coefficients: Floats
    log_posterior: float
    factor: arrow.Factor
    steps: int


def log_rate(laid: Design, coefficients: Floats) -> Floats:
    """Give the log of finds to be expected at each point (n,)."""
    width = laid.dense.shape[1]
    blocks = (*laid.shared, laid.site, laid.tree)
    ends = np.cumsum([width, *(block.count for block in blocks)])
    rate = laid.offset + laid.dense @ coefficients[:width]
    for start, block in zip(ends, blocks, strict=False):
        rate = rate + block.factor * _effect(block, coefficients[start : start + block.count])
    return np.asarray(rate)


def _effect(block: Block, effects: Floats) -> Floats:
    return np.append(effects, 0.0)[block.slot]


def log_likelihood(rate: Floats, found: Bools) -> float:
    """Give the log of the probability of what the looks found."""
    mean = np.exp(np.clip(rate, LOWEST, HIGHEST))
    return float(np.where(found, np.log(-np.expm1(-mean)), -mean).sum())


def derivatives(rate: Floats, found: Bools) -> tuple[Floats, Floats, Floats]:
    """Give first, negative second and third derivative of each look's log probability by its log rate."""
    mean = np.exp(np.clip(rate, LOWEST, HIGHEST))
    first = mean / np.expm1(mean)
    fall = 1.0 - mean - first
    second = first * fall
    third = second * fall - first * (mean + second)
    return np.where(found, first, -mean), np.where(found, -second, mean), np.where(found, third, -mean)


def maximised(laid: Design, found: Bools, prior_mean: Floats, precision: Floats, start: Floats) -> Mode:
    """Climb to the most likely coefficients by Newton steps, each halved until it gains.

    The log probability of a look is concave in its log rate, so the observed information serves for
    the steps too and the top is the only one.

    Parameters
    ----------
    laid
        Columns and groups of the looks.
    found
        What they found (n,).
    prior_mean, precision
        Mean and one over the variance of each coefficient before the looks.
    start
        Where to begin.
    """
    at = start
    rate = log_rate(laid, at)
    height = _height(rate, found, at - prior_mean, precision)
    for step in range(MOST_STEPS):
        first, second, _ = derivatives(rate, found)
        slope = _gathered(laid, first) - (at - prior_mean) * precision
        factor = arrow.factored(arrow.curvature(laid, second, precision))
        move = arrow.solved(factor, slope)
        if float(slope @ move) < CLOSE:
            return Mode(at + move, height, factor, step)
        at, rate, height = _climbed(laid, found, prior_mean, precision, (at, move, height))
    factor = arrow.factored(arrow.curvature(laid, derivatives(rate, found)[1], precision))
    return Mode(at, height, factor, MOST_STEPS)


def _climbed(
    laid: Design, found: Bools, mean: Floats, precision: Floats, way: tuple[Floats, Floats, float]
) -> tuple[Floats, Floats, float]:
    start, move, height = way
    share = 1.0
    while True:
        at = start + share * move
        rate = log_rate(laid, at)
        reached = _height(rate, found, at - mean, precision)
        if reached >= height or share < SHORTEST:
            return at, rate, reached
        share /= 2.0


def _height(rate: Floats, found: Bools, away: Floats, precision: Floats) -> float:
    return log_likelihood(rate, found) - 0.5 * float((away * away) @ precision)


def _gathered(laid: Design, values: Floats) -> Floats:
    """Give the product of the transposed columns with a value a look."""
    blocks = (*laid.shared, laid.site, laid.tree)
    return np.concatenate([laid.dense.T @ values, *(arrow.total(block, values) for block in blocks)])


def third_order(laid: Design, rate: Floats, found: Bools, variance: Floats) -> Floats:
    """Give the pull of the skewness on each coefficient: columns times third derivative and variance."""
    return _gathered(laid, derivatives(rate, found)[2] * variance)
