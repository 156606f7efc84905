"""Adds up a kernel along straight pieces by Gauss's rule, with as many nodes as each piece needs."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cache
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

Fall = Callable[[Floats, Floats], Floats]
"""A kernel, given the distance r of a point of the piece and the distance d of the piece's line."""

E_FOLDS = 40.0
"""What lies this many lengths farther than the nearest point of a piece adds under 1e-17 of it."""

TINY = 1e-13
"""Distance, in lengths, that stands for zero; the sum changes by as little."""


class Rule(NamedTuple):
    """Where a plain Gauss rule is enough.

    A kernel with its singular point s half pieces away is added up with an error that falls as
    (s + sqrt(s^2 - 1))^(-2 nodes); how far it falls along the piece bounds the half piece.

    Parameters
    ----------
    nodes
        Nodes of the rule.
    halves_away
        Least distance of the piece's middle, in half pieces.
    half_at_most
        Longest half piece, in lengths.
    """

    nodes: int
    halves_away: float
    half_at_most: float


def along_pieces(
    low: Floats, high: Floats, distance: Floats, fall: Fall, *, rules: Sequence[Rule], panel_nodes: int
) -> Floats:
    """Add up a kernel along pieces, each by the first rule that fits it and else by panels.

    Parameters
    ----------
    low, high
        Ends along the line, measured from the foot point, `low` <= `high` [lengths].
    distance
        Distance of the line, 0 or more [lengths].
    fall
        The kernel.
    rules
        Plain rules, the cheapest first.
    panel_nodes
        Nodes a panel.
    """
    half, middle = 0.5 * (high - low), 0.5 * (high + low)
    away = middle * middle
    away += distance * distance
    total = np.empty_like(half)
    left = np.arange(half.size)
    for rule in rules:
        close = half[left]
        fits = (close <= rule.half_at_most) & (away[left] >= (rule.halves_away * close) ** 2)
        some, left = left[fits], left[~fits]
        total[some] = plain(middle[some], half[some], distance[some], fall, rule.nodes)
    total[left] = by_panels(low[left], high[left], distance[left], fall, panel_nodes)
    return total


def plain(middle: Floats, half: Floats, distance: Floats, fall: Fall, count: int) -> Floats:
    """Add up a kernel along pieces given by middle and half length, with one Gauss rule for each."""
    total = np.zeros_like(half)
    squared = distance * distance
    for node, weight in zip(*nodes(count), strict=True):
        along = half * node
        along += middle
        along *= along
        along += squared
        part = fall(np.sqrt(along, out=along), distance)
        part *= weight
        total += part
    total *= half
    return total


def by_panels(low: Floats, high: Floats, distance: Floats, fall: Fall, count: int) -> Floats:
    """Add up a kernel along pieces at any distance.

    With x = d sinh u the distance is r = d cosh u and dx = r du, which is smooth even for d near zero;
    u is cut into panels at most one wide.
    """
    distance = np.maximum(distance, TINY)
    nearest = np.hypot(distance, np.maximum(np.maximum(low, -high), 0.0))
    reach = np.arccosh(1.0 + (np.minimum(nearest, 1e3) - distance + E_FOLDS).clip(0.0) / distance)
    from_u = np.clip(np.arcsinh(low / distance), -reach, reach)
    to_u = np.clip(np.arcsinh(high / distance), -reach, reach)
    panels = np.maximum(np.ceil(to_u - from_u), 1.0).astype(np.int64)
    owner = np.repeat(np.arange(panels.size), panels)
    rank = np.arange(owner.size) - np.repeat(np.cumsum(panels) - panels, panels)
    half_u = (0.5 * (to_u - from_u) / panels)[owner]
    middle_u = from_u[owner] + (2 * rank + 1) * half_u
    shares = _panel(middle_u, half_u, distance[owner], fall, count)
    return np.asarray(np.bincount(owner, shares, minlength=panels.size), dtype=np.float64)


def _panel(middle_u: Floats, half_u: Floats, distance: Floats, fall: Fall, count: int) -> Floats:
    total = np.zeros_like(distance)
    for node, weight in zip(*nodes(count), strict=True):
        r = distance * np.cosh(middle_u + node * half_u)
        total += weight * r * fall(r, distance)
    return np.asarray(total * half_u)


@cache
def nodes(count: int) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Give the nodes of Gauss-Legendre's rule between -1 and 1, and their weights."""
    found: tuple[Any, Any] = np.polynomial.legendre.leggauss(count)
    return tuple(map(float, found[0])), tuple(map(float, found[1]))
