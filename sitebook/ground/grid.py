"""A grid of square cells on a flat sheet of metres."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

Floats = NDArray[np.float64]
Indices = NDArray[np.int64]

BLOCK_CELLS = 64


@dataclass(frozen=True)
class Grid:
    """Square cells in rows from south to north, each row from west to east.

    Parameters
    ----------
    west_m, south_m
        Outer edges of the first cell [m].
    rows, columns
        How many cells northward and eastward.
    cell_m
        Side of a cell [m].
    """

    west_m: float
    south_m: float
    rows: int
    columns: int
    cell_m: float

    def __post_init__(self) -> None:
        if not (self.rows > 0 and self.columns > 0 and self.cell_m > 0.0):
            raise ValueError("a grid has at least one row and column, and cells with a side above 0")
        if not (math.isfinite(self.west_m) and math.isfinite(self.south_m) and math.isfinite(self.cell_m)):
            raise ValueError("a grid lies at finite metres")

    @property
    def cells(self) -> int:
        """How many cells there are."""
        return self.rows * self.columns

    @property
    def first_m(self) -> tuple[float, float]:
        """Middle of the cell in the south-west (x, y) [m]."""
        return self.west_m + 0.5 * self.cell_m, self.south_m + 0.5 * self.cell_m

    @property
    def bounds_m(self) -> tuple[float, float, float, float]:
        """West, south, east, north [m]."""
        east = self.west_m + self.columns * self.cell_m
        return self.west_m, self.south_m, east, self.south_m + self.rows * self.cell_m

    def middles(self, row: Indices, column: Indices) -> Floats:
        """Give the middles (n, 2) of cells by row and column [m]."""
        x, y = self.first_m
        return np.column_stack([x + self.cell_m * column, y + self.cell_m * row])

    def part(self, row: int, column: int, rows: int, columns: int) -> Grid:
        """Give the part that begins at a row and column, cut where this grid ends."""
        return Grid(
            self.west_m + column * self.cell_m,
            self.south_m + row * self.cell_m,
            min(rows, self.rows - row),
            min(columns, self.columns - column),
            self.cell_m,
        )


def grid_over(bounds_m: tuple[float, float, float, float], cell_m: float) -> Grid:
    """Lay whole cells over a rectangle; cell edges lie at whole multiples of the side.

    Parameters
    ----------
    bounds_m
        West, south, east, north [m].
    cell_m
        Side of a cell [m].
    """
    west, south = (math.floor(edge / cell_m) for edge in bounds_m[:2])
    east, north = (math.ceil(edge / cell_m) for edge in bounds_m[2:])
    return Grid(west * cell_m, south * cell_m, max(north - south, 1), max(east - west, 1), cell_m)


def middles_inside(grid: Grid, shape_m: BaseGeometry) -> NDArray[np.bool_]:
    """Say of each cell (rows, columns) whether its middle lies inside an area.

    Blocks of cells that lie wholly inside or outside are settled at once.

    Parameters
    ----------
    grid
        The cells.
    shape_m
        The area [m].
    """
    inside = np.zeros((grid.rows, grid.columns), dtype=np.bool_)
    shapely.prepare(shape_m)
    for row in range(0, grid.rows, BLOCK_CELLS):
        for column in range(0, grid.columns, BLOCK_CELLS):
            block = grid.part(row, column, BLOCK_CELLS, BLOCK_CELLS)
            box = shapely.box(*block.bounds_m)
            if shape_m.disjoint(box):
                continue
            here = inside[row : row + block.rows, column : column + block.columns]
            if shape_m.contains(box):
                here[:] = True
                continue
            rows_at, columns_at = (part.ravel() for part in np.indices(here.shape))
            here[:] = shapely.contains_xy(shape_m, block.middles(rows_at, columns_at)).reshape(here.shape)
    return inside
