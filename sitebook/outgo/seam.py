"""Cuts a shape that runs over the 180th meridian into parts that do not."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity
from shapely.geometry.base import BaseGeometry

HALF_TURN_DEG = 180.0
FULL_TURN_DEG = 360.0
FINEST_DEG = float(np.spacing(HALF_TURN_DEG))
"""Steps in which longitudes at the seam are told apart [deg], a few nanometres."""


def cut_at_seam(shape: BaseGeometry) -> BaseGeometry:
    """Give a shape cut at the 180th meridian, or the shape itself where it does not run over it.

    Two points of one line that lie more than half a turn apart in longitude are joined the short way,
    which runs over the seam. A ring that goes round a pole is left as it is.

    References
    ----------
    RFC 7946, section 3.1.9.
    """
    if shape.geom_type in {"Polygon", "LineString"}:
        unrolled = _unrolled(shape)
        return shape if unrolled is None else _cut(unrolled)
    parts = list(getattr(shape, "geoms", ()))
    if not parts:
        return shape
    cut = [cut_at_seam(part) for part in parts]
    if all(new is old for new, old in zip(cut, parts, strict=True)):
        return shape
    return _joined([piece for part in cut for piece in getattr(part, "geoms", [part])])


def _unrolled(shape: BaseGeometry) -> BaseGeometry | None:
    """Give the shape with longitudes that run on past 180, or None where no line jumps."""
    if isinstance(shape, shapely.LineString):
        line = _run_on(shapely.get_coordinates(shape))
        return None if line is None else shapely.LineString(line)
    if not isinstance(shape, shapely.Polygon):
        return None
    outer = _run_on(shapely.get_coordinates(shape.exterior))
    if outer is None or abs(outer[0, 0] - outer[-1, 0]) > HALF_TURN_DEG:
        return None
    holes = [_beside(_as_run(shapely.get_coordinates(ring)), outer) for ring in shape.interiors]
    return shapely.Polygon(outer, holes)


def _run_on(lonlat: NDArray[np.float64]) -> NDArray[np.float64] | None:
    turns = -np.round(np.diff(lonlat[:, 0]) / FULL_TURN_DEG)
    if not turns.any():
        return None
    run = lonlat.copy()
    run[1:, 0] += np.cumsum(turns) * FULL_TURN_DEG
    return run


def _as_run(lonlat: NDArray[np.float64]) -> NDArray[np.float64]:
    run = _run_on(lonlat)
    return lonlat if run is None else run


def _beside(hole: NDArray[np.float64], outer: NDArray[np.float64]) -> NDArray[np.float64]:
    """Shift a hole by whole turns until it begins between the ends of its outer ring."""
    below = np.floor((hole[0, 0] - outer[:, 0].min()) / FULL_TURN_DEG)
    beside: NDArray[np.float64] = hole - [below * FULL_TURN_DEG, 0.0]
    return beside


def _cut(unrolled: BaseGeometry) -> BaseGeometry:
    unrolled = shapely.transform(unrolled, _no_dust)
    pieces = []
    for turn in (-1, 0, 1):
        shift = turn * FULL_TURN_DEG
        sheet = shapely.box(shift - HALF_TURN_DEG, -90.0, shift + HALF_TURN_DEG, 90.0)
        part = affinity.translate(shapely.intersection(unrolled, sheet), -shift)
        pieces += [
            p for p in getattr(part, "geoms", [part]) if p.geom_type == unrolled.geom_type and not p.is_empty
        ]
    return _joined(pieces)


def _no_dust(lonlat: NDArray[np.float64]) -> NDArray[np.float64]:
    """Give degrees finer than the seam can tell as 0: products of them underflow, and the cut goes astray."""
    return np.where(np.abs(lonlat) < FINEST_DEG, 0.0, lonlat)


def _joined(pieces: list[BaseGeometry]) -> BaseGeometry:
    polygons = [piece for piece in pieces if isinstance(piece, shapely.Polygon)]
    lines = [piece for piece in pieces if isinstance(piece, shapely.LineString)]
    if len(polygons) == len(pieces):
        return shapely.MultiPolygon(polygons)
    return shapely.MultiLineString(lines) if len(lines) == len(pieces) else shapely.GeometryCollection(pieces)
