"""Says how surely the coefficients of a fit are known, and draws others that are as likely."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import linalg

from sitebook.analysis.season import arrow
from sitebook.analysis.season.design import Block, Design

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True)
class Covariance:
    """Covariance of the coefficients, as far as one point can ask for it.

    Each part has one row or column of zeros at its end, which a point without that effect is given.

    Parameters
    ----------
    shared
        Among shared coefficients (c + 1, c + 1).
    shared_site, shared_tree
        Between these and each site (c + 1, s + 1) and tree (c + 1, t + 1).
    site, tree
        Variance of each site (s + 1,) and tree (t + 1,).
    site_tree
        Covariance of each tree with its own site (t + 1,).
    """

    shared: Floats
    shared_site: Floats
    shared_tree: Floats
    site: Floats
    tree: Floats
    site_tree: Floats


def covariance(factor: arrow.Factor) -> Covariance:
    """Invert a factored curvature where a point can ask for it."""
    matrix, sites = factor.curvature, factor.site.size
    count = factor.root.shape[0]
    shared = linalg.cho_solve((factor.root, True), np.eye(count))
    gain = factor.shared_site / factor.site
    shared_site = -shared @ gain
    site = 1.0 / factor.site - (gain * shared_site).sum(axis=0)
    padded_site = np.append(shared_site, np.zeros((count, 1)), axis=1)
    own = padded_site[:, matrix.tree_site]
    shared_tree = -(shared @ matrix.shared_tree + own * matrix.site_tree) / matrix.tree
    own_site = np.append(site, 0.0)[matrix.tree_site]
    through = (matrix.shared_tree * own).sum(axis=0)
    site_tree = -(through + own_site * matrix.site_tree) / matrix.tree
    site_tree = np.where(matrix.tree_site < sites, site_tree, 0.0)
    pulled = (matrix.shared_tree * shared_tree).sum(axis=0) + matrix.site_tree * site_tree
    tree = (1.0 - pulled) / matrix.tree
    return Covariance(
        np.pad(shared, ((0, 1), (0, 1))),
        np.pad(shared_site, ((0, 1), (0, 1))),
        np.pad(shared_tree, ((0, 1), (0, 1))),
        np.append(site, 0.0),
        np.append(tree, 0.0),
        np.append(site_tree, 0.0),
    )


def variance(laid: Design, known: Covariance) -> Floats:
    """Give the variance of the log rate at each point (n,) from the doubt in the coefficients."""
    dense, width = laid.dense, laid.dense.shape[1]
    found = ((dense @ known.shared[:width, :width]) * dense).sum(axis=1)
    spots = _spots(laid)
    for number, (place, factor) in enumerate(spots):
        found += 2.0 * factor * (dense * known.shared[place, :width]).sum(axis=1)
        for other, other_factor in spots[number + 1 :]:
            found += 2.0 * factor * other_factor * known.shared[place, other]
        found += factor * factor * known.shared[place, place]
    for block, columns, own in (
        (laid.site, known.shared_site, known.site),
        (laid.tree, known.shared_tree, known.tree),
    ):
        found += own[block.slot] + 2.0 * (dense * columns[:width, block.slot].T).sum(axis=1)
        for place, factor in spots:
            found += 2.0 * factor * columns[place, block.slot]
    return np.asarray(np.maximum(found + 2.0 * _both(laid, known), 0.0))


def _both(laid: Design, known: Covariance) -> Floats:
    """Give the covariance of site and tree at each point; a tree away from its site has none."""
    home = np.append(laid.tree_site, -1)[laid.tree.slot]
    return np.where(home == laid.site.slot, known.site_tree[laid.tree.slot], 0.0)


def _spots(laid: Design) -> list[tuple[Ints, Floats]]:
    """Give the place of each point's shared effects among the coefficients, the last for none."""
    start, none = laid.dense.shape[1], laid.shared_count
    spots = []
    for block in laid.shared:
        spots.append((_place(block, start, none), block.factor))
        start += block.count
    return spots


def _place(block: Block, start: int, none: int) -> Ints:
    return np.where(block.slot < block.count, start + block.slot, none)


def drawn(factor: arrow.Factor, middle: Floats, how_many: int, seed: int) -> Floats:
    """Draw coefficients as likely as the looks leave them (how_many, all)."""
    chance = np.random.default_rng(seed)
    count, matrix = factor.root.shape[0], factor.curvature
    rows = []
    for _ in range(how_many):
        shared = linalg.solve_triangular(factor.root.T, chance.standard_normal((count,)))
        site = chance.standard_normal(factor.site.size) / np.sqrt(factor.site)
        tree = chance.standard_normal(matrix.tree.size) / np.sqrt(matrix.tree)
        rows.append(arrow.substituted(factor, shared, site, tree))
    return middle + np.stack(rows)
