"""Turns areas into the directed edges of their outlines, the ground always to the left."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

Floats = NDArray[np.float64]
Indices = NDArray[np.int64]

THIN = 1e-12
"""Distance of a line, in lengths of the kernel, that stands for zero."""


@dataclass(frozen=True)
class Outlines:
    """The edges of some areas, those of one area together.

    Parameters
    ----------
    start_m, end_m
        Ends of each edge (n, 2), outer rings running counter-clockwise and holes clockwise [m].
    owner
        Number of the area it belongs to (n,), rising.
    """

    start_m: Floats
    end_m: Floats
    owner: Indices

    @property
    def size(self) -> int:
        """Number of edges."""
        return int(self.owner.size)


def outlines_of(areas_m: Sequence[BaseGeometry]) -> Outlines:
    """Give the edges of polygons and multipolygons; edges without length are left out.

    A polygon's first ring is its outer one and the others are holes, whichever way they run.

    Raises
    ------
    ValueError
        When a shape is no area, has a coordinate that is not finite, or crosses itself.
    """
    shapes = np.asarray(list(areas_m), dtype=object)
    _refuse_impossible(shapes)
    parts, part_owner = shapely.get_parts(shapes, return_index=True)
    rings, ring_part = shapely.get_rings(parts, return_index=True)
    corners, ring = shapely.get_coordinates(rings, return_index=True)
    same = ring[1:] == ring[:-1]
    start, end, of_ring = corners[:-1][same], corners[1:][same], ring[1:][same]
    outer = np.concatenate([[True], ring_part[1:] != ring_part[:-1]])[: ring_part.size]
    turned = ((_turning(corners, ring, ring_part.size) > 0.0) != outer)[of_ring]
    real = np.any(start != end, axis=1)
    first, last = np.where(turned[:, None], end, start), np.where(turned[:, None], start, end)
    return Outlines(first[real], last[real], part_owner[ring_part][of_ring][real].astype(np.int64))


def seen_from(start: Floats, end: Floats) -> tuple[Floats, Floats, Floats]:
    """Give edges as a place sees them, from their ends measured from the place (..., 2) [m].

    Returns
    -------
    tuple of ndarray
        Start and end along the edge's line, measured from the foot point [m]; how far outward of the
        place the line passes, below 0 where the place lies outside it [m].
    """
    step = end - start
    length = np.hypot(step[..., 0], step[..., 1])
    along = step / length[..., None]
    low = start[..., 0] * along[..., 0] + start[..., 1] * along[..., 1]
    outward = start[..., 0] * along[..., 1] - start[..., 1] * along[..., 0]
    return low, low + length, outward


def straightened(outward: Floats) -> Floats:
    """Let a line that passes nearer than THIN [lengths] pass through the place.

    Such an edge adds next to nothing, but its angle would hang on the last digit of the coordinates.
    """
    return np.where(np.abs(outward) < THIN, 0.0, outward)


def angles_at(low: Floats, high: Floats, outward: Floats) -> Floats:
    """Give the angle under which a place sees each edge, counter-clockwise above 0 [rad].

    The edges are given as `seen_from` gives them; one whose line passes through the place has the angle 0.
    """
    angle = np.arctan2(outward * (high - low), low * high + outward * outward)
    return np.asarray(np.where(outward == 0.0, 0.0, angle))


def _turning(corners: Floats, ring: Indices, rings: int) -> Floats:
    """Give twice the ground that each ring encloses, above 0 where it runs counter-clockwise."""
    same = ring[1:] == ring[:-1]
    origin = corners[np.searchsorted(ring, np.arange(rings))][ring[1:]]
    a, b = corners[:-1] - origin, corners[1:] - origin
    across = np.where(same, a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0], 0.0)
    return np.asarray(np.bincount(ring[1:], across, minlength=rings))


def _refuse_impossible(shapes: NDArray[np.object_]) -> None:
    kinds = shapely.get_type_id(shapes)
    for number in np.flatnonzero((kinds != 3) & (kinds != 6)):
        raise ValueError(f"shape {number} is no area: it is a {shapes[number].geom_type}")
    for number in np.flatnonzero(~shapely.is_valid(shapes)):
        reason = shapely.is_valid_reason(shapes[number])
        raise ValueError(f"the outline of area {number} cannot be used: {reason}")
