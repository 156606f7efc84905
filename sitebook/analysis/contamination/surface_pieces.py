"""Cuts roads into short pieces, sorted so that pieces of one width and neighbourhood lie together."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike, NDArray

from sitebook.analysis.contamination import parameters
from sitebook.ground.distance import pieces_of

Floats = NDArray[np.float64]
Indices = NDArray[np.int64]

LONGEST_M = 45.0
"""Longer pieces are cut; that changes no sum and keeps the tables small."""

WIDTH_STEP_M = 0.01
"""Half widths are rounded to this, so that roads of one width share one table."""

SQUARE_M = 300.0


@dataclass(frozen=True)
class Streets:
    """Short straight pieces of roads.

    Parameters
    ----------
    x_m, y_m
        Where each begins [m].
    ux, uy
        Its direction [1].
    length_m
        Its length, at most `LONGEST_M` [m].
    half_width_m
        Half the width of its road [m].
    load
        What the kerb of its road carries before any share, 1 for 10,000 vehicles a day.
    """

    x_m: Floats
    y_m: Floats
    ux: Floats
    uy: Floats
    length_m: Floats
    half_width_m: Floats
    load: Floats

    def __len__(self) -> int:
        return len(self.x_m)

    def some(self, chosen: Indices | slice) -> Streets:
        """Give some of the pieces."""
        return Streets(
            self.x_m[chosen],
            self.y_m[chosen],
            self.ux[chosen],
            self.uy[chosen],
            self.length_m[chosen],
            self.half_width_m[chosen],
            self.load[chosen],
        )

    def near(self, bounds_m: tuple[float, float, float, float], reach_m: float) -> Streets:
        """Give the pieces whose middle lies within a reach of a rectangle."""
        west, south, east, north = bounds_m
        x = self.x_m + 0.5 * self.length_m * self.ux
        y = self.y_m + 0.5 * self.length_m * self.uy
        inside = (x >= west - reach_m) & (x <= east + reach_m)
        inside &= (y >= south - reach_m) & (y <= north + reach_m)
        return self.some(np.flatnonzero(inside))

    def by_width(self) -> Iterator[tuple[float, Streets]]:
        """Yield the pieces of each half width; they must be sorted by it."""
        starts = np.flatnonzero(np.diff(self.half_width_m, prepend=np.nan) != 0.0)
        for first, last in pairwise([*starts, len(self)]):
            yield float(self.half_width_m[first]), self.some(slice(first, last))

    def blocks(self, most: int) -> Iterator[Streets]:
        """Yield runs of pieces, at most so many at a time."""
        for k in range(0, len(self), most):
            yield self.some(slice(k, k + most))


def kerb_factors(half_width_m: float) -> tuple[float, ...]:
    """Give for each scale the share it carries at the kerb times exp(half width / length)."""
    return tuple(share * float(np.exp(half_width_m / scale)) for scale, share in parameters.scales())


def streets_of(lines_m: Sequence[ArrayLike], vehicles_per_day: ArrayLike, half_width_m: ArrayLike) -> Streets:
    """Cut lines into short pieces and sort them by width and place; lines without traffic fall away.

    Raises
    ------
    ValueError
        When traffic or width is below zero or missing, or a coordinate is not finite.
    """
    traffic = _one_a_line(vehicles_per_day, len(lines_m), "traffic")
    width = _one_a_line(half_width_m, len(lines_m), "half the width")
    width = np.round(width / WIDTH_STEP_M) * WIDTH_STEP_M
    load = (traffic / parameters.value("unit_traffic")) ** parameters.value("traffic_power")
    pieces = pieces_of(lines_m)
    busy = np.flatnonzero(load[pieces.line] > 0.0)
    count = np.maximum(np.ceil(pieces.length_m[busy] / LONGEST_M), 1.0).astype(np.int64)
    owner = np.repeat(busy, count)
    number = np.arange(count.sum()) - np.repeat(np.cumsum(count) - count, count)
    length = pieces.length_m[owner] / np.repeat(count, count)
    start = pieces.start_m[owner] + (number * length)[:, None] * pieces.along[owner]
    line, along = pieces.line[owner], pieces.along[owner]
    return _sorted(
        Streets(start[:, 0], start[:, 1], along[:, 0], along[:, 1], length, width[line], load[line])
    )


def _sorted(streets: Streets) -> Streets:
    x, y = np.floor(streets.x_m / SQUARE_M), np.floor(streets.y_m / SQUARE_M)
    return streets.some(np.lexsort((x, y, streets.half_width_m)))


def _one_a_line(given: ArrayLike, lines: int, what: str) -> Floats:
    values = np.broadcast_to(np.asarray(given, dtype=np.float64), (lines,))
    if not np.all(np.isfinite(values) & (values >= 0.0)):
        raise ValueError(f"{what} of a line is a finite number, 0 or more")
    return values
