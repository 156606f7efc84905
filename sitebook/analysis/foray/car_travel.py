"""Finds the times between places by car: walk back to it, drive, park, and walk on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from sitebook.analysis.foray import pace
from sitebook.analysis.foray.parking import Parking, park
from sitebook.analysis.foray.ways_graph import WaysGraph
from sitebook.analysis.foray.ways_travel import Travel, travel
from sitebook.records.results.route import Leg, LegPart

Floats = NDArray[np.float64]
LonLat = tuple[float, float]

SAME_MIN = 1e-6
"""Two sums of the same times may differ by this [min]."""


@dataclass(frozen=True, eq=False)
class CarTravel:
    """Travel between a start, some stops and an end, by car with walks to it and from it.

    Parameters
    ----------
    minutes
        From each place to each (n, n) [min], in the order start, stops, end.
    parking
        Where the car stands at each place.
    walks_min
        Walk from the car to each place, and back to it (n, 2) [min].
    walking
        Travel on foot between the places, then their parking places.
    driving
        Travel by car between the parking places.
    """

    minutes: Floats
    parking: tuple[Parking, ...]
    walks_min: Floats
    walking: Travel
    driving: Travel

    def leg(self, start: int, end: int) -> Leg:
        """Give the way from one place to another, walks and drive in order."""
        if self.parking[start].at_m == self.parking[end].at_m:
            return self.walking.leg(start, end)
        walks = _walk(self, start, outward=False), _walk(self, end, outward=True)
        parts = (*walks[0], *self.driving.leg(start, end).parts, *walks[1])
        metres = sum(part.metres for part in parts)
        return Leg(float(self.minutes[start, end]), metres, parts)


def travel_by_car(
    graph: WaysGraph,
    start: LonLat,
    stops: Sequence[LonLat],
    end: LonLat,
    *,
    car_at: LonLat | None = None,
) -> CarTravel:
    """Find the times between a start, stops and an end by car.

    Places that share a parking place are walked between; else one walks back, drives, and walks on.

    Parameters
    ----------
    graph
        The ways.
    start, end
        Where the day starts and ends, WGS 84 [deg].
    stops
        The stops, WGS 84 [deg].
    car_at
        Where the car stands at the start, WGS 84 [deg]; None: at the start itself. The car comes to the end.
    """
    lonlat = np.array([start, *stops, end], dtype=np.float64)
    places_m = graph.metres.to_metres(lonlat)
    parking = (
        _beside(graph, car_at or start, places_m[0]),
        *(park(graph, lonlat[1:-1]) if stops else ()),
        _beside(graph, end, places_m[-1]),
    )
    spots = graph.metres.to_degrees(np.array([spot.at_m for spot in parking]))
    walking = travel(graph, "foot", np.concatenate([lonlat, spots]))
    driving = travel(graph, "car", spots)
    walks_min = _walks(parking, walking)
    parking = tuple(
        replace(spot, walk_min=float(walk)) for spot, walk in zip(parking, walks_min[:, 0], strict=True)
    )
    return CarTravel(_minutes(parking, walks_min, walking, driving), parking, walks_min, walking, driving)


def _walks(parking: Sequence[Parking], walking: Travel) -> Floats:
    """Give the walks to each place from its car and back (n, 2) [min].

    They go along the ways, and straight only from the roadside, from where the car is said to stand, or
    where nothing is mapped.
    """
    count = len(parking)
    on_ways = np.diagonal(walking.minutes[count:, :count]), np.diagonal(walking.minutes[:count, count:])
    straight = np.full(count, np.inf)
    for place, spot in enumerate(parking):
        if place in (0, count - 1) or spot.how in ("roadside", "not mapped"):
            straight[place] = spot.walk_min
    return np.asarray(np.minimum(np.column_stack(on_ways), straight[:, None]))


def _beside(graph: WaysGraph, car: LonLat, place_m: Floats) -> Parking:
    x, y = graph.metres.to_metres([car])[0]
    walk_m = float(np.hypot(x - place_m[0], y - place_m[1]))
    return Parking((float(x), float(y)), float(pace.unmapped_minutes(walk_m, "foot")), "road")


def _minutes(parking: Sequence[Parking], walks_min: Floats, walking: Travel, driving: Travel) -> Floats:
    count = len(parking)
    x, y = np.array([spot.at_m for spot in parking]).T
    same = (x[:, None] == x[None, :]) & (y[:, None] == y[None, :])
    by_car = walks_min[:, 1, None] + driving.minutes + walks_min[None, :, 0] + pace.value("park_change")
    minutes = np.where(same, walking.minutes[:count, :count], by_car)
    np.fill_diagonal(minutes, 0.0)
    return minutes


def _walk(found: CarTravel, place: int, *, outward: bool) -> tuple[LegPart, ...]:
    """Give the walk between a place and its car; nothing where the car stands at the place."""
    count, minutes = len(found.parking), float(found.walks_min[place, 0 if outward else 1])
    if minutes == 0.0:
        return ()
    spot = count + place
    on_ways = found.walking.leg(*((spot, place) if outward else (place, spot)))
    if on_ways.minutes <= minutes + SAME_MIN:
        return on_ways.parts
    ends_m = found.walking.snapped.places_m[[spot, place] if outward else [place, spot]]
    lonlat = tuple((float(x), float(y)) for x, y in found.walking.graph.metres.to_degrees(ends_m))
    metres = float(np.hypot(*(ends_m[1] - ends_m[0])))
    unmapped = found.parking[place].how != "roadside"
    return (LegPart("foot", minutes, metres, lonlat, unmapped=unmapped),)
