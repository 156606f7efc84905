"""Points that stand for a shape: its middle, its edge and what lies between."""

from __future__ import annotations

import math

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from sitebook.citations import Cited
from sitebook.ground.projection import LocalMetres

SPACING_M = Cited(20.0, "m", "ours", "our choice")
"""Distance between neighbouring points along an edge, where that does not make too many."""

MOST_POINTS = 96
"""Points along the edge of one shape; a longer edge is sampled more coarsely."""

CIRCLE_POINTS = 16


def points_of(shape: BaseGeometry, radius_m: float | None) -> NDArray[np.float64]:
    """Give points that stand for a place, shape (n, 2), WGS 84 [deg].

    A circle gives its middle and 16 points of its edge. An outline gives every corner, points at most
    20 m apart along its edges (farther where the edge is longer than 1.9 km), and one point well inside.

    Parameters
    ----------
    shape
        Point, line or area, WGS 84 [deg].
    radius_m
        Reach round a point [m]; None for a drawn outline.
    """
    middle = shapely.point_on_surface(shape)
    sheet = LocalMetres(float(middle.x), float(middle.y))
    if radius_m is not None:
        angles = np.arange(CIRCLE_POINTS) * (2 * math.pi / CIRCLE_POINTS)
        edge = radius_m * np.column_stack([np.cos(angles), np.sin(angles)])
        return sheet.to_degrees(np.vstack([[[0.0, 0.0]], edge]))
    metres = sheet.shape_to_metres(shape)
    spacing_m = max(SPACING_M.value, metres.length / MOST_POINTS)
    edge_m = shapely.segmentize(metres, spacing_m) if metres.length else metres
    points = np.vstack([[[0.0, 0.0]], shapely.get_coordinates(edge_m)])
    return sheet.to_degrees(np.unique(points, axis=0))
