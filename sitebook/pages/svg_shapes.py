"""Turns shapes in drawing units into the path data of SVG."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

SIMPLER_BY = 0.3
"""How far a drawn line may lie from the true one, in drawing units."""


def path_data(shape: BaseGeometry) -> str:
    """Give the path of lines and outlines; points and empty shapes give none.

    Parameters
    ----------
    shape
        Any geometry in drawing units.
    """
    return "".join(_ring(part) for part in _lines(shapely.simplify(shape, SIMPLER_BY)))


def points_of(shape: BaseGeometry) -> list[tuple[float, float]]:
    """Give the points among the parts of a shape."""
    return [
        (float(part.x), float(part.y))
        for part in shapely.get_parts(shape)
        if isinstance(part, shapely.Point) and not part.is_empty
    ]


def tidy(number: float) -> str:
    """Write a coordinate in tenths, without a needless ".0" or "-0"."""
    return f"{round(number, 1) + 0.0:.1f}".removesuffix(".0")


def _lines(shape: BaseGeometry) -> Iterator[tuple[NDArray[np.float64], bool]]:
    for part in shapely.get_parts(shape):
        if isinstance(part, shapely.Polygon) and not part.is_empty:
            for ring in (part.exterior, *part.interiors):
                yield shapely.get_coordinates(ring)[:-1], True
        elif isinstance(part, shapely.LineString) and not part.is_empty:
            yield shapely.get_coordinates(part), False
        elif isinstance(part, shapely.GeometryCollection):
            yield from _lines(part)


def _ring(line: tuple[NDArray[np.float64], bool]) -> str:
    coordinates, closed = line
    steps = "L".join(f"{tidy(x)} {tidy(y)}" for x, y in coordinates.tolist())
    return f"M{steps}{'z' if closed else ''}"
