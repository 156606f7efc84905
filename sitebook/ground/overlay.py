"""Joins and cuts shapes so that the answer is always sound, also where exact arithmetic would trip."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
import shapely
from shapely.errors import GEOSException
from shapely.geometry.base import BaseGeometry

GRID_M = 1e-6
"""Corners are moved to a grid this fine where joining them as they are gives no sound shape [m]."""


def united(shapes_m: Sequence[BaseGeometry]) -> BaseGeometry:
    """Join shapes into one [m]."""
    given = np.asarray(list(shapes_m), dtype=object)
    return _sound(lambda grid_m: shapely.union_all(given, grid_size=grid_m))


def without(shape_m: BaseGeometry, taken_m: BaseGeometry) -> BaseGeometry:
    """Give what of a shape another leaves [m]."""
    return _sound(lambda grid_m: shapely.difference(shape_m, taken_m, grid_size=grid_m))


def within(shape_m: BaseGeometry, other_m: BaseGeometry) -> BaseGeometry:
    """Give what of a shape lies in another [m]."""
    return _sound(lambda grid_m: shapely.intersection(shape_m, other_m, grid_size=grid_m))


def _sound(overlay: Callable[[float | None], BaseGeometry]) -> BaseGeometry:
    """Take the exact answer, or the one on a grid where that trips or is not sound."""
    try:
        exact = overlay(None)
    except GEOSException:
        return overlay(GRID_M)
    return exact if exact.is_valid else overlay(GRID_M)
