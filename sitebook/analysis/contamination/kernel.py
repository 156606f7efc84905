"""How much of an endless road's effect one straight piece of it carries, by the K0 kernel.

A place at distance d from an endless straight road is meant to feel exp(-d/length) of what the kerb
feels. The kernel K0(r/length) / (pi length), added up along the road, gives just that; added up
along one piece it gives the piece's share.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import k0

Floats = NDArray[np.float64]

EXACT_NODES = 24
E_FOLDS = 40.0
"""What lies this many lengths farther than the nearest point of a piece adds under 1e-17 of it."""

TINY = 1e-13
"""Distance, in lengths, that stands for zero; the share changes by as little."""

_QUICK: tuple[tuple[int, float, float], ...] = ((5, 10.0, 0.5), (8, 4.0, 2.0), (12, 2.2, 6.0))
"""Nodes of a plain Gauss rule, from which distance of the middle (in half pieces), up to which half piece
(in lengths). The rule converges as (s + sqrt(s^2 - 1))^(-2 n) for a middle s half pieces away from the
nearest singular point of K0, and the third number bounds how far the kernel falls along the piece."""


def segment_weight(
    from_m: ArrayLike, to_m: ArrayLike, distance_m: ArrayLike, length_scale_m: ArrayLike
) -> Floats:
    """Give the share of an endless road's kerb effect that a straight piece carries at a place.

    Parameters
    ----------
    from_m, to_m
        Ends of the piece along its line, measured from the foot point of the place [m]; may be infinite.
        Swapped ends change the sign.
    distance_m
        Distance of the place from the line [m], 0 or more.
    length_scale_m
        Length in which the effect of an endless road falls to 1/e [m].

    Returns
    -------
    ndarray
        The share [1], broadcast over the arguments; exact to about 1e-13 of itself.

    Raises
    ------
    ValueError
        When a distance is below zero, a length is not above zero, or a number is missing.

    Notes
    -----
    With x = d sinh u the integrand becomes cosh u K0(d cosh u / length), smooth even for d near zero;
    it is added up by 24-node Gauss-Legendre on panels at most one wide.
    """
    start, end, distance, scale = np.broadcast_arrays(
        *(np.asarray(value, dtype=np.float64) for value in (from_m, to_m, distance_m, length_scale_m))
    )
    _refuse_impossible(start, end, distance, scale)
    sign = np.where(end < start, -1.0, 1.0)
    low, high = np.minimum(start, end).ravel(), np.maximum(start, end).ravel()
    share = _exact(low / scale.ravel(), high / scale.ravel(), distance.ravel() / scale.ravel())
    return np.asarray(sign * share.reshape(start.shape))


def piece_weight(from_m: Floats, to_m: Floats, distance_m: Floats, length_scale_m: float) -> Floats:
    """Give the same share for many short pieces, with fewer nodes where they suffice.

    Parameters
    ----------
    from_m, to_m, distance_m
        As in `segment_weight`, one-dimensional, finite, with `from_m` <= `to_m` [m].
    length_scale_m
        As in `segment_weight` [m].

    Returns
    -------
    ndarray
        The share [1], within 1e-10 of itself.
    """
    half, middle = 0.5 * (to_m - from_m) / length_scale_m, 0.5 * (to_m + from_m) / length_scale_m
    distance = distance_m / length_scale_m
    away = np.hypot(middle, distance)
    share = np.empty_like(half)
    left = np.ones(half.shape, dtype=np.bool_)
    for count, far_in_halves, half_limit in _QUICK:
        fits = left & (away >= far_in_halves * half) & (half <= half_limit)
        share[fits] = _plain(middle[fits], half[fits], distance[fits], count)
        left &= ~fits
    near = np.flatnonzero(left)
    share[near] = _exact((middle - half)[near], (middle + half)[near], distance[near])
    return share


def _refuse_impossible(start: Floats, end: Floats, distance: Floats, scale: Floats) -> None:
    if not (np.all(distance >= 0.0) and np.all(np.isfinite(distance))):
        raise ValueError("a distance from a road is a finite number, 0 or more")
    if not (np.all(scale > 0.0) and np.all(np.isfinite(scale))):
        raise ValueError("a length scale is a finite number above 0")
    if np.any(np.isnan(start)) or np.any(np.isnan(end)):
        raise ValueError("the ends of a piece must be given")


def _nodes(count: int) -> tuple[Floats, Floats]:
    found: tuple[Any, Any] = np.polynomial.legendre.leggauss(count)
    return np.asarray(found[0]), np.asarray(found[1])


def _plain(middle: Floats, half: Floats, distance: Floats, count: int) -> Floats:
    total = np.zeros_like(half)
    squared = distance * distance
    for node, weight in zip(*_nodes(count), strict=True):
        along = middle + node * half
        total += weight * k0(np.sqrt(along * along + squared))
    return np.asarray(total * half / np.pi)


def _exact(low: Floats, high: Floats, distance: Floats) -> Floats:
    """Add up along pieces given in units of the length scale."""
    distance = np.maximum(distance, TINY)
    nearest = np.hypot(distance, np.maximum(np.maximum(low, -high), 0.0))
    reach = np.arccosh(1.0 + (np.minimum(nearest, 1e3) - distance + E_FOLDS).clip(0.0) / distance)
    from_u = np.clip(np.arcsinh(low / distance), -reach, reach)
    to_u = np.clip(np.arcsinh(high / distance), -reach, reach)
    panels = np.maximum(np.ceil(to_u - from_u), 1.0).astype(np.int64)
    width = (to_u - from_u) / panels
    total = np.zeros_like(distance)
    for panel in range(int(panels.max(initial=0))):
        some = np.flatnonzero(panels > panel)
        middle_u, half_u = from_u[some] + (panel + 0.5) * width[some], 0.5 * width[some]
        total[some] += _panel(middle_u, half_u, distance[some])
    return np.asarray(total / np.pi)


def _panel(middle_u: Floats, half_u: Floats, distance: Floats) -> Floats:
    total = np.zeros_like(distance)
    for node, weight in zip(*_nodes(EXACT_NODES), strict=True):
        stretched = distance * np.cosh(middle_u + node * half_u)
        total += weight * stretched * k0(stretched)
    return np.asarray(total * half_u)
