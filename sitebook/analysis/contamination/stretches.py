"""Joins mapped ways into stretches of road that do not depend on how the ways were cut or ordered.

A map cuts one road into many ways, for a change of surface or a bus line. Ways that agree in all that
counts here are put together and cut anew wherever three or more of them meet, so that a stretch is the
same however it was mapped.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray

from sitebook.analysis.contamination import parameters
from sitebook.ground.projection import LocalMetres
from sitebook.records.map_data import Way

Floats = NDArray[np.float64]
Edge = tuple[int, int]
Span = tuple[float, float]
"""From here to there along a stretch [m]."""

TURN = 3_600_000_000
"""A whole turn in steps of 1e-7 degrees, to which maps give their positions."""

SHORTEST_M = 1e-6
"""Spans shorter than this are not told apart [m]."""


class Likeness(NamedTuple):
    """What ways of one stretch agree in."""

    name: str
    road_class: str
    oneway: bool
    tunnel: bool
    link: bool
    motors: bool
    circular: bool
    half_width_m: float


@dataclass(frozen=True)
class Stretch:
    """A stretch of road between places where its like meet.

    Parameters
    ----------
    like
        What its ways agree in; `motors` says whether it carries some without a count.
    line_m
        Centre line (k, 2), in the direction of traffic on a one-way road [m].
    corners
        Number of each corner; the same position has the same number on every stretch.
    along_m
        How far each corner lies along the line (k,) [m].
    """

    like: Likeness
    line_m: Floats
    corners: tuple[int, ...]
    along_m: Floats

    @property
    def length_m(self) -> float:
        """Its length [m]."""
        return float(self.along_m[-1])

    @property
    def turns(self) -> bool:
        """Whether it is a roundabout or another closed one-way line."""
        return self.like.circular or self.corners[0] == self.corners[-1]


def carries_motors(way: Way) -> bool:
    """Say whether a way carries motor traffic without anybody having counted it."""
    found = parameters.road_classes().get(way.road_class)
    return found is not None and found.motors == "yes" and way.motor_access != "no"


def half_width_m(way: Way) -> float:
    """Give half the width of a road: as mapped, else by its lanes, else by its class [m]."""
    lanes = way.lanes * parameters.value("lane_width") if way.lanes else None
    for width in (way.width_m, lanes):
        if width is not None and 0.0 < width <= parameters.value("widest_road"):
            return width / 2.0
    return parameters.road_classes()[way.road_class].width_m.value / 2.0


def stretches_of(ways: Sequence[Way], frame: LocalMetres) -> tuple[Stretch, ...]:
    """Join ways, all of classes that the table of traffic knows, into stretches in an order of their own.

    A piece that is given twice with the same likeness, as by two windows that touch, counts once.
    """
    if not ways:
        return ()
    lonlat, owner = shapely.get_coordinates([way.geom for way in ways], return_index=True)
    steps = np.rint(lonlat * 1e7).astype(np.int64)
    steps[:, 0] = (steps[:, 0] + TURN // 2) % TURN
    _, first, numbers = np.unique(steps, axis=0, return_index=True, return_inverse=True)
    places_m = frame.to_metres(lonlat[first])
    alike: defaultdict[Likeness, dict[Edge, Edge]] = defaultdict(dict)
    ends = np.cumsum(np.bincount(owner, minlength=len(ways)))[:-1]
    for way, corners in zip(ways, np.split(numbers.reshape(-1), ends), strict=True):
        steps_taken = zip(corners[:-1].tolist(), corners[1:].tolist(), strict=True)
        like = _likeness(way)
        for a, b in steps_taken:
            if a != b:
                alike[like][(a, b) if like.oneway else (min(a, b), max(a, b))] = (a, b)
    return tuple(
        _stretch(like, chain, places_m)
        for like in sorted(alike)
        for chain in sorted(_chains(list(alike[like].values()), directed=like.oneway))
    )


def joined(spans: Sequence[Span]) -> list[Span]:
    """Put spans together that touch or overlap, in order."""
    found: list[Span] = []
    for begin, end in sorted(spans):
        if found and begin <= found[-1][1] + SHORTEST_M:
            found[-1] = (found[-1][0], max(end, found[-1][1]))
        else:
            found.append((begin, end))
    return found


def holds(spans: Sequence[Span], at_m: float) -> bool:
    """Say whether one of some spans holds a point of the stretch."""
    return any(begin <= at_m <= end for begin, end in spans)


def cut(stretch: Stretch, span: Span) -> Floats:
    """Give the line of a span (k, 2) [m]."""
    begin, end = span
    inner = (stretch.along_m > begin + SHORTEST_M) & (stretch.along_m < end - SHORTEST_M)
    return np.vstack([at(stretch, begin), stretch.line_m[inner], at(stretch, end)])


def at(stretch: Stretch, along_m: float) -> Floats:
    """Give the point (2,) that lies so far along a stretch [m]."""
    east, north = (np.interp(along_m, stretch.along_m, axis) for axis in stretch.line_m.T)
    return np.array([float(east), float(north)])


def _likeness(way: Way) -> Likeness:
    tags = (way.raw_tags or "").splitlines()
    circular = any(tag in tags for tag in ("junction=roundabout", "junction=circular"))
    return Likeness(
        name=way.name or "",
        road_class=way.road_class,
        oneway=way.oneway,
        tunnel=way.tunnel,
        link=way.link,
        motors=carries_motors(way),
        circular=circular or (way.oneway and bool(shapely.is_closed(way.geom))),
        half_width_m=half_width_m(way),
    )


def _stretch(like: Likeness, chain: tuple[int, ...], places_m: Floats) -> Stretch:
    line = places_m[list(chain)]
    steps = np.hypot(*np.diff(line, axis=0).T)
    return Stretch(like, line, chain, np.concatenate([[0.0], np.cumsum(steps)]))


def _chains(edges: Sequence[Edge], *, directed: bool) -> Iterator[tuple[int, ...]]:
    """Yield chains of corners from joint to joint, then those that close on themselves."""
    at_corner: defaultdict[int, list[int]] = defaultdict(list)
    for number, edge in enumerate(edges):
        for corner in edge:
            at_corner[corner].append(number)
    left = set(range(len(edges)))
    for closed in (False, True):
        for corner in sorted(at_corner):
            if closed or _is_joint(corner, edges, at_corner, directed=directed):
                yield from _from(corner, edges, at_corner, left, directed=directed)


def _from(
    corner: int, edges: Sequence[Edge], at_corner: dict[int, list[int]], left: set[int], *, directed: bool
) -> Iterator[tuple[int, ...]]:
    for number in sorted(at_corner[corner], key=lambda n: _beyond(edges[n], corner)):
        if number not in left or (directed and edges[number][0] != corner):
            continue
        chain = [corner]
        following: int | None = number
        while following is not None:
            left.discard(following)
            chain.append(_beyond(edges[following], chain[-1]))
            following = None
            if not _is_joint(chain[-1], edges, at_corner, directed=directed):
                following = next((n for n in at_corner[chain[-1]] if n in left), None)
        yield tuple(chain)


def _is_joint(corner: int, edges: Sequence[Edge], at_corner: dict[int, list[int]], *, directed: bool) -> bool:
    meeting = at_corner[corner]
    if len(meeting) != 2:
        return True
    return directed and edges[meeting[0]].index(corner) == edges[meeting[1]].index(corner)


def _beyond(edge: Edge, corner: int) -> int:
    return edge[1] if edge[0] == corner else edge[0]
