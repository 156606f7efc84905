"""The traffic index: how much of a busy kerb's load reaches a place, added up over all roads in reach."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from sitebook.analysis.contamination import parameters
from sitebook.analysis.contamination.kernel import piece_weight
from sitebook.ground.distance import Pieces, pieces_of, seen_from

Floats = NDArray[np.float64]
Indices = NDArray[np.int64]

BLOCK_PAIRS = 400_000
"""Pairs of place and piece that are worked on at once, which bounds the memory used."""

CELL_M = 400.0
"""Places are taken together by squares of this side, so that far roads are dropped for all at once."""

NEGLIGIBLE = 37.0
"""A scale is left out of a pair where a longer one carries exp(37) times as much, 16 digits' worth."""


@dataclass(frozen=True)
class _Parts:
    """Pieces cut to the length that quick adding up allows, with the piece each came from.

    Parameters
    ----------
    pieces
        The parts.
    before_m
        Length of the whole piece that lies before each part [m].
    whole_m
        Length of the whole piece [m].
    half_width_m
        Half the width of its line [m].
    """

    pieces: Pieces
    before_m: Floats
    whole_m: Floats
    half_width_m: Floats


def traffic_index(
    points_m: ArrayLike,
    lines_m: Sequence[ArrayLike],
    vehicles_per_day: ArrayLike,
    *,
    half_width_m: ArrayLike = 0.0,
) -> Floats:
    """Give the traffic index of places with the central numbers of the road model.

    Parameters
    ----------
    points_m
        Places (n, 2) [m].
    lines_m
        Centre lines of roads, each (k, 2) [m].
    vehicles_per_day
        Traffic of each line, or one number for all [vehicles a day].
    half_width_m
        Half the width of each line, or one number for all [m]. A place nearer than that to the centre
        line counts as at the kerb, and the index of an endless straight road is 1 at its kerb.

    Returns
    -------
    ndarray
        The index (n,) [1]; 1 is the kerb of an endless straight road with 10,000 vehicles a day.

    Raises
    ------
    ValueError
        When traffic or width is below zero or missing, or a coordinate is not finite.

    Notes
    -----
    Each scale j adds share_j exp(w / length_j) I(a, b, max(d, w), length_j), w being half the width and I
    the share of `kernel.segment_weight`. A straight piece counts whole where its nearest point lies
    within the reach. The sum over pieces is exact to 1e-9 of itself.
    """
    points = _points(points_m)
    traffic = _one_a_line(vehicles_per_day, len(lines_m), "traffic")
    load = (traffic / parameters.value("unit_traffic")) ** parameters.value("traffic_power")
    index = np.zeros(len(points))
    for place, line, share in _shares(points, lines_m, half_width_m):
        index += np.bincount(place, share * load[line], minlength=len(points))
    return index


def line_shares(
    points_m: ArrayLike, lines_m: Sequence[ArrayLike], *, half_width_m: ArrayLike = 0.0
) -> Floats:
    """Give what each line would add to the index of each place if it carried 10,000 vehicles a day.

    Parameters
    ----------
    points_m, lines_m, half_width_m
        As in `traffic_index`.

    Returns
    -------
    ndarray
        Shares (n, lines) [1].
    """
    points = _points(points_m)
    shares = np.zeros(len(points) * len(lines_m))
    for place, line, share in _shares(points, lines_m, half_width_m):
        shares += np.bincount(place * len(lines_m) + line, share, minlength=len(shares))
    return shares.reshape(len(points), len(lines_m))


def _points(points_m: ArrayLike) -> Floats:
    points = np.asarray(points_m, dtype=np.float64).reshape(-1, 2)
    if not np.all(np.isfinite(points)):
        raise ValueError("a place is not a finite pair of metres")
    return points


def _one_a_line(given: ArrayLike, lines: int, what: str) -> Floats:
    values = np.broadcast_to(np.asarray(given, dtype=np.float64), (lines,))
    if not np.all(np.isfinite(values) & (values >= 0.0)):
        raise ValueError(f"{what} of a line is a finite number, 0 or more")
    return values


def _shares(
    points: Floats, lines_m: Sequence[ArrayLike], half_width_m: ArrayLike
) -> Iterator[tuple[Indices, Indices, Floats]]:
    """Yield places, lines and what a line of 10,000 vehicles a day adds, block by block."""
    half_width = _one_a_line(half_width_m, len(lines_m), "half the width")
    parts = _cut(pieces_of(lines_m), half_width, parameters.value("piece_length"))
    for some in _squares(points):
        near = _near_box(points[some], parts)
        if not near.size:
            continue
        rows = max(1, BLOCK_PAIRS // near.size)
        for first in range(0, some.size, rows):
            yield _block(points, some[first : first + rows], parts, near)


def _cut(pieces: Pieces, half_width: Floats, longest_m: float) -> _Parts:
    number = np.maximum(np.ceil(pieces.length_m / longest_m), 1.0).astype(np.int64)
    parent = np.repeat(np.arange(number.size), number)
    rank = np.arange(parent.size) - np.repeat(np.cumsum(number) - number, number)
    length = (pieces.length_m / number)[parent]
    before = rank * length
    start = pieces.start_m[parent] + before[:, None] * pieces.along[parent]
    cut = Pieces(start, pieces.along[parent], length, pieces.line[parent])
    return _Parts(cut, before, pieces.length_m[parent], half_width[cut.line])


def _squares(points: Floats) -> Iterator[Indices]:
    """Yield the places by squares of the ground."""
    if not len(points):
        return
    cells = np.floor(points / CELL_M)
    _, member = np.unique(cells, axis=0, return_inverse=True)
    member = member.ravel()
    order = np.argsort(member, kind="stable")
    yield from np.split(order, np.flatnonzero(np.diff(member[order])) + 1)


def _near_box(points: Floats, parts: _Parts) -> Indices:
    """Give the parts whose whole piece may lie within the reach of a box round the places."""
    middle = parts.pieces.start_m + (0.5 * parts.whole_m - parts.before_m)[:, None] * parts.pieces.along
    low, high = points.min(axis=0), points.max(axis=0)
    gap = np.maximum(np.maximum(low - middle, middle - high), 0.0)
    limit = parameters.value("reach") + 0.5 * parts.whole_m
    return np.flatnonzero(np.hypot(gap[:, 0], gap[:, 1]) <= limit)


def _block(points: Floats, some: Indices, parts: _Parts, near: Indices) -> tuple[Indices, Indices, Floats]:
    pieces = parts.pieces
    chosen = Pieces(pieces.start_m[near], pieces.along[near], pieces.length_m[near], pieces.line[near])
    start, beside = seen_from(points[some], chosen)
    whole_start = start - parts.before_m[near]
    beyond = np.maximum(np.maximum(whole_start, -(whole_start + parts.whole_m[near])), 0.0)
    row, column = np.nonzero(np.hypot(beside, beyond) <= parameters.value("reach"))
    begin, part = start[row, column], near[column]
    share = _kerb_shares(begin, pieces.length_m[part], beside[row, column], parts.half_width_m[part])
    return some[row], pieces.line[part], share


def _kerb_shares(begin: Floats, length: Floats, beside: Floats, half_width: Floats) -> Floats:
    end, distance = begin + length, np.maximum(beside, half_width)
    nearest = np.hypot(distance, np.maximum(np.maximum(begin, -end), 0.0))
    scales = parameters.scales()
    longest = max(scale for scale, _ in scales)
    total = np.zeros_like(begin)
    for scale, weight in scales:
        heard = np.flatnonzero((nearest - half_width) * (1.0 / scale - 1.0 / longest) <= NEGLIGIBLE)
        share = piece_weight(begin[heard], end[heard], distance[heard], scale)
        total[heard] += weight * np.exp(half_width[heard] / scale) * share
    return total
