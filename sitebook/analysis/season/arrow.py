"""Solves the equations of a fit whose sites and trees touch each other only through shared columns."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import linalg

from sitebook.analysis.season.design import Block, Design

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True)
class Curvature:
    """A symmetric matrix over shared coefficients, sites and trees, kept without its zeros.

    Parameters
    ----------
    shared
        Among the shared coefficients (c, c).
    shared_site, shared_tree
        Between these and sites (c, s) and trees (c, t).
    site, tree
        Diagonals of sites (s,) and trees (t,).
    site_tree
        Between each tree and its own site (t,).
    tree_site
        Slot of the site of each tree (t,); s where it has none.
    """

    shared: Floats
    shared_site: Floats
    shared_tree: Floats
    site: Floats
    tree: Floats
    site_tree: Floats
    tree_site: Ints


@dataclass(frozen=True)
class Factor:
    """A curvature with trees and then sites taken out of it.

    Parameters
    ----------
    curvature
        The matrix itself.
    site
        What is left of the diagonal of sites when trees are taken out (s,).
    shared_site
        What is left between shared coefficients and sites (c, s).
    root
        Lower Cholesky root of what is left among the shared coefficients (c, c).
    """

    curvature: Curvature
    site: Floats
    shared_site: Floats
    root: Floats

    @property
    def log_determinant(self) -> float:
        """Log of the determinant of the whole matrix."""
        parts = np.log(self.curvature.tree).sum() + np.log(self.site).sum()
        return float(parts + 2.0 * np.log(np.diag(self.root)).sum())


def gather(block: Block, values: Floats) -> Floats:
    """Add up the rows of values (n, m) by the effect each point has (count, m)."""
    scaled = values * block.factor[:, None]
    sums = [np.bincount(block.slot, column, block.count + 1)[: block.count] for column in scaled.T]
    return np.stack(sums, axis=1).astype(np.float64, copy=False) if sums else np.zeros((block.count, 0))


def total(block: Block, values: Floats) -> Floats:
    """Add up values (n,) by the effect each point has (count,)."""
    sums = np.bincount(block.slot, values * block.factor, block.count + 1)
    return np.asarray(sums[: block.count], np.float64)


def crossed(first: Block, second: Block, weights: Floats) -> Floats:
    """Add up weights by the pair of effects that each point has (first, second)."""
    wide = second.count + 1
    pair = first.slot * wide + second.slot
    sums = np.bincount(pair, weights * first.factor * second.factor, (first.count + 1) * wide)
    return np.asarray(sums.reshape(first.count + 1, wide)[: first.count, : second.count], np.float64)


def curvature(laid: Design, weights: Floats, precision: Floats) -> Curvature:
    """Add up weights times the outer products of all columns, and the precision of the priors.

    Parameters
    ----------
    laid
        Columns and groups of the looks.
    weights
        Weight of each look (n,).
    precision
        One over the prior variance of each coefficient: shared, then sites, then trees.
    """
    weighted = laid.dense * weights[:, None]
    width, count = laid.dense.shape[1], laid.shared_count
    sites = laid.site.count
    shared = np.empty((count, count))
    shared[:width, :width] = laid.dense.T @ weighted
    starts = np.cumsum([width, *(block.count for block in laid.shared)])
    for row, (start, block) in enumerate(zip(starts, laid.shared, strict=False)):
        here = slice(start, start + block.count)
        shared[here, :width] = gather(block, weighted)
        shared[:width, here] = shared[here, :width].T
        for other_start, other in list(zip(starts, laid.shared, strict=False))[row:]:
            there = slice(other_start, other_start + other.count)
            shared[here, there] = crossed(block, other, weights)
            shared[there, here] = shared[here, there].T
    shared[np.diag_indices(count)] += precision[:count]
    return Curvature(
        shared,
        _beside(laid, laid.site, weighted, weights),
        _beside(laid, laid.tree, weighted, weights),
        total(laid.site, weights) + precision[count : count + sites],
        total(laid.tree, weights) + precision[count + sites :],
        total(laid.tree, weights * (laid.site.slot < sites)),
        laid.tree_site,
    )


def _beside(laid: Design, block: Block, weighted: Floats, weights: Floats) -> Floats:
    crossings = [crossed(other, block, weights) for other in laid.shared]
    return np.concatenate([gather(block, weighted).T, *crossings])


def by_site(values: Floats, tree_site: Ints, sites: int) -> Floats:
    """Add up values of trees (..., t) by site (..., s)."""
    if values.ndim == 1:
        return np.asarray(np.bincount(tree_site, values, sites + 1)[:sites], np.float64)
    sums = np.zeros((values.shape[0], sites + 1))
    np.add.at(sums.T, tree_site, values.T)
    return sums[:, :sites]


def factored(matrix: Curvature) -> Factor:
    """Take trees and then sites out of a curvature; both are diagonal, so this costs little."""
    sites = matrix.site.size
    per_tree = matrix.shared_tree / matrix.tree
    link = matrix.site_tree / matrix.tree
    shared = matrix.shared - per_tree @ matrix.shared_tree.T
    site = matrix.site - by_site(matrix.site_tree * link, matrix.tree_site, sites)
    shared_site = matrix.shared_site - by_site(matrix.shared_tree * link, matrix.tree_site, sites)
    shared = shared - (shared_site / site) @ shared_site.T
    return Factor(matrix, site, shared_site, np.asarray(np.linalg.cholesky(shared), np.float64))


def solved(factor: Factor, right: Floats) -> Floats:
    """Give the coefficients whose product with the matrix is the right side: shared, sites, trees."""
    matrix, count, sites = factor.curvature, factor.root.shape[0], factor.site.size
    shared, site, tree = np.split(right, [count, count + sites])
    per_tree = tree / matrix.tree
    shared = shared - matrix.shared_tree @ per_tree
    site = site - by_site(matrix.site_tree * per_tree, matrix.tree_site, sites)
    found = linalg.cho_solve((factor.root, True), shared - factor.shared_site @ (site / factor.site))
    return substituted(factor, found, site / factor.site, per_tree)


def substituted(factor: Factor, shared: Floats, site: Floats, tree: Floats) -> Floats:
    """Give all coefficients once the shared ones are known.

    Parameters
    ----------
    factor
        The matrix, factored.
    shared
        Shared coefficients (c,).
    site, tree
        What sites (s,) and trees (t,) would be if everything before them were 0.
    """
    matrix = factor.curvature
    sites = site - (factor.shared_site.T @ shared) / factor.site
    own = np.append(sites, 0.0)[matrix.tree_site]
    trees = tree - (matrix.shared_tree.T @ shared + matrix.site_tree * own) / matrix.tree
    return np.concatenate([shared, sites, trees])
