"""How much of a source's effect straight roads and drawn areas carry to a place, by the K0 kernel.

A place at distance d from an endless straight road is meant to feel exp(-d/length) of what the kerb
feels. The kernel K0(r/length) / (pi length), added up along the road, gives just that; added up
along one piece it gives the piece's share. The same kernel spread over ground, K0(r/length) /
(2 pi length^2), adds up to 1 over the endless plane.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import special
from shapely.geometry.base import BaseGeometry

from sitebook.analysis.contamination import bessel
from sitebook.analysis.contamination.outlines import Outlines, angles_at, outlines_of, seen_from, straightened
from sitebook.analysis.contamination.panels import Rule, along_pieces, by_panels

Floats = NDArray[np.float64]

EXACT_NODES = 24
QUICK_NODES = 16

QUICK = (
    Rule(4, 16.0, 0.3),
    Rule(5, 10.0, 0.5),
    Rule(6, 6.0, 1.2),
    Rule(8, 4.0, 2.0),
    Rule(12, 2.2, 6.0),
)
"""Plain rules for pieces of roads, each within 1e-10 of the full one."""

WHOLE_TURN = 1e-9
"""A sum of angles this near to whole turns [turns] is taken for them; else the place is on the outline."""

BLOCK_PAIRS = 200_000
"""Pairs of place and edge that are worked on at once, which bounds the memory used."""


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
    Added up by 24-node Gauss-Legendre on panels, as `panels.by_panels` says.
    """
    start, end, distance, scale = np.broadcast_arrays(
        *(np.asarray(value, dtype=np.float64) for value in (from_m, to_m, distance_m, length_scale_m))
    )
    _refuse_impossible(start, end, distance, scale)
    sign = np.where(end < start, -1.0, 1.0)
    low, high = np.minimum(start, end).ravel(), np.maximum(start, end).ravel()
    low, high, beside = (value / scale.ravel() for value in (low, high, distance.ravel()))
    share = by_panels(low, high, beside, _line, EXACT_NODES) / np.pi
    return np.asarray(sign * share.reshape(start.shape))


def piece_weight(from_m: Floats, to_m: Floats, distance_m: Floats, length_scale_m: float) -> Floats:
    """Give the same share for many pieces, with fewer nodes where they suffice.

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
    low, high, distance = (value * (1.0 / length_scale_m) for value in (from_m, to_m, distance_m))
    total = along_pieces(low, high, distance, _quick_line, rules=QUICK, panel_nodes=QUICK_NODES)
    total *= 1.0 / np.pi
    return total


def area_weight(points_m: ArrayLike, polygon_m: BaseGeometry, length_scale_m: float) -> Floats:
    """Give the share of the endless plane's effect that an area carries at places.

    Parameters
    ----------
    points_m
        Places (n, 2) [m].
    polygon_m
        Polygon or multipolygon, holes allowed; the direction of its rings does not matter [m].
    length_scale_m
        Length of the kernel [m].

    Returns
    -------
    ndarray
        The share (n,) [1], between 0 and 1; exact to about 1e-12. On a straight edge of a large area it
        is 1/2.

    Raises
    ------
    ValueError
        When the shape is no area or crosses itself, a place is not finite, or the length is not above 0.

    Notes
    -----
    The kernel g obeys g - length^2 Laplacian(g) = delta, so its sum over the area is the number of turns
    that the outline makes round the place, less a sum over the edges,

        (1 / (2 pi length)) sum of h x integral of K1(r/length) / r along the edge,

    h being how far outward the line of the edge passes. An edge whose line passes through the place adds
    nothing. On the outline itself the turns are no whole number: half a turn on an edge, the angle inside
    at a corner.
    """
    points = np.asarray(points_m, dtype=np.float64).reshape(-1, 2)
    if not np.all(np.isfinite(points)):
        raise ValueError("a place is not a finite pair of metres")
    if not (np.isfinite(length_scale_m) and length_scale_m > 0.0):
        raise ValueError("a length scale is a finite number above 0")
    edges = outlines_of([polygon_m])
    rows = max(1, BLOCK_PAIRS // max(edges.size, 1))
    blocks = [_area_block(points[k : k + rows], edges, length_scale_m) for k in range(0, len(points), rows)]
    return np.concatenate([np.empty(0), *blocks])


def _area_block(points: Floats, edges: Outlines, length_scale_m: float) -> Floats:
    start, end = edges.start_m[None] - points[:, None], edges.end_m[None] - points[:, None]
    low, high, outward = (value / length_scale_m for value in seen_from(start, end))
    outward = straightened(outward)
    turns = angles_at(low, high, outward).sum(axis=1) / (2.0 * np.pi)
    whole = np.round(turns)
    turns = np.where(np.abs(turns - whole) < WHOLE_TURN, whole, turns)
    passing = np.nonzero(outward)
    carried = np.zeros(outward.shape)
    beside = np.abs(outward[passing])
    along = by_panels(low[passing], high[passing], beside, _edge, EXACT_NODES)
    carried[passing] = np.copysign(along, outward[passing])
    return np.asarray(turns - carried.sum(axis=1) / (2.0 * np.pi))


def _line(r: Floats, _distance: Floats) -> Floats:
    return np.asarray(special.k0(r))


def _quick_line(r: Floats, _distance: Floats) -> Floats:
    return bessel.k0(r)


def _edge(r: Floats, distance: Floats) -> Floats:
    return np.asarray(distance * special.k1(r) / r)


def _refuse_impossible(start: Floats, end: Floats, distance: Floats, scale: Floats) -> None:
    if not (np.all(distance >= 0.0) and np.all(np.isfinite(distance))):
        raise ValueError("a distance from a road is a finite number, 0 or more")
    if not (np.all(scale > 0.0) and np.all(np.isfinite(scale))):
        raise ValueError("a length scale is a finite number above 0")
    if np.any(np.isnan(start)) or np.any(np.isnan(end)):
        raise ValueError("the ends of a piece must be given")
