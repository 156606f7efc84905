"""Fits a piece of ground onto a drawing: which place lies where, and how large."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray
from shapely.geometry.base import BaseGeometry

from sitebook.ground.projection import LocalMetres, Window, centre_of, windows_round

Floats = NDArray[np.float64]

BEYOND = 6.0
"""How far a shape is kept beyond the rim, so that no cut edge shows [drawing units]."""


@dataclass(frozen=True)
class Sheet:
    """A drawing of a piece of ground, north up.

    Parameters
    ----------
    metres
        The flat sheet of metres it lies on.
    middle_m
        Its middle, east and north on that sheet [m].
    units_per_m
        Drawing units to the metre.
    wide, high
        Its size in drawing units.
    """

    metres: LocalMetres
    middle_m: tuple[float, float]
    units_per_m: float
    wide: float
    high: float

    def places(self, lonlat: ArrayLike) -> Floats:
        """Turn positions (n, 2) in degrees into places on the drawing (n, 2)."""
        east_north = self.metres.to_metres(lonlat) - np.asarray(self.middle_m)
        turned = east_north * np.array([self.units_per_m, -self.units_per_m])
        on_sheet: Floats = turned + np.array([self.wide / 2.0, self.high / 2.0])
        return on_sheet

    def place(self, lon: float, lat: float) -> tuple[float, float]:
        """Turn one position in degrees into a place on the drawing."""
        ((x, y),) = self.places([(lon, lat)]).tolist()
        return x, y

    def drawn(self, shapes: Sequence[BaseGeometry]) -> NDArray[np.object_]:
        """Turn shapes in degrees into drawing units, cut to the drawing; those outside become empty."""
        flat = shapely.force_2d(np.array([None, *shapes], dtype=object)[1:])
        units = np.asarray(shapely.transform(flat, self.places), dtype=object)
        mended = np.where(shapely.is_valid(units), units, shapely.make_valid(units))
        edges = (-BEYOND, -BEYOND, self.wide + BEYOND, self.high + BEYOND)
        return np.asarray(shapely.intersection(mended, shapely.box(*edges)), dtype=object)

    def holds(self, x: float, y: float) -> bool:
        """Tell whether a place lies on the drawing."""
        return 0.0 <= x <= self.wide and 0.0 <= y <= self.high

    @property
    def windows(self) -> tuple[Window, ...]:
        """The ground it shows, WGS 84: one rectangle, or two at the 180th meridian."""
        half = np.array([self.wide, self.high]) / self.units_per_m / 2.0
        corners = np.array([(-1.0, -1.0), (-1.0, 1.0), (1.0, -1.0), (1.0, 1.0)]) * half
        return windows_round(self.metres.to_degrees(corners + np.asarray(self.middle_m)), 0.0)


def sheet_round(
    lonlat: ArrayLike, *, wide: float, high: tuple[float, float], edge: float, least_m: float
) -> Sheet:
    """Fit some positions onto a drawing, as large as they go.

    Parameters
    ----------
    lonlat
        Positions (n, 2) that must be on it, WGS 84 [deg].
    wide
        Its width [drawing units].
    high
        Its least and its largest height; the ground decides between them.
    edge
        Room left round the positions [drawing units].
    least_m
        Ground it shows across at least [m].
    """
    metres = LocalMetres(*centre_of(lonlat))
    spots = metres.to_metres(lonlat)
    low, top = spots.min(axis=0), spots.max(axis=0)
    span = np.maximum(top - low, 1e-6)
    fits = min((wide - 2.0 * edge) / float(span[0]), (high[1] - 2.0 * edge) / float(span[1]))
    units_per_m = min(fits, wide / least_m)
    tall = min(max(float(span[1]) * units_per_m + 2.0 * edge, high[0]), high[1])
    middle = (low + top) / 2.0
    return Sheet(metres, (float(middle[0]), float(middle[1])), units_per_m, wide, round(tall))
