"""Finds the point of a way network from which a place is reached on foot across country."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from sitebook.analysis.foray import pace
from sitebook.analysis.foray.pace import Mode
from sitebook.analysis.foray.ways_graph import WaysGraph

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

NO_PIECE = -1


@dataclass(frozen=True, eq=False)
class Snapped:
    """Where some places touch the ways.

    Parameters
    ----------
    places_m
        The places themselves (n, 2) [m].
    piece
        Piece of the graph nearest to each (n,); -1 where none is in reach.
    share
        How far along the piece, 0 at its first end and 1 at its last (n,).
    at_m
        The point on the piece (n, 2) [m]; the place itself where none is in reach.
    distance_m
        From the place to that point in a straight line (n,) [m].
    """

    places_m: Floats
    piece: Ints
    share: Floats
    at_m: Floats
    distance_m: Floats


def snap(graph: WaysGraph, mode: Mode, lonlat: ArrayLike) -> Snapped:
    """Find the nearest piece of way open to a mode of travel for each of some places.

    A piece of a large network is taken before a nearer one of a small network that leads nowhere.

    Parameters
    ----------
    graph
        The ways.
    mode
        How one travels.
    lonlat
        Places (n, 2), WGS 84 [deg].
    """
    network = graph.networks[mode]
    open_at_all = np.isfinite(network.forward_min) | np.isfinite(network.backward_min)
    places_m = graph.metres.to_metres(lonlat)
    return _nearest(graph, places_m, (network.large, open_at_all))


def snap_to_parking(graph: WaysGraph, lonlat: ArrayLike) -> Snapped:
    """Find the nearest piece of way beside which a car may be left, within the large network of cars."""
    return _nearest(graph, graph.metres.to_metres(lonlat), (graph.networks["car"].large & graph.parking,))


def _nearest(graph: WaysGraph, places_m: Floats, choices: tuple[Flags, ...]) -> Snapped:
    """Take for each place the nearest piece of the first choice that has one in reach."""
    ends = graph.junctions_m[graph.first], graph.junctions_m[graph.last]
    box = [np.ascontiguousarray(edge) for edge in (*np.minimum(*ends).T, *np.maximum(*ends).T)]
    found = [_of_one(place, ends, box, choices) for place in places_m]
    piece = np.array([f[0] for f in found], dtype=np.int64)
    share = np.array([f[1] for f in found], dtype=np.float64)
    at_m = places_m.copy()
    on = piece != NO_PIECE
    step = ends[1][piece[on]] - ends[0][piece[on]]
    at_m[on] = ends[0][piece[on]] + share[on, None] * step
    return Snapped(places_m, piece, share, at_m, np.hypot(*(at_m - places_m).T))


def _of_one(
    place: Floats, ends: tuple[Floats, Floats], box: Sequence[Floats], choices: tuple[Flags, ...]
) -> tuple[int, float]:
    reach_m = pace.value("snap_reach")
    west, south, east, north = box
    x, y = place
    in_box = (west <= x + reach_m) & (east >= x - reach_m) & (south <= y + reach_m) & (north >= y - reach_m)
    for choice in choices:
        near = np.flatnonzero(in_box & choice)
        if near.size == 0:
            continue
        start, step = ends[0][near], ends[1][near] - ends[0][near]
        along = ((place - start) * step).sum(axis=1) / np.maximum((step * step).sum(axis=1), 1e-12)
        share = np.clip(along, 0.0, 1.0)
        away = np.hypot(*(start + share[:, None] * step - place).T)
        best = int(np.argmin(away))
        if away[best] <= reach_m:
            return int(near[best]), float(share[best])
    return NO_PIECE, 0.0
