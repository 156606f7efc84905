"""Times the surface of the road index against one sum a cell, with its error, its memory and its growth."""

from __future__ import annotations

import resource
import tracemalloc

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy import special

from sitebook.analysis.contamination import parameters
from sitebook.analysis.contamination.panels import by_panels
from sitebook.analysis.contamination.roads import traffic_index
from sitebook.analysis.contamination.surface import surface_index
from sitebook.analysis.contamination.surface_cells import shortened
from sitebook.ground.grid import Grid
from tests.benchmarks.growth import draw, errors, timed
from tests.benchmarks.made_town import Streets, streets

Floats = NDArray[np.float64]

CELLS, CELL_M, MARGIN_M = 1000, 5.0, 550.0
SAMPLE, CHECKED, BLOCK = 400, 4_000, 50
NODES = 4


def grid_of(side_cells: int) -> Grid:
    """Give a square grid with roads all round it."""
    return Grid(MARGIN_M, MARGIN_M, side_cells, side_cells, CELL_M)


def town_of(side_cells: int, piece_m: float = 30.0) -> Streets:
    """Give the streets of a town that holds the grid."""
    return streets(side_cells * CELL_M + 2.0 * MARGIN_M, piece_m)


def cells_of(grid: Grid, how_many: int, seed: int = 8) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Draw cells by chance: rows and columns."""
    row, column = np.random.default_rng(seed).integers(0, grid.rows, (2, how_many))
    return row, column


def _k0(r: Floats, _distance: Floats) -> Floats:
    return np.asarray(special.k0(r))


def plain(points: Floats, town: Streets, reach_m: float) -> Floats:
    """Add up each place as one would write it first: the pieces that a tree finds, with 4 nodes a panel."""
    tree, index = shapely.STRtree(np.asarray(shapely.linestrings(town.ends_m))), np.zeros(len(points))
    step = town.ends_m[:, 1] - town.ends_m[:, 0]
    length = np.hypot(step[:, 0], step[:, 1])
    along = step / length[:, None]
    for first in range(0, len(points), BLOCK):
        some = points[first : first + BLOCK]
        place, piece = tree.query(np.asarray(shapely.points(some)), predicate="dwithin", distance=reach_m)
        away, ahead = town.ends_m[piece, 0] - some[place], along[piece]
        begin, half = (away * ahead).sum(axis=1), town.half_width_m[piece]
        beside = np.maximum(np.abs(away[:, 0] * ahead[:, 1] - away[:, 1] * ahead[:, 0]), half)
        added = np.zeros(piece.size)
        for scale, share in parameters.scales():
            ends = begin / scale, (begin + length[piece]) / scale
            weight = by_panels(*ends, beside / scale, _k0, NODES) / np.pi
            added += share * np.exp(half / scale) * weight
        load = town.vehicles[piece] / parameters.value("unit_traffic")
        index[first : first + len(some)] = np.bincount(place, added * load, minlength=len(some))
    return index


def quick(town: Streets, grid: Grid) -> Floats:
    """Give the surface as the project computes it."""
    return surface_index(list(town.ends_m), town.vehicles, town.half_width_m, grid=grid)


def measured(town: Streets, grid: Grid, reach_m: float, sample: int = SAMPLE) -> tuple[float, float]:
    """Give the seconds of both ways, the plain one scaled from a sample of the cells."""
    _, fast_s = timed(lambda: quick(town, grid), 2)
    points = grid.middles(*cells_of(grid, sample))
    _, plain_s = timed(lambda: plain(points, town, reach_m))
    return fast_s, plain_s * grid.cells / sample


def memory(town: Streets, grid: Grid) -> float:
    """Give the most memory that numpy and Python held during one surface [MB]."""
    tracemalloc.start()
    quick(town, grid)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    return peak / 1e6


def tell_error(town: Streets, grid: Grid) -> None:
    """Print how far cells are from the exact sum, as reckoned and as kept."""
    row, column = cells_of(grid, CHECKED)
    points = grid.middles(row, column)
    exact = traffic_index(points, list(town.ends_m), town.vehicles, half_width_m=town.half_width_m)
    index = quick(town, grid)
    print("as reckoned:", errors(index[row, column], exact, relative=True))
    print("as kept:", errors(shortened(index)[row, column].astype(np.float64), exact, relative=True))
    few = slice(0, SAMPLE)
    for reach_m in (500.0, parameters.value("reach")):
        found = plain(points[few], town, reach_m)
        print(f"plain way, reach {reach_m:g} m:", errors(found, exact[few], relative=True))


def main() -> None:
    """Print ratio, error, memory and growth, and draw the growth."""
    town, grid = town_of(CELLS), grid_of(CELLS)
    print(f"{grid.cells:,} cells of {CELL_M:g} m, {len(town.vehicles):,} pieces; processor time")
    for reach_m in (500.0, parameters.value("reach")):
        fast_s, plain_s = measured(town, grid, reach_m)
        print(
            f"reach {reach_m:g} m: search tree + {NODES} nodes {plain_s:.0f} s (scaled from {SAMPLE} cells), "
            f"ours {fast_s:.2f} s, ratio {plain_s / fast_s:.0f}"
        )
    tell_error(town, grid)
    reach_m = parameters.value("reach")
    by_cells = []
    for side in (250, 500, 1000, 2000):
        some, cells = town_of(side), grid_of(side)
        by_cells.append((float(cells.cells), *measured(some, cells, reach_m, 100)))
        print(f"{cells.cells:,} cells: most memory {memory(some, cells):.0f} MB")
    by_pieces = []
    for piece_m in (60.0, 30.0, 15.0, 7.5):
        cut = town_of(CELLS, piece_m)
        by_pieces.append((float(len(cut.vehicles)), *measured(cut, grid, reach_m, 100)))
    for what, rows in (("cells", by_cells), ("pieces", by_pieces)):
        for size, fast_s, plain_s in rows:
            print(
                f"{size:,.0f} {what}: {fast_s:.2f} s against {plain_s:,.0f} s, ratio {plain_s / fast_s:.0f}"
            )
        lines = {
            "sitebook": [(size, fast_s) for size, fast_s, _ in rows],
            "search tree, 4 nodes": [(size, plain_s) for size, _, plain_s in rows],
        }
        print(draw(f"surface_by_{what}", f"Road index of a whole ground, by {what}", what, lines).name)
    print(f"whole process: {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB")


if __name__ == "__main__":
    main()
