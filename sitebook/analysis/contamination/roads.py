"""The traffic index: how much of a busy kerb's load reaches a place, added up over all roads in reach."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray

from sitebook.analysis.contamination import parameters
from sitebook.analysis.contamination.kernel import piece_weight
from sitebook.analysis.contamination.nearby import pairs_nearby
from sitebook.ground.distance import Pieces, pieces_of

Floats = NDArray[np.float64]
Indices = NDArray[np.int64]

NEGLIGIBLE = 37.0
"""A scale is left out of a pair where a longer one carries exp(37) times as much, 16 digits' worth."""


BLOCK_PAIRS = 120_000
"""Pairs of place and piece that are added up at once: enough to keep numpy busy, few enough for memory."""

CELL_M = 40.0


@dataclass(frozen=True)
class _Roads:
    """The straight pieces of all roads, ready to be seen from places.

    Parameters
    ----------
    pieces
        The pieces, sorted by squares of the ground.
    half_width_m
        Half the width of the line of each [m].
    lengths_m
        The scales that are looked at [m].
    kerb_factors
        For each scale, exp(half width / length).
    reach_m
        How far a place hears a road [m].
    cut
        Whether a piece counts up to the reach alone, or whole where its nearest point lies within it.
    """

    pieces: Pieces
    half_width_m: Floats
    lengths_m: tuple[float, ...]
    kerb_factors: tuple[Floats, ...]
    reach_m: float
    cut: bool


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
    load = traffic_load(traffic)
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


def traffic_load(vehicles_per_day: Floats, power: float | None = None) -> Floats:
    """Give how traffic weighs in the index [1], by a power of its own or that of the road model."""
    exponent = parameters.value("traffic_power") if power is None else power
    return np.asarray((vehicles_per_day / parameters.value("unit_traffic")) ** exponent)


def loads_by_length(
    points_m: ArrayLike,
    lines_m: Sequence[ArrayLike],
    lengths_m: Sequence[float],
    *,
    half_width_m: ArrayLike = 0.0,
    reach_m: float | None = None,
) -> Floats:
    """Give what each line carries to each place by each of some lengths.

    Parameters
    ----------
    points_m, lines_m, half_width_m
        As in `traffic_index`.
    lengths_m
        Lengths in which the effect falls to 1/e [m].
    reach_m
        How far roads are heard [m]; None for that of the road model. A road that runs on beyond is cut there,
        so that it does not matter where its pieces begin and end.

    Returns
    -------
    ndarray
        Shares (lengths, n, lines) of the kerb of an endless straight road, before the share of each length
        and the traffic [1].
    """
    points = _points(points_m)
    shape = (len(lengths_m), len(points), len(lines_m))
    found = np.zeros((shape[0], shape[1] * shape[2]))
    reach = parameters.value("reach") if reach_m is None else reach_m
    roads = _roads(lines_m, half_width_m, tuple(lengths_m), reach, cut=True)
    for place, line, shares in _blocks(points, roads):
        for number, share in enumerate(shares):
            found[number] += np.bincount(place * len(lines_m) + line, share, minlength=found.shape[1])
    return found.reshape(shape)


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
    lengths, weights = zip(*parameters.scales(), strict=True)
    roads = _roads(lines_m, half_width_m, lengths, parameters.value("reach"), cut=False)
    for place, line, shares in _blocks(points, roads):
        total = weights[0] * shares[0]
        for weight, share in zip(weights[1:], shares[1:], strict=True):
            total += weight * share
        yield place, line, total


def _roads(
    lines_m: Sequence[ArrayLike],
    half_width_m: ArrayLike,
    lengths_m: tuple[float, ...],
    reach_m: float,
    *,
    cut: bool,
) -> _Roads:
    pieces = _in_order(pieces_of(lines_m))
    half_width = _one_a_line(half_width_m, len(lines_m), "half the width")[pieces.line]
    factors = tuple(np.exp(half_width / length) for length in lengths_m)
    return _Roads(pieces, half_width, lengths_m, factors, reach_m, cut)


def _blocks(points: Floats, roads: _Roads) -> Iterator[tuple[Indices, Indices, list[Floats]]]:
    """Yield places, lines and what a line carries by each length, block by block."""
    for place, piece in pairs_nearby(points, _drawn(roads.pieces), roads.reach_m):
        for k in range(0, piece.size, BLOCK_PAIRS):
            yield _block(points, place[k : k + BLOCK_PAIRS], piece[k : k + BLOCK_PAIRS], roads)


def _in_order(pieces: Pieces) -> Pieces:
    """Sort pieces by squares of the ground, so that those near each other also lie near in memory."""
    cells = np.floor(pieces.start_m / CELL_M)
    order = np.lexsort((cells[:, 0], cells[:, 1]))
    return Pieces(pieces.start_m[order], pieces.along[order], pieces.length_m[order], pieces.line[order])


def _drawn(pieces: Pieces) -> NDArray[np.object_]:
    end = pieces.start_m + pieces.length_m[:, None] * pieces.along
    return np.asarray(shapely.linestrings(np.stack([pieces.start_m, end], axis=1)))


def _block(
    points: Floats, place: Indices, piece: Indices, roads: _Roads
) -> tuple[Indices, Indices, list[Floats]]:
    """Look closely at pairs of place and piece, and keep those within the reach."""
    begin, beside = _seen(points, place, roads.pieces, piece)
    end = begin + roads.pieces.length_m.take(piece)
    nearest = np.maximum(np.maximum(begin, -end), 0.0)
    nearest *= nearest
    nearest += beside * beside
    heard = np.flatnonzero(nearest <= roads.reach_m**2)
    piece = piece.take(heard)
    begin, end, beside = begin.take(heard), end.take(heard), beside.take(heard)
    if roads.cut:
        most = np.sqrt(np.maximum(roads.reach_m**2 - beside * beside, 0.0))
        begin, end = np.maximum(begin, -most), np.minimum(end, most)
    shares = _kerb_shares(begin, end, beside, piece, roads)
    return place.take(heard), roads.pieces.line.take(piece), shares


def _seen(points: Floats, place: Indices, pieces: Pieces, piece: Indices) -> tuple[Floats, Floats]:
    """Give where each piece begins beyond the foot point of its place, and how far its line passes [m]."""
    east = pieces.start_m[:, 0].take(piece) - points[:, 0].take(place)
    north = pieces.start_m[:, 1].take(piece) - points[:, 1].take(place)
    ux, uy = pieces.along[:, 0].take(piece), pieces.along[:, 1].take(piece)
    begin = east * ux
    begin += north * uy
    east *= uy
    north *= ux
    east -= north
    return begin, np.abs(east, out=east)


def _kerb_shares(begin: Floats, end: Floats, beside: Floats, piece: Indices, roads: _Roads) -> list[Floats]:
    half_width = roads.half_width_m.take(piece)
    distance = np.maximum(beside, half_width)
    longest = max(roads.lengths_m)
    shares = []
    for length, factors in zip(roads.lengths_m, roads.kerb_factors, strict=True):
        if length == longest:
            share = piece_weight(begin, end, distance, length)
            share *= factors.take(piece)
            shares.append(share)
            continue
        limit = half_width + NEGLIGIBLE / (1.0 / length - 1.0 / longest)
        beyond = np.maximum(np.maximum(begin, -end), 0.0)
        heard = np.flatnonzero(distance * distance + beyond * beyond <= limit * limit)
        share = np.zeros_like(begin)
        share[heard] = piece_weight(begin[heard], end[heard], distance[heard], length)
        share[heard] *= factors[piece[heard]]
        shares.append(share)
    return shares
