"""Packs the cells of a surface into bytes and back, and draws the ground at or above a level round them."""

from __future__ import annotations

import zlib
from typing import Any

import numpy as np
import shapely
from contourpy import FillType, contour_generator
from numpy.typing import NDArray
from shapely import MultiPolygon

from sitebook.errors import BookDamaged
from sitebook.ground.grid import Grid

Cells = NDArray[np.float32]

KEPT_BITS = 12
"""Binary places kept of each cell: a value moves by 0.012 % at most, and packs to a third."""

FAINT = 1e-4
"""Below this index, a fiftieth of the lowest class step, a cell is kept as 0."""

SMOOTHED_M = 0.5
"""An outline may leave out corners that lie this near to the line between their neighbours [m]."""

_MANTISSA_BITS = 23


def shortened(index: NDArray[np.float64]) -> Cells:
    """Give an index as it is kept: 32-bit floats of which `KEPT_BITS` binary places count.

    Parameters
    ----------
    index
        The index; NaN where a cell is outside the ground.
    """
    spare = _MANTISSA_BITS - KEPT_BITS
    bits = np.where(index < FAINT, 0.0, index).astype("<f4").view(np.uint32)
    known = ~np.isnan(index)
    bits[known] += np.uint32(1 << (spare - 1))
    bits[known] &= np.uint32(0xFFFFFFFF << spare & 0xFFFFFFFF)
    return bits.view("<f4").astype(np.float32, copy=False)


def packed_cells(index: Cells) -> bytes:
    """Pack cells: little-endian 32-bit floats, row by row from the south-west, deflated."""
    return zlib.compress(np.ascontiguousarray(index, dtype="<f4").tobytes(), 6)


def unpacked_cells(content: bytes, rows: int, columns: int) -> Cells:
    """Give cells back.

    Raises
    ------
    BookDamaged
        When the bytes are no cells of this number.
    """
    try:
        plain = zlib.decompress(content)
        return np.frombuffer(plain, dtype="<f4").reshape(rows, columns).astype(np.float32, copy=False)
    except (zlib.error, ValueError) as error:
        raise BookDamaged(
            f"the cells of a kept surface cannot be read ({error})",
            remedy="Run `sitebook contamination --surface`, which makes it anew.",
        ) from error


def ground_at_or_above(index: Cells, grid: Grid, level: float) -> MultiPolygon:
    """Give the ground on which an index reaches a level.

    Parameters
    ----------
    index
        The index (rows, columns); NaN where a cell is outside the ground.
    grid
        Its cells.
    level
        The level.

    Returns
    -------
    MultiPolygon
        Between the middles of cells the index is taken to change evenly [m]; empty where no cell reaches
        the level.
    """
    first_x, first_y = grid.first_m
    x = first_x + grid.cell_m * np.arange(grid.columns)
    y = first_y + grid.cell_m * np.arange(grid.rows)
    if min(index.shape) < 2:
        return MultiPolygon()
    generator = contour_generator(
        x, y, np.ma.masked_invalid(index), fill_type=FillType.ChunkCombinedOffsetOffset
    )
    found: Any = generator.filled(level, np.inf)
    corners, rings, outlines = found
    if corners[0] is None:
        return MultiPolygon()
    areas = shapely.from_ragged_array(
        shapely.GeometryType.POLYGON, np.asarray(corners[0]), (np.asarray(rings[0]), np.asarray(outlines[0]))
    )
    return _tidy(areas)


def _tidy(areas: NDArray[np.object_]) -> MultiPolygon:
    """Drop corners that lie on straight lines, and mend outlines that touch themselves."""
    simpler = shapely.make_valid(shapely.simplify(areas, SMOOTHED_M, preserve_topology=False))
    parts = shapely.get_parts(shapely.get_parts(simpler))
    solid = parts[shapely.get_type_id(parts) == int(shapely.GeometryType.POLYGON)]
    return MultiPolygon(list(solid[shapely.area(solid) > 0.0]))
