"""Packs shapes into runs of small integers that a page's script unpacks."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

STEPS_PER_DEGREE = 1_000_000
"""Grid of packed positions: a millionth of a degree, at most 0.12 m; none moves by more than half of that."""

Packed = dict[str, list[int]]
"""`parts`: runs of each shape; `counts`: points of each run; `xy`: longitude and latitude in steps.

Each position is given as the difference from the one before it, over all runs; the first one is the
difference from longitude 0, latitude 0. A run is a line, or a ring of an area, or a single point.
"""


def packed(shapes: Sequence[BaseGeometry]) -> Packed:
    """Pack shapes in their order.

    Parameters
    ----------
    shapes
        Points, lines and areas, WGS 84 [deg]; collections are taken apart.

    Returns
    -------
    Packed
        Positions on the grid of `STEPS_PER_DEGREE`.
    """
    runs, shape_of_run = _runs(shapes)
    positions, run_of_position = shapely.get_coordinates(runs, return_index=True)
    steps = np.rint(positions * STEPS_PER_DEGREE).astype(np.int64)
    differences = np.diff(steps, axis=0, prepend=np.zeros((1, 2), dtype=np.int64))
    return {
        "parts": np.bincount(shape_of_run, minlength=len(shapes)).tolist(),
        "counts": np.bincount(run_of_position, minlength=len(runs)).tolist(),
        "xy": differences.ravel().tolist(),
    }


def unpacked(runs: Packed) -> list[list[NDArray[np.float64]]]:
    """Give the positions back: for each shape its runs, each an array of longitude and latitude [deg]."""
    differences = np.asarray(runs["xy"], dtype=np.int64).reshape(-1, 2)
    positions = np.cumsum(differences, axis=0) / STEPS_PER_DEGREE
    pieces = np.split(positions, np.cumsum(runs["counts"])[:-1]) if runs["counts"] else []
    ends = np.cumsum([0, *runs["parts"]])
    return [pieces[start:end] for start, end in pairwise(ends)]


def _runs(shapes: Sequence[BaseGeometry]) -> tuple[NDArray[np.object_], NDArray[np.int64]]:
    """Take shapes apart into points, lines and rings, and say which shape each belongs to."""
    given = np.array([None, *shapes], dtype=object)[1:]
    pieces, shape_of_piece = _pieces(given)
    is_area = shapely.get_type_id(pieces) == int(shapely.GeometryType.POLYGON)
    rings, area_of_ring = shapely.get_rings(pieces[is_area], return_index=True)
    runs = np.concatenate([pieces[~is_area], rings])
    shape_of_run = np.concatenate([shape_of_piece[~is_area], shape_of_piece[is_area][area_of_ring]])
    order = np.argsort(shape_of_run, kind="stable")
    return runs[order], shape_of_run[order].astype(np.int64)


def _pieces(given: NDArray[np.object_]) -> tuple[NDArray[np.object_], NDArray[np.int64]]:
    """Take collections apart until none is left."""
    pieces, origin = shapely.get_parts(given, return_index=True)
    while np.any(shapely.get_type_id(pieces) >= int(shapely.GeometryType.MULTIPOINT)):
        pieces, inner = shapely.get_parts(pieces, return_index=True)
        origin = origin[inner]
    return pieces, origin.astype(np.int64)
