"""Settles how many vehicles a day each mapped road is taken to carry, and who says so."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from sitebook.analysis.contamination import parameters
from sitebook.citations import Mark
from sitebook.ground.distance import to_lines
from sitebook.ground.projection import LocalMetres
from sitebook.records.map_data import TrafficCount, Way
from sitebook.records.results.contamination import Band

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Road:
    """One mapped way with the traffic taken for it.

    Parameters
    ----------
    name
        Its name, or its class in words where it has none.
    road_class
        Value of its highway tag.
    line_m
        Its centre line (k, 2) [m].
    traffic
        Vehicles a day, both directions, with the ends of the range.
    source
        Where the number comes from.
    mark
        How well that is known.
    """

    name: str
    road_class: str
    line_m: Floats
    traffic: Band
    source: str
    mark: Mark


@dataclass(frozen=True)
class Network:
    """The roads that count, and what was left aside.

    Parameters
    ----------
    roads
        Roads with motor traffic, above ground.
    tunnels
        Roads with motor traffic that run underground; they do not count.
    strange
        Ways whose class the table of traffic does not know.
    unused_counts
        Counts that lie by no motor road.
    """

    roads: tuple[Road, ...]
    tunnels: tuple[Road, ...]
    strange: tuple[Way, ...]
    unused_counts: tuple[TrafficCount, ...]


@dataclass(frozen=True)
class _Heard:
    """A count with how it speaks for one way: on the spot or from farther along the same road."""

    count: TrafficCount
    on_the_spot: bool
    distance_m: float

    @property
    def rank(self) -> tuple[bool, datetime.date, float]:
        """Order of trust: on the spot first, then newest, then nearest."""
        return self.on_the_spot, self.count.counted_on or datetime.date.min, -self.distance_m


def network(
    ways: Sequence[Way], counts: Sequence[TrafficCount], frame: LocalMetres, *, today: datetime.date
) -> Network:
    """Settle the traffic of every way that carries motors.

    A count belongs to the nearest motor road within `count_match` of the road model, or else to the
    nearest way of a class that has motors only when counted, such as a track. It stands in the place of
    the class number there, and on pieces of the same name and class within `count_speaks`. A count of
    one direction is doubled, save on a one-way road.

    Parameters
    ----------
    ways
        Mapped ways; those no longer there today are left aside.
    counts
        Counts of hers.
    frame
        Metres round the place.
    today
        Day of the review.
    """
    there = [way for way in ways if way.valid_to is None or way.valid_to > today]
    known = [way for way in there if way.road_class in parameters.road_classes()]
    lines = frame.lines_to_metres([way.geom for way in known])
    heard, unused = _heard(known, lines, [c for c in counts if c.withdrawn_at is None], frame)
    pairs = list(zip(known, lines, heard, strict=True))
    return Network(
        roads=tuple(_roads(pairs, tunnel=False)),
        tunnels=tuple(_roads(pairs, tunnel=True)),
        strange=tuple(way for way in there if way.road_class not in parameters.road_classes()),
        unused_counts=tuple(unused),
    )


def carries_motors(way: Way) -> bool:
    """Say whether a way carries motor traffic without anybody having counted it."""
    found = parameters.road_classes().get(way.road_class)
    return found is not None and found.motors == "yes" and way.motor_access != "no"


def _heard(
    ways: Sequence[Way], lines: Sequence[Floats], counts: Sequence[TrafficCount], frame: LocalMetres
) -> tuple[list[_Heard | None], list[TrafficCount]]:
    """Give for each way the count that speaks for it, and the counts that speak for none."""
    best: list[_Heard | None] = [None] * len(ways)
    unused: list[TrafficCount] = []
    places = [frame.to_metres(shapely.get_coordinates(count.geom))[0] for count in counts]
    for count, distances in zip(counts, to_lines(places, lines), strict=True):
        spot = _matched(ways, distances)
        if spot is None:
            unused.append(count)
            continue
        for number in _same_road(ways, spot, distances):
            candidate = _Heard(count, number == spot, float(distances[number]))
            standing = best[number]
            if standing is None or candidate.rank > standing.rank:
                best[number] = candidate
    return best, unused


def _matched(ways: Sequence[Way], distances: Floats) -> int | None:
    """Give the way a count was made on, None where none is near enough."""
    near = [int(n) for n in np.argsort(distances, kind="stable")]
    near = [n for n in near if distances[n] <= parameters.value("count_match") and not ways[n].tunnel]
    motor = [n for n in near if carries_motors(ways[n])]
    if motor:
        return motor[0]
    table = parameters.road_classes()
    return next((n for n in near if table[ways[n].road_class].motors != "no"), None)


def _same_road(ways: Sequence[Way], spot: int, distances: Floats) -> Iterator[int]:
    yield spot
    if ways[spot].name is None:
        return
    wanted = (ways[spot].name, ways[spot].road_class, ways[spot].oneway)
    for number, way in enumerate(ways):
        near = distances[number] <= parameters.value("count_speaks")
        if near and number != spot and (way.name, way.road_class, way.oneway) == wanted:
            yield number


def _roads(pairs: Sequence[tuple[Way, Floats, _Heard | None]], *, tunnel: bool) -> Iterator[Road]:
    for way, line, heard in pairs:
        if way.tunnel != tunnel:
            continue
        if heard is not None:
            yield _counted(way, line, heard)
        elif carries_motors(way):
            yield _by_class(way, line)


def _by_class(way: Way, line: Floats) -> Road:
    found = parameters.road_classes()[way.road_class]
    cited = found.vehicles_per_day
    source = f"number for the class {found.said}: {cited.said}"
    band = _band(cited.value, parameters.value("traffic_band"))
    return Road(_name(way), way.road_class, line, band, source, cited.mark)


def _counted(way: Way, line: Floats, heard: _Heard) -> Road:
    count = heard.count
    doubled = count.counts_directions == "one" and not way.oneway
    vehicles = count.vehicles_per_day * (2.0 if doubled else 1.0)
    day = f" on {count.counted_on.isoformat()}" if count.counted_on else ", day not noted"
    along = "" if heard.on_the_spot else f", {heard.distance_m:.0f} m along the same road"
    one = ", one direction doubled" if doubled else ""
    source = f"count by {count.source}{day}{along}{one}"
    band = _band(vehicles, parameters.value("count_band"))
    return Road(_name(way), way.road_class, line, band, source, "computed")


def _band(vehicles: float, factor: float) -> Band:
    return Band(vehicles, vehicles / factor, vehicles * factor)


def _name(way: Way) -> str:
    return way.name or f"{parameters.road_classes()[way.road_class].said} without a name"
