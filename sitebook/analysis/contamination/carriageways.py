"""Finds where a one-way road is one carriageway of two, so that their traffic is not counted twice."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from sitebook.analysis.contamination import parameters
from sitebook.analysis.contamination.stretches import Span, Stretch, joined

Floats = NDArray[np.float64]
Indices = NDArray[np.int64]


@dataclass(frozen=True)
class Twins:
    """Where stretches run beside their twins.

    Parameters
    ----------
    spans
        For each stretch, the spans that have a twin.
    partners
        For each stretch with a twin, the numbers of the stretches that are it.
    """

    spans: tuple[list[Span], ...]
    partners: dict[int, set[int]]


@dataclass(frozen=True)
class _Pieces:
    """Straight pieces of one-way roads: where they begin, their direction, length and owner."""

    start: Floats
    ahead: Floats
    length: Floats
    stretch: Indices
    from_m: Floats
    road: Indices


def twins_of(stretches: Sequence[Stretch]) -> Twins:
    """Find where one-way stretches have a twin.

    A point of a one-way road has a twin where another one-way road of the same name and class, or both
    of one class and without a name, runs the opposite way within `twin_within` of the road model. Slip
    roads, roundabouts and closed lines have none. Each point is asked by itself, so that it does not
    matter where a way begins or ends.
    """
    found: list[list[Span]] = [[] for _ in stretches]
    partners: defaultdict[int, set[int]] = defaultdict(set)
    pieces = _pieces(stretches)
    if pieces is not None:
        one, other = _against_each_other(pieces)
        begin, end = _beside(pieces, one, other, parameters.value("twin_within"))
        for a, b, low, high in zip(one, other, begin, end, strict=True):
            if high > low:
                offset = float(pieces.from_m[a])
                found[pieces.stretch[a]].append((offset + float(low), offset + float(high)))
                partners[int(pieces.stretch[a])].add(int(pieces.stretch[b]))
    return Twins(tuple(joined(spans) for spans in found), dict(partners))


def _pieces(stretches: Sequence[Stretch]) -> _Pieces | None:
    numbers = [
        n for n, s in enumerate(stretches) if s.like.oneway and s.like.motors and not (s.like.link or s.turns)
    ]
    if not numbers:
        return None
    roads: dict[tuple[str, str], int] = {}
    lines = [stretches[n].line_m for n in numbers]
    steps = [np.diff(line, axis=0) for line in lines]
    of_road = [
        roads.setdefault((stretches[n].like.name, stretches[n].like.road_class), len(roads)) for n in numbers
    ]
    counts = [len(step) for step in steps]
    every = np.concatenate(steps)
    length = np.hypot(every[:, 0], every[:, 1])
    return _Pieces(
        start=np.concatenate([line[:-1] for line in lines]),
        ahead=every / length[:, None],
        length=length,
        stretch=np.repeat(np.array(numbers, dtype=np.int64), counts),
        from_m=np.concatenate([stretches[n].along_m[:-1] for n in numbers]),
        road=np.repeat(np.array(of_road, dtype=np.int64), counts),
    )


def _against_each_other(pieces: _Pieces) -> tuple[Indices, Indices]:
    """Pair pieces of one road that lie near each other and run opposite ways."""
    ends = np.stack([pieces.start, pieces.start + pieces.length[:, None] * pieces.ahead], axis=1)
    drawn = np.asarray(shapely.linestrings(ends))
    within = parameters.value("twin_within")
    one, other = shapely.STRtree(drawn).query(drawn, predicate="dwithin", distance=within)
    cosine = (pieces.ahead[one] * pieces.ahead[other]).sum(axis=1)
    limit = -np.cos(np.radians(parameters.value("twin_angle")))
    fits = (pieces.road[one] == pieces.road[other]) & (cosine <= limit)
    return one[fits], other[fits]


def _beside(pieces: _Pieces, one: Indices, other: Indices, within: float) -> tuple[Floats, Floats]:
    """Give from where to where on the first piece the second is no farther than so much.

    The ground within a distance of a straight piece is convex, so this is one span: the hull of the spans
    in the rectangle along the second piece and in the discs round its ends.
    """
    away = pieces.start[one] - pieces.start[other]
    ahead, across = pieces.ahead[one], pieces.ahead[other]
    cosine = (ahead * across).sum(axis=1)
    sine = ahead[:, 1] * across[:, 0] - ahead[:, 0] * across[:, 1]
    along = (away * across).sum(axis=1)
    beside = away[:, 1] * across[:, 0] - away[:, 0] * across[:, 1]
    length = pieces.length[other]
    spans = [
        _both(_between(along, cosine, 0.0 * length, length), _between(beside, sine, -within, within)),
        _in_disc(away, ahead, within),
        _in_disc(away - length[:, None] * across, ahead, within),
    ]
    real = [np.where(low <= high, 1.0, np.nan) for low, high in spans]
    begin = np.fmin.reduce([low * is_real for (low, _), is_real in zip(spans, real, strict=True)])
    end = np.fmax.reduce([high * is_real for (_, high), is_real in zip(spans, real, strict=True)])
    begin, end = np.maximum(begin, 0.0), np.minimum(end, pieces.length[one])
    return np.nan_to_num(begin, nan=0.0), np.nan_to_num(end, nan=0.0)


def _between(
    value: Floats, slope: Floats, least: Floats | float, most: Floats | float
) -> tuple[Floats, Floats]:
    """Solve least <= value + slope t <= most for t."""
    steep = np.where(np.abs(slope) < 1e-12, 1e-12, slope)
    one, other = (least - value) / steep, (most - value) / steep
    return np.minimum(one, other), np.maximum(one, other)


def _both(one: tuple[Floats, Floats], other: tuple[Floats, Floats]) -> tuple[Floats, Floats]:
    return np.maximum(one[0], other[0]), np.minimum(one[1], other[1])


def _in_disc(away: Floats, ahead: Floats, radius: float) -> tuple[Floats, Floats]:
    """Give from where to where a line lies in a disc; the ends are swapped where it misses it."""
    middle = -(away * ahead).sum(axis=1)
    left = radius * radius - (away * away).sum(axis=1) + middle * middle
    half = np.sqrt(np.maximum(left, 0.0))
    return np.where(left >= 0.0, middle - half, 1.0), np.where(left >= 0.0, middle + half, 0.0)
