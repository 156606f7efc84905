"""Finds the quickest ways between places by one mode of travel."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.sparse import csr_matrix
from scipy.sparse.csgraph import dijkstra

from sitebook.analysis.foray import pace
from sitebook.analysis.foray.pace import Mode
from sitebook.analysis.foray.ways_graph import SHORTEST_MIN, WaysGraph
from sitebook.analysis.foray.ways_snap import NO_PIECE, Snapped, snap
from sitebook.records.results.route import Leg, LegPart

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

AT_JUNCTION_M = 0.01
"""A place nearer than this to a junction, along its piece, is at it."""

NOT_REACHED = -9999
"""What the search writes where a junction has none before it."""


@dataclass(frozen=True, eq=False)
class Search:
    """What a search from some places over a network found.

    Parameters
    ----------
    minutes
        From each place to every junction, then to every place (n, junctions + n) [min]; inf where not
        reached.
    before
        Junction or place before each on the quickest way (n, junctions + n).
    """

    minutes: Floats
    before: NDArray[np.int32]


@dataclass(frozen=True, eq=False)
class Travel:
    """Travel between some places by one mode.

    Parameters
    ----------
    graph
        The ways.
    mode
        How one travels.
    snapped
        Where the places touch the ways.
    minutes
        From each place to each (n, n) [min], with what is walked across country to the ways and from them.
    unmapped
        Whether a time is made of the stated detour, no way being known (n, n).
    across
        Whether two places lie so near that one walks straight across country from one to the other (n, n).
    search
        What the search over the network found.
    """

    graph: WaysGraph
    mode: Mode
    snapped: Snapped
    minutes: Floats
    unmapped: NDArray[np.bool_]
    across: NDArray[np.bool_]
    search: Search

    def leg(self, start: int, end: int) -> Leg:
        """Give the way from one place to another, with its length and line."""
        minutes = float(self.minutes[start, end])
        if self.unmapped[start, end]:
            return _as_the_crow_flies(self, start, end)
        if self.across[start, end]:
            return _across_country(self, start, end)
        line_m = _line(self, start, end)
        steps = np.diff(line_m, axis=0)
        metres = float(np.hypot(steps[:, 0], steps[:, 1]).sum())
        lonlat = tuple((float(x), float(y)) for x, y in self.graph.metres.to_degrees(line_m))
        return Leg(minutes, metres, (LegPart(self.mode, minutes, metres, lonlat),))


def travel(graph: WaysGraph, mode: Mode, lonlat: ArrayLike, *, limit_min: float = math.inf) -> Travel:
    """Find the quickest ways between all pairs of some places.

    A place is reached from its nearest way across country; two that are no farther apart than they are from
    their ways together are joined so, but by car. Where a place lies beyond reach of every way, or
    no way joins two places, the time is that of the straight line with the stated detour.

    Parameters
    ----------
    graph
        The ways.
    mode
        How one travels.
    lonlat
        Places (n, 2), WGS 84 [deg].
    limit_min
        Ways that take longer are not looked for [min].
    """
    snapped = snap(graph, mode, lonlat)
    search = search_from(graph, mode, snapped, limit_min)
    across = pace.off_way_minutes(snapped.distance_m)
    between = search.minutes[:, len(graph.junctions_m) :]
    minutes = across[:, None] + between + across[None, :]
    straight_m = np.hypot(*(snapped.places_m[:, None] - snapped.places_m[None, :]).transpose(2, 0, 1))
    unmapped = ~np.isfinite(minutes)
    minutes = np.where(unmapped, pace.unmapped_minutes(straight_m, mode), minutes)
    beside = straight_m <= snapped.distance_m[:, None] + snapped.distance_m[None, :]
    joined = beside & ~unmapped & (mode != "car")
    minutes = np.where(joined, pace.off_way_minutes(straight_m), minutes)
    np.fill_diagonal(minutes, 0.0)
    np.fill_diagonal(unmapped, val=False)
    return Travel(graph, mode, snapped, minutes, unmapped, joined, search)


def search_from(graph: WaysGraph, mode: Mode, snapped: Snapped, limit_min: float = math.inf) -> Search:
    """Search the network from every place that touches it; the places join it as junctions of their own."""
    rows = _with_places(graph, mode, snapped)
    sources = len(graph.junctions_m) + np.arange(len(snapped.piece))
    if not len(sources):
        return Search(np.zeros((0, rows.shape[0])), np.zeros((0, rows.shape[0]), np.int32))
    minutes, before = dijkstra(
        rows, directed=True, indices=sources, return_predecessors=True, limit=limit_min
    )
    return Search(np.asarray(minutes), np.asarray(before, dtype=np.int32))


def _with_places(graph: WaysGraph, mode: Mode, snapped: Snapped) -> csr_matrix[np.float64]:
    network, junctions = graph.networks[mode], len(graph.junctions_m)
    tails, heads, minutes = _joints(graph, mode, snapped)
    base = np.repeat(np.arange(junctions), np.diff(network.row_starts))
    size = junctions + len(snapped.piece)
    all_minutes = np.concatenate([network.minutes, np.maximum(minutes, SHORTEST_MIN)])
    places = np.concatenate([base, tails]), np.concatenate([network.neighbours, heads])
    return csr_matrix((all_minutes, places), shape=(size, size))


def _joints(graph: WaysGraph, mode: Mode, snapped: Snapped) -> tuple[Ints, Ints, Floats]:
    """Join each place to both ends of its piece, and to the other places on the same piece.

    A place at an end is at the junction itself, whichever way its piece may be used.
    """
    network, junctions = graph.networks[mode], len(graph.junctions_m)
    touching = np.flatnonzero(snapped.piece != NO_PIECE)
    piece, share, own = snapped.piece[touching], snapped.share[touching], junctions + touching
    forward, backward = network.forward_min[piece], network.backward_min[piece]
    first, last = graph.first[piece], graph.last[piece]
    tails = [own, own, first, last]
    heads = [last, first, own, own]
    minutes = [
        _part(forward, 1.0 - share),
        _part(backward, share),
        _part(forward, share),
        _part(backward, 1.0 - share),
    ]
    for end, away_m in ((first, share), (last, 1.0 - share)):
        there = away_m * graph.length_m[piece] < AT_JUNCTION_M
        tails += [own[there], end[there]]
        heads += [end[there], own[there]]
        minutes += [np.zeros(there.sum())] * 2
    one, other = np.nonzero((piece[:, None] == piece[None, :]) & ~np.eye(len(piece), dtype=np.bool_))
    ahead = share[other] - share[one]
    tails.append(own[one])
    heads.append(own[other])
    minutes.append(np.where(ahead >= 0.0, _part(forward[one], ahead), _part(backward[one], -ahead)))
    found = np.concatenate(minutes)
    open_ = np.isfinite(found)
    return np.concatenate(tails)[open_], np.concatenate(heads)[open_], found[open_]


def _part(minutes: Floats, share: Floats) -> Floats:
    """Give a share of a time; a closed piece stays closed however little of it is asked for."""
    return np.where(np.isfinite(minutes), np.where(np.isfinite(minutes), minutes, 0.0) * share, np.inf)


def _line(travel_: Travel, start: int, end: int) -> Floats:
    junctions = len(travel_.graph.junctions_m)
    chain, before = [junctions + end], travel_.search.before[start]
    while chain[-1] != junctions + start and (previous := int(before[chain[-1]])) != NOT_REACHED:
        chain.append(previous)
    nodes = np.array(chain[::-1])
    at = np.concatenate([travel_.graph.junctions_m, travel_.snapped.at_m])[nodes]
    places = travel_.snapped.places_m
    line = np.concatenate([places[start][None], at, places[end][None]])
    moved = np.ones(len(line), np.bool_)
    moved[1:-1] = np.any(line[1:-1] != line[:-2], axis=1)
    return line[moved]


def _across_country(travel_: Travel, start: int, end: int) -> Leg:
    ends = travel_.snapped.places_m[[start, end]]
    metres, minutes = float(np.hypot(*(ends[1] - ends[0]))), float(travel_.minutes[start, end])
    lonlat = tuple((float(x), float(y)) for x, y in travel_.graph.metres.to_degrees(ends))
    return Leg(minutes, metres, (LegPart("foot", minutes, metres, lonlat),))


def _as_the_crow_flies(travel_: Travel, start: int, end: int) -> Leg:
    ends = travel_.snapped.places_m[[start, end]]
    metres = float(np.hypot(*(ends[1] - ends[0]))) * pace.value(f"detour_{travel_.mode}")
    lonlat = tuple((float(x), float(y)) for x, y in travel_.graph.metres.to_degrees(ends))
    minutes = float(travel_.minutes[start, end])
    return Leg(minutes, metres, (LegPart(travel_.mode, minutes, metres, lonlat, unmapped=True),))
