"""Adds the sharp part of the road index to cells beside each piece of road, and puts right those on it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sitebook.analysis.contamination.surface_pieces import Streets, kerb_factors
from sitebook.analysis.contamination.surface_tables import (
    STRIP_M,
    KernelTables,
    LineTable,
    near_reach_m,
)
from sitebook.ground.grid import Grid

Floats = NDArray[np.float64]
Indices = NDArray[np.int64]

BLOCK_PIECES = 128
"""Pieces worked on at once: their pairs with cells stay in a processor's cache."""

LEVEL = 1e-12


@dataclass(frozen=True)
class _Pairs:
    """Pairs of a cell and a piece of road.

    Parameters
    ----------
    cell
        Number of the cell, row by row.
    begin_m
        Where the piece begins beyond the foot point of the cell's middle [m].
    end_m
        Where it ends [m].
    beside_m
        How far its line passes [m].
    load
        Load of the piece.
    """

    cell: Indices
    begin_m: Floats
    end_m: Floats
    beside_m: Floats
    load: Floats


def add_near_part(index: Floats, streets: Streets, grid: Grid, tables: KernelTables) -> None:
    """Add the sharp part and the kerb rule to an index that holds the blunt part.

    Parameters
    ----------
    index
        The index (rows, columns), changed in place [1].
    streets
        Pieces of roads, sorted by width.
    grid
        The cells.
    tables
        Tables for cells of this side.

    Notes
    -----
    A cell between the kerbs counts as at the kerb, there and up to `STRIP_M` beyond the ends of a piece,
    for a cell on a road also lies between the kerbs of the pieces that go on straight.
    """
    flat, reach = index.reshape(-1), near_reach_m(grid.cell_m)
    longest = float(streets.length_m.max(initial=0.0))
    for half_width, alike in streets.near(grid.bounds_m, reach + longest).by_width():
        if half_width < reach:
            table = tables.near(kerb_factors(half_width), half_width)
            for some in alike.blocks(BLOCK_PIECES):
                _beside(flat, some, half_width, grid, table)
    for half_width, alike in streets.near(grid.bounds_m, STRIP_M + longest).by_width():
        if half_width > 0.0:
            factors = kerb_factors(half_width)
            at_kerb, blunt = tables.at_kerb(factors, half_width), tables.smooth(factors)
            for some in alike.blocks(BLOCK_PIECES):
                _on_road(flat, some, half_width, grid, (at_kerb, blunt))


def _beside(flat: Floats, streets: Streets, half_width_m: float, grid: Grid, table: LineTable) -> None:
    """Add the sharp part to cells outside the kerbs."""
    pairs = _pairs(streets, grid, *_stadium(streets, grid, near_reach_m(grid.cell_m)))
    outside = np.flatnonzero(pairs.beside_m >= half_width_m)
    begin, end, beside = (some.take(outside) for some in (pairs.begin_m, pairs.end_m, pairs.beside_m))
    added = table.between(begin, end, beside)
    added *= pairs.load.take(outside)
    np.add.at(flat, pairs.cell.take(outside), added)


def _on_road(
    flat: Floats, streets: Streets, half_width_m: float, grid: Grid, tables: tuple[LineTable, LineTable]
) -> None:
    """Give cells between the kerbs what the kerb has, in the place of what the blunt part gave them."""
    at_kerb, blunt = tables
    pairs = _pairs(streets, grid, *_between_kerbs(streets, grid, half_width_m))
    inside = np.flatnonzero(pairs.beside_m < half_width_m)
    begin, end, beside = (some.take(inside) for some in (pairs.begin_m, pairs.end_m, pairs.beside_m))
    added = at_kerb.between(begin, end, np.full(inside.size, half_width_m))
    added -= blunt.between(begin, end, beside)
    added *= pairs.load.take(inside)
    np.add.at(flat, pairs.cell.take(inside), added)


def _pairs(streets: Streets, grid: Grid, row: Indices, first: Indices, count: Indices) -> _Pairs:
    """Take runs of cells apart; along a run every distance changes by the same step from cell to cell."""
    first_x, first_y = grid.first_m
    piece, number = np.nonzero(count)
    row, first, count = row[piece, number], first[piece, number], count[piece, number]
    east = first_x + grid.cell_m * first - streets.x_m[piece]
    north = first_y + grid.cell_m * row - streets.y_m[piece]
    ux, uy = streets.ux[piece], streets.uy[piece]
    run = np.repeat(np.arange(count.size), count)
    step = np.arange(run.size) - (np.cumsum(count) - count).take(run)
    begin = -(east * ux + north * uy).take(run)
    begin -= (grid.cell_m * ux).take(run) * step
    beside = (east * uy - north * ux).take(run)
    beside += (grid.cell_m * uy).take(run) * step
    owner = piece.take(run)
    return _Pairs(
        cell=(row * grid.columns + first).take(run) + step,
        begin_m=begin,
        end_m=begin + streets.length_m.take(owner),
        beside_m=np.abs(beside, out=beside),
        load=streets.load.take(owner),
    )


def _stadium(streets: Streets, grid: Grid, reach_m: float) -> tuple[Indices, Indices, Indices]:
    """Give the runs of cells within a reach of each piece: row, first column and number of cells."""
    row, y = _rows(streets, grid, reach_m, 0.0)
    low, high = _slab(streets, y, reach_m, 0.0)
    for share in (0.0, 1.0):
        x_end = (streets.x_m + share * streets.length_m * streets.ux)[:, None]
        y_end = (streets.y_m + share * streets.length_m * streets.uy)[:, None]
        square = reach_m**2 - (y - y_end) ** 2
        half = np.sqrt(np.maximum(square, 0.0))
        low = np.where(square >= 0.0, np.minimum(low, x_end - half), low)
        high = np.where(square >= 0.0, np.maximum(high, x_end + half), high)
    return _columns(row, low, high, grid)


def _between_kerbs(streets: Streets, grid: Grid, half_width_m: float) -> tuple[Indices, Indices, Indices]:
    """Give the runs of cells between the kerbs of each piece and a way beyond its ends."""
    row, y = _rows(streets, grid, half_width_m, STRIP_M)
    return _columns(row, *_slab(streets, y, half_width_m, STRIP_M), grid)


def _rows(streets: Streets, grid: Grid, reach_m: float, beyond_m: float) -> tuple[Indices, Floats]:
    """Give the rows that may hold cells near each piece (pieces, most), and the y of each [m]."""
    first_y = grid.first_m[1]
    start = streets.y_m - beyond_m * streets.uy
    end = streets.y_m + (streets.length_m + beyond_m) * streets.uy
    lowest = np.ceil((np.minimum(start, end) - reach_m - first_y) / grid.cell_m).astype(np.int64)
    highest = np.floor((np.maximum(start, end) + reach_m - first_y) / grid.cell_m).astype(np.int64)
    most = max(int((highest - lowest).max(initial=0)) + 1, 1)
    row = lowest[:, None] + np.arange(most)
    outside = (row > highest[:, None]) | (row < 0) | (row >= grid.rows)
    return np.where(outside, -1, row), np.asarray(first_y + grid.cell_m * row, dtype=np.float64)


def _slab(streets: Streets, y: Floats, reach_m: float, beyond_m: float) -> tuple[Floats, Floats]:
    """Give between which x a row lies in the rectangle along each piece; low above high where nowhere."""
    ux, uy = _tilted(streets.ux)[:, None], _tilted(streets.uy)[:, None]
    north = y - streets.y_m[:, None]
    length = streets.length_m[:, None]
    along = np.sort([(-beyond_m - north * uy) / ux, (length + beyond_m - north * uy) / ux], axis=0)
    across = np.sort([(north * ux - reach_m) / uy, (north * ux + reach_m) / uy], axis=0)
    x = streets.x_m[:, None]
    return x + np.maximum(along[0], across[0]), x + np.minimum(along[1], across[1])


def _tilted(share: Floats) -> Floats:
    """Keep a direction from being exactly along or across the rows."""
    return np.where(np.abs(share) < LEVEL, LEVEL, share)


def _columns(row: Indices, low: Floats, high: Floats, grid: Grid) -> tuple[Indices, Indices, Indices]:
    first_x = grid.first_m[0]
    first = np.clip(np.ceil((low - first_x) / grid.cell_m), 0, grid.columns).astype(np.int64)
    last = np.clip(np.floor((high - first_x) / grid.cell_m), -1, grid.columns - 1).astype(np.int64)
    count = np.where((row >= 0) & (high >= low), np.maximum(last - first + 1, 0), 0)
    return row, first, count
