"""The road index computed over a whole extract, kept until its inputs change."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import ClassVar

from shapely.geometry.base import BaseGeometry

from sitebook.records.columns import column
from sitebook.records.standing import Row


@dataclass(frozen=True, kw_only=True)
class Surface(Row):
    """One surface over one ground."""

    surface_key: str = column("what it is of: extract and kind", unique=True)
    input_hash: str = column("SHA-256 of everything it was computed from")
    made_at: datetime.datetime = column("instant it was computed, UTC")
    cell_m: float = column("side of a cell", unit="m")
    reach_m: float = column("how far roads were looked for", unit="m")
    error_median: float = column("median relative error against the exact sum, on a sample")
    error_p99: float = column("99th percentile of that error")
    error_points: int = column("points of the sample")
    geom: BaseGeometry = column("ground it covers, WGS 84", geometry="POLYGON")


@dataclass(frozen=True, kw_only=True)
class SurfaceCells(Row):
    """The cells of a surface, packed."""

    GROUPS_UNIQUE: ClassVar[tuple[tuple[str, ...], ...]] = (("surface_id",),)

    surface_id: int = column("the surface", refers="surface")
    rows_count: int = column("cells from south to north")
    columns_count: int = column("cells from west to east")
    centre_lon: float = column(
        "longitude at which its flat sheet touches the globe, azimuthal equidistant, WGS 84"
    )
    centre_lat: float = column("latitude of that place, WGS 84")
    west_m: float = column("western edge of the first cell, from there", unit="m")
    south_m: float = column("southern edge of the first cell, from there", unit="m")
    content: bytes = column(
        "the cells, little-endian 32-bit floats, row by row from the south-west, deflated; NaN outside"
    )


@dataclass(frozen=True, kw_only=True)
class SurfaceContour(Row):
    """Ground on which a surface reaches a level."""

    GROUPS_UNIQUE: ClassVar[tuple[tuple[str, ...], ...]] = (("surface_id", "level"),)

    surface_id: int = column("the surface", refers="surface")
    level: float = column("the level")
    geom: BaseGeometry = column("ground at or above the level, WGS 84", geometry="MULTIPOLYGON")
