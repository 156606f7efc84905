"""Turns the cells lon, lat and outline_wkt into a geometry on the globe."""

from __future__ import annotations

import re

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from sitebook.intake.cells import CellError, number
from sitebook.records.columns import GeometryKind

LON_LIMIT_DEG = 180.0
LAT_LIMIT_DEG = 90.0
AREA_KINDS = ("Polygon", "MultiPolygon")
DEGREES_MINUTES = re.compile(r"[°'′″\"]|[NSEW]\s*$", re.IGNORECASE)


def read_degrees(text: str, limit_deg: float, axis: str) -> float:
    """Read one coordinate in decimal degrees.

    Parameters
    ----------
    text
        The cell.
    limit_deg
        Largest size [°].
    axis
        What to call it: longitude or latitude.

    Raises
    ------
    CellError
        When it is no number or lies beyond the limit.
    """
    if DEGREES_MINUTES.search(text):
        raise CellError(
            f"{text.strip()!r}: write decimal degrees, west and south with a minus, as -19.4215 or 52.5"
        )
    value = number(text)
    if value is None or abs(value) > limit_deg:
        swap = " (are lon and lat swapped?)" if value is not None and abs(value) <= LON_LIMIT_DEG else ""
        raise CellError(f"{axis} {text.strip()} is not between -{limit_deg:g} and {limit_deg:g}{swap}")
    return value


def point(lon: float, lat: float) -> BaseGeometry:
    """Make a point of WGS 84; 0/0, which receivers write when they have no fix, raises CellError."""
    if lon == 0.0 and lat == 0.0:
        raise CellError(
            "0/0 lies in the open sea and mostly means that there was no position: leave lon and lat empty"
        )
    return shapely.Point(lon, lat)


def read_outline(text: str, kind: GeometryKind, *, areas_only: bool) -> BaseGeometry:
    """Read a geometry in well-known text, lon before lat.

    Parameters
    ----------
    text
        The cell, as POLYGON ((lon lat, lon lat, ...)).
    kind
        Kind of geometry the record takes.
    areas_only
        Whether only polygons will do.

    Raises
    ------
    CellError
        When it cannot be read, is empty, crosses itself, is of another kind or leaves the globe.
    """
    try:
        with np.errstate(all="ignore"):
            shape = shapely.from_wkt(text)
    except (shapely.GEOSException, ValueError) as reason:
        raise CellError(
            "outline_wkt is not well-known text, as POLYGON ((lon lat, lon lat, ...))"
        ) from reason
    if shape.is_empty:
        raise CellError("outline_wkt is empty")
    fits = kind == "GEOMETRY" or shape.geom_type.upper() == kind
    if not fits or (areas_only and shape.geom_type not in AREA_KINDS):
        wanted = "POLYGON or MULTIPOLYGON" if areas_only else kind
        raise CellError(f"outline_wkt holds a {shape.geom_type.upper()}; wanted is {wanted}")
    west, south, east, north = shape.bounds
    numbers_are_finite = all(abs(edge) <= LON_LIMIT_DEG for edge in (west, south, east, north))
    if not numbers_are_finite or max(abs(south), abs(north)) > LAT_LIMIT_DEG:
        raise CellError("outline_wkt leaves the globe: lon comes before lat, both in degrees")
    if not shape.is_valid:
        raise CellError(f"outline_wkt cannot be an outline: {shapely.is_valid_reason(shape)}")
    return shapely.force_2d(shape)
