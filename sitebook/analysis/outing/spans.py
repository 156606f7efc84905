"""Tells which parts of straight steps lie inside an outline."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry


class Span(NamedTuple):
    """A part of one step between two points, as fractions of it.

    Parameters
    ----------
    step
        Index of the point the step begins at.
    begins, ends
        Fractions of the step, from 0 to 1.
    """

    step: int
    begins: float
    ends: float


def inside_spans(
    points_m: NDArray[np.float64], steps: NDArray[np.int_], outline_m: BaseGeometry
) -> list[Span]:
    """Give the parts of some steps that lie inside an outline.

    Parameters
    ----------
    points_m
        Points, shape (n, 2) [m].
    steps
        Indices of the points at which the steps asked for begin.
    outline_m
        A polygon or several.

    Returns
    -------
    list of Span
        A step on one spot, within the outline, is inside from 0 to 1.
    """
    begins, ends = points_m[steps], points_m[steps + 1]
    stands = np.all(begins == ends, axis=1)
    inside = stands & shapely.intersects_xy(outline_m, begins)
    spans = [Span(int(step), 0.0, 1.0) for step in steps[inside]]
    moving = np.flatnonzero(~stands)
    lines = shapely.linestrings(np.stack([begins[moving], ends[moving]], axis=1))
    near = moving[shapely.intersects(lines, outline_m)] if len(moving) else moving
    if len(near) == 0:
        return spans
    cut = shapely.intersection(shapely.linestrings(np.stack([begins[near], ends[near]], axis=1)), outline_m)
    parts, of = shapely.get_parts(cut, return_index=True)
    for part, which in zip(parts, near[of], strict=True):
        if part.geom_type == "LineString" and not part.is_empty:
            low, high = _fractions(np.asarray(part.coords), begins[which], ends[which])
            if high > low:
                spans.append(Span(int(steps[which]), low, high))
    return spans


def _fractions(
    coordinates: NDArray[np.float64], begin: NDArray[np.float64], end: NDArray[np.float64]
) -> tuple[float, float]:
    """Give where on the step from begin to end a piece of it begins and ends."""
    way = end - begin
    along = np.clip((coordinates - begin) @ way / (way @ way), 0.0, 1.0)
    return float(along.min()), float(along.max())


def without(part: tuple[float, float], taken: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """Give what is left of a part once the parts already taken are cut out of it."""
    left = [part]
    for begins, ends in taken:
        left = [
            piece
            for low, high in left
            for piece in ((low, min(high, begins)), (max(low, ends), high))
            if piece[1] > piece[0]
        ]
    return left
