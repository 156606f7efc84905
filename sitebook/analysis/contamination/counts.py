"""Settles for which stretches of road a count of vehicles speaks, and how far along them."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from itertools import combinations, pairwise

import numpy as np
import shapely
from numpy.typing import NDArray

from sitebook.analysis.contamination import parameters
from sitebook.analysis.contamination.stretches import Stretch
from sitebook.ground.distance import foot_on, to_lines
from sitebook.ground.projection import LocalMetres
from sitebook.records.map_data import TrafficCount

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Spot:
    """A count and where it speaks.

    Parameters
    ----------
    count
        The count that stands there.
    at_m
        Its place on the centre line (2,) [m].
    stretch
        Number of the stretch it was made on.
    heard
        Numbers of the stretches it speaks for.
    only
        Whether it is the only count of its road within `count_speaks` of the road model.
    passed_over
        Counts on the same spot that it stands before, the newest first.
    """

    count: TrafficCount
    at_m: Floats
    stretch: int
    heard: frozenset[int]
    only: bool
    passed_over: tuple[TrafficCount, ...] = ()


@dataclass(frozen=True, eq=False)
class _Matched:
    count: TrafficCount
    stretch: int
    at_m: Floats


def spots_of(
    counts: Sequence[TrafficCount],
    stretches: Sequence[Stretch],
    partners: dict[int, set[int]],
    frame: LocalMetres,
) -> tuple[tuple[Spot, ...], tuple[TrafficCount, ...]]:
    """Match counts to stretches, and give those that match none.

    A count belongs to the nearest open stretch with motors within `count_match` of the road model, or
    else to the nearest of a class that has motors only when counted. It speaks for the stretches of the
    same name and class; on a road without a name for its own stretch and the twin of that. Of counts on
    one stretch no farther apart than `count_match` the newest stands.
    """
    matched, unused = _matched(counts, stretches, frame)
    spots = []
    for one, *older in _by_spot(matched):
        heard = frozenset(_heard(one.stretch, stretches, partners))
        others = [m for m in matched if m.count is not one.count and m.stretch in heard]
        limit = parameters.value("count_speaks")
        only = all(float(np.hypot(*(m.at_m - one.at_m))) > limit for m in others)
        passed_over = tuple(m.count for m in older)
        spots.append(Spot(one.count, one.at_m, one.stretch, heard, only, passed_over))
    return tuple(spots), tuple(unused)


def breaks(stretch: Stretch, spots: Sequence[Spot]) -> Iterator[float]:
    """Yield where along a stretch the count that speaks may change [m]."""
    for number, (start, end) in enumerate(pairwise(stretch.line_m)):
        length = float(np.hypot(*(end - start)))
        ahead = (end - start) / length
        for t in _changes(start, ahead, spots):
            if 0.0 < t < length:
                yield float(stretch.along_m[number]) + t


def speaking(point_m: Floats, stretch: int, spots: Sequence[Spot]) -> Spot | None:
    """Give the count that speaks for a point: the nearest in reach on its own stretch, or else on another."""
    away = [(float(np.hypot(*(point_m - spot.at_m))), spot) for spot in spots]
    near = [(d, spot) for d, spot in away if d <= parameters.value("count_speaks")]
    return min(near, key=lambda one: (one[1].stretch != stretch, one[0]), default=(0.0, None))[1]


def _changes(start: Floats, ahead: Floats, spots: Sequence[Spot]) -> Iterator[float]:
    reach = parameters.value("count_speaks")
    for spot in spots:
        away = start - spot.at_m
        middle = -float(away @ ahead)
        left = reach * reach - float(away @ away) + middle * middle
        if left > 0.0:
            yield from (middle - np.sqrt(left), middle + np.sqrt(left))
    for one, other in combinations(spots, 2):
        apart = other.at_m - one.at_m
        slope = float(apart @ ahead)
        if slope != 0.0:
            yield float((0.5 * (one.at_m + other.at_m) - start) @ apart) / slope


def _matched(
    counts: Sequence[TrafficCount], stretches: Sequence[Stretch], frame: LocalMetres
) -> tuple[list[_Matched], list[TrafficCount]]:
    matched, unused = [], []
    places = [frame.to_metres(shapely.get_coordinates(count.geom))[0] for count in counts]
    for count, place, distances in zip(
        counts, places, to_lines(places, [s.line_m for s in stretches]), strict=True
    ):
        number = _nearest(stretches, distances)
        if number is None:
            unused.append(count)
            continue
        foot = foot_on((float(place[0]), float(place[1])), shapely.LineString(stretches[number].line_m))
        matched.append(_Matched(count, number, np.array(foot.at_m)))
    return matched, unused


def _nearest(stretches: Sequence[Stretch], distances: Floats) -> int | None:
    """Give the stretch a count was made on, None where none is near enough."""
    near = [int(n) for n in np.argsort(distances, kind="stable")]
    limit = parameters.value("count_match")
    near = [n for n in near if distances[n] <= limit and not stretches[n].like.tunnel]
    motor = [n for n in near if stretches[n].like.motors]
    if motor:
        return motor[0]
    table = parameters.road_classes()
    return next((n for n in near if table[stretches[n].like.road_class].motors != "no"), None)


def _by_spot(matched: Sequence[_Matched]) -> Iterator[list[_Matched]]:
    """Yield each group of counts on one spot, the newest first, in an order of their own."""
    left = sorted(matched, key=_trust, reverse=True)
    limit = parameters.value("count_match")
    while left:
        group, waiting = [], [left[0]]
        left = left[1:]
        while waiting:
            one = waiting.pop()
            group.append(one)
            near = [
                m for m in left if m.stretch == one.stretch and float(np.hypot(*(m.at_m - one.at_m))) <= limit
            ]
            waiting += near
            left = [m for m in left if all(m is not taken for taken in near)]
        yield sorted(group, key=_trust, reverse=True)


def _trust(matched: _Matched) -> tuple[datetime.date, datetime.datetime, float, str]:
    count = matched.count
    return count.counted_on or datetime.date.min, count.created_at, count.vehicles_per_day, count.uuid


def _heard(spot: int, stretches: Sequence[Stretch], partners: dict[int, set[int]]) -> AbstractSet[int]:
    wanted = stretches[spot].like
    if not wanted.name:
        return {spot} | partners.get(spot, set())
    key = (wanted.name, wanted.road_class, wanted.oneway)
    return {n for n, s in enumerate(stretches) if (s.like.name, s.like.road_class, s.like.oneway) == key}
