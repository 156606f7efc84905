"""Cuts a timed track at the outlines of sites and tells the minutes searched in each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray
from shapely.geometry.base import BaseGeometry

from sitebook.analysis.outing.spans import Span, inside_spans, without
from sitebook.citations import Cited

WALKING_LIMIT_KMH = Cited(6.0, "km/h", "ours", "our choice")
"""Slower than this is searching, from here on it is travelling."""

LONGEST_GAP_MIN = Cited(5.0, "min", "ours", "our choice")
"""Two points farther apart in time are a gap: nobody knows what was done between them."""

LONGEST_ABSENCE_MIN = Cited(120.0, "min", "ours", "our choice")
"""Who comes back to a site sooner than this is still on the same visit."""

SECONDS_A_MINUTE = 60.0
MS_A_KMH = 1.0 / 3.6


@dataclass(frozen=True)
class Crossing:
    """One stay within one outline.

    Parameters
    ----------
    outline_index
        Which of the outlines.
    first_s, last_s
        First and last second inside, on the clock of the track [s]; absences in between are not inside.
    search_minutes
        Time inside and slower than the walking limit [min].
    travel_minutes
        Time inside and not slower [min].
    gap_minutes
        Time between two points inside that lie too far apart in time; it is in neither of the others
        [min].
    """

    outline_index: int
    first_s: float
    last_s: float
    search_minutes: float
    travel_minutes: float
    gap_minutes: float


@dataclass(frozen=True)
class _Stretch:
    """Time inside one outline, without a break and of one sort."""

    outline_index: int
    first_s: float
    last_s: float
    sort: str

    @property
    def minutes(self) -> float:
        return (self.last_s - self.first_s) / SECONDS_A_MINUTE


def crossings(
    points_m: ArrayLike,
    seconds: ArrayLike,
    outlines_m: Sequence[BaseGeometry],
    *,
    walking_limit_kmh: Cited = WALKING_LIMIT_KMH,
    longest_gap_min: Cited = LONGEST_GAP_MIN,
    longest_absence_min: Cited = LONGEST_ABSENCE_MIN,
) -> tuple[Crossing, ...]:
    """Tell when a track was inside each outline, and how it moved there.

    Points are joined by straight lines walked at even speed, so an outline is crossed at an instant
    between two points. Where outlines overlap, the smaller one has the time; of two as large, the one
    named first. Between two points farther apart than `longest_gap_min` nothing is known: the gap is
    told apart where both points lie in one outline, and counts for none otherwise. Stays in one outline
    are one crossing unless the absence lasts longer than `longest_absence_min`. Points are taken in the
    order of their time; a point without a time is passed over.

    Parameters
    ----------
    points_m
        Points of the track, shape (n, 2) [m].
    seconds
        Time of each point, shape (n,) [s]; nan where it has none.
    outlines_m
        Polygons in the same metres.
    walking_limit_kmh
        Speed below which she searches [km/h].
    longest_gap_min
        Longest time between two points that belong together [min].
    longest_absence_min
        Longest time away that does not end a visit [min].

    Returns
    -------
    tuple of Crossing
        In the order of their first second. A crossing whose search_minutes are 0 was passed through.

    Raises
    ------
    ValueError
        When points and seconds differ in number.
    """
    points, clock = _timed(points_m, seconds)
    longest_gap_s = longest_gap_min.value * SECONDS_A_MINUTE
    limit_ms = walking_limit_kmh.value * MS_A_KMH
    steps_s = np.diff(clock)
    speeds_ms = np.hypot(*np.diff(points, axis=0).T) / np.where(steps_s > 0, steps_s, 1.0)
    sorts = np.where(steps_s > longest_gap_s, "gap", np.where(speeds_ms < limit_ms, "search", "travel"))
    stretches = [
        _Stretch(index, float(clock[i] + a * steps_s[i]), float(clock[i] + b * steps_s[i]), str(sorts[i]))
        for index, spans in _owned_spans(points, steps_s, sorts, outlines_m).items()
        for i, a, b in spans
    ]
    absence_s = longest_absence_min.value * SECONDS_A_MINUTE
    stays = [stay for index in range(len(outlines_m)) for stay in _stays(index, stretches, absence_s)]
    return tuple(sorted(stays, key=lambda stay: (stay.first_s, stay.outline_index)))


def _timed(points_m: ArrayLike, seconds: ArrayLike) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    points = np.asarray(points_m, dtype=float).reshape(-1, 2)
    clock = np.asarray(seconds, dtype=float).reshape(-1)
    if len(points) != len(clock):
        raise ValueError(f"{len(points)} points have {len(clock)} times")
    known = np.flatnonzero(~np.isnan(clock))
    in_order = known[np.argsort(clock[known], kind="stable")]
    return points[in_order], clock[in_order]


def _owned_spans(
    points: NDArray[np.float64],
    steps_s: NDArray[np.float64],
    sorts: NDArray[np.str_],
    outlines_m: Sequence[BaseGeometry],
) -> dict[int, list[Span]]:
    """Give each outline the parts of steps that lie in it and in no smaller one."""
    by_size = sorted(range(len(outlines_m)), key=lambda index: (outlines_m[index].area, index))
    walked = np.flatnonzero((steps_s > 0) & (sorts != "gap"))
    gaps = np.flatnonzero(sorts == "gap")
    owners = _owners(points, outlines_m, by_size)
    taken: dict[int, list[tuple[float, float]]] = {}
    owned: dict[int, list[Span]] = {}
    for index in by_size:
        spans: list[Span] = []
        for i, a, b in inside_spans(points, walked, outlines_m[index]):
            left = without((a, b), taken.get(i, []))
            taken.setdefault(i, []).extend(left)
            spans.extend(Span(i, *part) for part in left)
        whole = gaps[(owners[gaps] == index) & (owners[gaps + 1] == index)]
        owned[index] = spans + [Span(int(i), 0.0, 1.0) for i in whole]
    return owned


def _owners(
    points: NDArray[np.float64], outlines_m: Sequence[BaseGeometry], by_size: Sequence[int]
) -> NDArray[np.int_]:
    """Give the index of the smallest outline each point lies in, -1 for none."""
    owners = np.full(len(points), -1)
    for index in reversed(by_size):
        owners[shapely.intersects_xy(outlines_m[index], points)] = index
    return owners


def _stays(outline_index: int, stretches: Sequence[_Stretch], longest_absence_s: float) -> list[Crossing]:
    """Join the stretches of one outline into stays."""
    own = sorted((s for s in stretches if s.outline_index == outline_index), key=lambda s: s.first_s)
    groups: list[list[_Stretch]] = []
    for stretch in own:
        if groups and stretch.first_s - groups[-1][-1].last_s <= longest_absence_s:
            groups[-1].append(stretch)
        else:
            groups.append([stretch])
    return [_crossing(outline_index, group) for group in groups]


def _crossing(outline_index: int, group: Sequence[_Stretch]) -> Crossing:
    minutes = {sort: sum(s.minutes for s in group if s.sort == sort) for sort in ("search", "travel", "gap")}
    return Crossing(
        outline_index,
        group[0].first_s,
        group[-1].last_s,
        minutes["search"],
        minutes["travel"],
        minutes["gap"],
    )
