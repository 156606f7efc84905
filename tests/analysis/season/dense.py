"""Fits the season model the plain way: every column written out, Newton steps on the whole matrix."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from sitebook.analysis.season.design import Bools, Design

Floats = NDArray[np.float64]


def columns(laid: Design) -> Floats:
    """Write out every column of a design: shared, sites, trees (n, all)."""
    written = [laid.dense]
    for block in (*laid.shared, laid.site, laid.tree):
        one_hot = (block.slot[:, None] == np.arange(block.count)).astype(np.float64)
        written.append(one_hot * block.factor[:, None])
    return np.hstack(written)


def information(written: Floats, rate: Floats, found: Bools, precision: Floats) -> Floats:
    """Give the negative second derivative of log likelihood and log prior (all, all)."""
    mean = np.exp(rate)
    ratio = mean / np.expm1(mean)
    weights = np.where(found, ratio * (mean + ratio - 1.0), mean)
    return np.asarray((written.T * weights) @ written + np.diag(precision))


def mode(laid: Design, found: Bools, prior_mean: Floats, precision: Floats, steps: int = 40) -> Floats:
    """Climb to the most likely coefficients with steps cut to half while they lose."""
    written, at = columns(laid), prior_mean

    def height(where: Floats) -> float:
        mean = np.exp(np.clip(laid.offset + written @ where, -30.0, 6.0))
        likely = np.where(found, np.log(-np.expm1(-mean)), -mean).sum()
        return float(likely - 0.5 * ((where - prior_mean) ** 2 @ precision))

    for _ in range(steps):
        rate = laid.offset + written @ at
        mean = np.exp(rate)
        slope = written.T @ np.where(found, mean / np.expm1(mean), -mean) - (at - prior_mean) * precision
        move = np.linalg.solve(information(written, rate, found, precision), slope)
        if slope @ move < 1e-14:
            return np.asarray(at + move)
        share = 1.0
        while height(at + share * move) < height(at) and share > 1e-4:
            share /= 2.0
        at = at + share * move
    return at
