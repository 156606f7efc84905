"""Chooses where to leave the car for each place, from which it is walked to."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from sitebook.analysis.foray import pace
from sitebook.analysis.foray.ways_graph import WaysGraph
from sitebook.analysis.foray.ways_snap import Snapped, snap, snap_to_parking
from sitebook.analysis.foray.ways_travel import search_from

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]
How = Literal["path starts", "roadside", "road", "not mapped"]


@dataclass(frozen=True)
class Parking:
    """Where a car is left for one place.

    Parameters
    ----------
    at_m
        The spot (x, y) on the graph's sheet [m].
    walk_min
        Walk from it to the place [min]; 0 where nothing is mapped and the car is taken to the place.
    how
        "path starts": where a path leaves a public road; "roadside": beside one near the place; "road":
        along one, no path starting near it; "not mapped": none is in reach.
    junction
        Junction of the graph it is at; -1 where it is at none.
    """

    at_m: tuple[float, float]
    walk_min: float
    how: How
    junction: int = -1


@dataclass(frozen=True, eq=False)
class _Offers:
    walk_min: Floats
    starts: Ints
    roads: Ints
    roadside: Snapped


def park(graph: WaysGraph, lonlat: ArrayLike) -> tuple[Parking, ...]:
    """Choose a parking place for each of some places.

    The rules are our choice. A car may be left beside a public road that is no large one, bridge or tunnel.
    Of the spots where a path starts from such a road, and the roadside itself where the place lies close to
    it, the one with the shortest walk is taken, unless the nearest such road saves more than a few minutes.
    A spot chosen for an earlier place is used again when that costs a few minutes only, so that near places
    share one.

    Parameters
    ----------
    graph
        The ways.
    lonlat
        Places (n, 2), WGS 84 [deg].
    """
    on_foot = snap(graph, "foot", lonlat)
    search = search_from(graph, "foot", on_foot, pace.value("park_walk"))
    walk_min = search.minutes[:, : len(graph.junctions_m)]
    walk_min = walk_min + pace.off_way_minutes(on_foot.distance_m)[:, None]
    walk_min = np.where(walk_min <= pace.value("park_walk"), walk_min, np.inf)
    starts, roads = _junctions_to_park(graph)
    offers = _Offers(walk_min, starts, roads, snap_to_parking(graph, lonlat))
    chosen: list[Parking] = []
    for place in range(len(on_foot.piece)):
        best = _nearest(graph, offers, place)
        chosen.append(_again(chosen, best, offers, place))
    return tuple(chosen)


def _junctions_to_park(graph: WaysGraph) -> tuple[Ints, Ints]:
    """Give the junctions where a path starts from a road to park at, and all junctions of such roads."""
    car, foot = graph.networks["car"], graph.networks["foot"]
    drivable = np.isfinite(car.forward_min) | np.isfinite(car.backward_min)
    beside = _touched(graph, graph.parking & car.large)
    path = _touched(graph, foot.large & ~drivable)
    return np.flatnonzero(beside & path), np.flatnonzero(beside)


def _touched(graph: WaysGraph, pieces: Flags) -> Flags:
    found = np.zeros(len(graph.junctions_m), np.bool_)
    found[graph.first[pieces]] = True
    found[graph.last[pieces]] = True
    return found


def _nearest(graph: WaysGraph, offers: _Offers, place: int) -> Parking:
    road = _best_of(graph, offers, place, offers.roads, "road")
    options = [_best_of(graph, offers, place, offers.starts, "path starts"), _roadside(offers, place)]
    best = min((o for o in options if o is not None), key=lambda option: option.walk_min, default=road)
    if best is None:
        x, y = offers.roadside.places_m[place]
        return Parking((float(x), float(y)), 0.0, "not mapped")
    if road is not None and road.walk_min + pace.value("park_again") < best.walk_min:
        return road
    return best


def _best_of(graph: WaysGraph, offers: _Offers, place: int, junctions: Ints, how: How) -> Parking | None:
    if junctions.size == 0:
        return None
    walks = offers.walk_min[place, junctions]
    best = int(np.argmin(walks))
    if not np.isfinite(walks[best]):
        return None
    x, y = graph.junctions_m[junctions[best]]
    return Parking((float(x), float(y)), float(walks[best]), how, int(junctions[best]))


def _roadside(offers: _Offers, place: int) -> Parking | None:
    spot = offers.roadside
    if spot.piece[place] < 0 or spot.distance_m[place] > pace.value("roadside"):
        return None
    x, y = spot.at_m[place]
    return Parking((float(x), float(y)), float(pace.off_way_minutes(spot.distance_m[place])), "roadside")


def _again(chosen: list[Parking], best: Parking, offers: _Offers, place: int) -> Parking:
    """Take a spot in use instead of the best one when it costs little more."""
    if best.how == "not mapped":
        return best
    in_use = [spot for spot in chosen if spot.how != "not mapped"]
    if not in_use:
        return best
    walks = [_walk_to(spot, offers, place) for spot in in_use]
    nearest = int(np.argmin(walks))
    if walks[nearest] > best.walk_min + pace.value("park_again"):
        return best
    return replace(in_use[nearest], walk_min=walks[nearest])


def _walk_to(spot: Parking, offers: _Offers, place: int) -> float:
    if spot.junction >= 0:
        return float(offers.walk_min[place, spot.junction])
    x, y = offers.roadside.places_m[place]
    straight_m = float(np.hypot(x - spot.at_m[0], y - spot.at_m[1]))
    near = straight_m <= pace.value("roadside")
    return float(pace.off_way_minutes(straight_m)) if near else np.inf
