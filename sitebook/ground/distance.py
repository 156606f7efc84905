"""Distances in metres from places to lines and areas, with the point they are measured to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray
from shapely.geometry.base import BaseGeometry

Floats = NDArray[np.float64]

DIRECTIONS = (
    "north",
    "north-east",
    "east",
    "south-east",
    "south",
    "south-west",
    "west",
    "north-west",
)


@dataclass(frozen=True)
class Pieces:
    """The straight pieces of some lines.

    Parameters
    ----------
    start_m
        Where each begins (n, 2) [m].
    along
        Its direction as a unit vector (n, 2) [1].
    length_m
        Its length (n,), above 0 [m].
    line
        Number of the line it belongs to (n,).
    """

    start_m: Floats
    along: Floats
    length_m: Floats
    line: NDArray[np.int64]


@dataclass(frozen=True)
class Foot:
    """Where a place's nearest point of something lies.

    Parameters
    ----------
    distance_m
        How far [m].
    at_m
        The nearest point (x, y) [m].
    """

    distance_m: float
    at_m: tuple[float, float]


def pieces_of(lines_m: Sequence[ArrayLike]) -> Pieces:
    """Cut lines, each (k, 2) [m], at their vertices; pieces without length are left out.

    Raises
    ------
    ValueError
        When a line is not a list of finite pairs.
    """
    arrays = [np.asarray(line, dtype=np.float64) for line in lines_m]
    for number, line in enumerate(arrays):
        if line.ndim != 2 or line.shape[1] != 2:
            raise ValueError(f"line {number} is not a list of pairs of metres")
    corners = np.concatenate([np.empty((0, 2)), *arrays])
    of_line = np.repeat(np.arange(len(arrays)), [len(line) for line in arrays])
    strange = np.flatnonzero(~np.isfinite(corners).all(axis=1))
    if strange.size:
        raise ValueError(f"line {of_line[strange[0]]} is not a list of pairs of metres")
    inside = of_line[1:] == of_line[:-1]
    start, step, owner = corners[:-1][inside], np.diff(corners, axis=0)[inside], of_line[1:][inside]
    length = np.hypot(step[:, 0], step[:, 1])
    real = length > 0.0
    return Pieces(start[real], step[real] / length[real, None], length[real], owner[real])


def seen_from(points_m: Floats, pieces: Pieces) -> tuple[Floats, Floats]:
    """Give where each piece begins beyond a place's foot point, and how far its line passes.

    Parameters
    ----------
    points_m
        Places (n, 2) [m].
    pieces
        Pieces, k of them.

    Returns
    -------
    tuple of ndarray
        Start along the piece, measured from the foot point (n, k) [m]; distance of the endless line
        through the piece (n, k), 0 or more [m].
    """
    east = pieces.start_m[None, :, 0] - points_m[:, None, 0]
    north = pieces.start_m[None, :, 1] - points_m[:, None, 1]
    ux, uy = pieces.along[None, :, 0], pieces.along[None, :, 1]
    return east * ux + north * uy, np.abs(east * uy - north * ux)


def to_lines(points_m: ArrayLike, lines_m: Sequence[ArrayLike]) -> Floats:
    """Give the distance of places (n, 2) to each of some lines, (n, lines) [m]; inf for an empty line."""
    points = np.asarray(points_m, dtype=np.float64).reshape(-1, 2)
    pieces = pieces_of(lines_m)
    start, beside = seen_from(points, pieces)
    beyond = np.maximum(np.maximum(start, -(start + pieces.length_m)), 0.0)
    nearest = np.full((len(points), len(lines_m)), np.inf)
    rows = np.broadcast_to(np.arange(len(points))[:, None], start.shape)
    np.minimum.at(nearest, (rows, np.broadcast_to(pieces.line, start.shape)), np.hypot(beside, beyond))
    return nearest


def foot_on(point_m: tuple[float, float], shape_m: BaseGeometry) -> Foot:
    """Give the nearest point of a line or area; inside an area the distance is 0.

    Raises
    ------
    ValueError
        When the shape is empty.
    """
    if shape_m.is_empty:
        raise ValueError("an empty shape has no nearest point")
    _, foot = shapely.get_coordinates(shapely.shortest_line(shapely.Point(point_m), shape_m))
    gap = float(np.hypot(foot[0] - point_m[0], foot[1] - point_m[1]))
    return Foot(gap, (float(foot[0]), float(foot[1])))


def direction_words(from_m: tuple[float, float], to_m: tuple[float, float]) -> str:
    """Say in which of eight directions one place lies from another."""
    east, north = to_m[0] - from_m[0], to_m[1] - from_m[1]
    bearing_deg = np.degrees(np.arctan2(east, north)) % 360.0
    return DIRECTIONS[round(bearing_deg / 45.0) % 8]


def direction_to(point_m: tuple[float, float], shape_m: BaseGeometry) -> str:
    """Say in which of eight directions the nearest point of a line or area lies from a place."""
    return direction_words(point_m, foot_on(point_m, shape_m).at_m)


def metres_words(distance_m: float) -> str:
    """Give a distance in words, in tenths of a metre below ten."""
    return f"{distance_m:.1f} m" if distance_m < 10.0 else f"{distance_m:,.0f} m"
