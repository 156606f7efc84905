"""Turns longitude and latitude into metres round one place, and back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray
from pyproj import CRS, Transformer
from shapely import affinity
from shapely.geometry.base import BaseGeometry

from sitebook.citations import Cited
from sitebook.errors import PositionImpossible

Floats = NDArray[np.float64]

EARTH_RADIUS_M = Cited(6371008.8, "m", "moritz2000", "memory", "mean radius")

HOLDS_TO_M = Cited(100_000.0, "m", "ours", "our choice")
"""Farther from the centre than this, a distance is off by more than one part in 24,000."""


class Window(NamedTuple):
    """A rectangle of ground, WGS 84 [deg]; west is never above east."""

    west: float
    south: float
    east: float
    north: float


@dataclass(frozen=True)
class LocalMetres:
    """A flat sheet of metres that touches the globe at one place.

    The projection is azimuthal equidistant on WGS 84: distances and directions from the centre are
    true, and other distances are at most `scale_error` too long. It knows no seam at 180 degrees and
    no trouble at high latitudes. x runs east, y north.

    Parameters
    ----------
    lon, lat
        The place it touches, WGS 84 [deg].
    """

    lon: float
    lat: float

    def __post_init__(self) -> None:
        refuse_impossible(self.lon, self.lat)

    @property
    def crs(self) -> CRS:
        """The projection as other programs know it."""
        return _crs(self.lon, self.lat)

    def to_metres(self, lonlat: ArrayLike) -> Floats:
        """Turn positions (n, 2) in degrees into metres (n, 2) east and north of the centre."""
        places = np.asarray(lonlat, dtype=np.float64).reshape(-1, 2)
        east, north = _forward(self.lon, self.lat).transform(places[:, 0], places[:, 1])
        return np.column_stack([np.asarray(east), np.asarray(north)])

    def to_degrees(self, metres: ArrayLike) -> Floats:
        """Turn metres (n, 2) into positions (n, 2) in degrees, longitude from -180 to 180."""
        places = np.asarray(metres, dtype=np.float64).reshape(-1, 2)
        lon, lat = _back(self.lon, self.lat).transform(places[:, 0], places[:, 1])
        return np.column_stack([np.asarray(lon), np.asarray(lat)])

    def lines_to_metres(self, lines: Sequence[BaseGeometry]) -> list[Floats]:
        """Turn the vertices of lines in degrees into metres, one array (k, 2) a line."""
        vertices, owner = shapely.get_coordinates(list(lines), return_index=True)
        ends = np.cumsum(np.bincount(owner, minlength=len(lines)))
        return np.split(self.to_metres(vertices), ends[:-1]) if len(lines) else []

    def shape_to_metres(self, shape: BaseGeometry) -> BaseGeometry:
        """Turn a shape in degrees into metres, vertex by vertex."""
        return shapely.transform(shapely.force_2d(shape), self.to_metres)


def scale_error(distance_m: float) -> float:
    """Say by what share a length may come out too long at a distance from the centre.

    On a sphere the projection stretches lengths across the line of sight by (r/R) / sin(r/R).
    """
    angle = distance_m / EARTH_RADIUS_M.value
    return float(angle / np.sin(angle) - 1.0) if angle > 1e-4 else angle * angle / 6.0


def refuse_impossible(lon: float, lat: float) -> None:
    """Raise PositionImpossible for a position that is not on the globe."""
    if not (-180.0 <= lon <= 180.0 and -90.0 <= lat <= 90.0):
        raise PositionImpossible(
            f"longitude {lon:g}, latitude {lat:g} is not a place on the globe",
            remedy="Longitude runs from -180 to 180, latitude from -90 to 90, longitude first.",
        )


def centre_of(lonlat: ArrayLike) -> tuple[float, float]:
    """Give the middle of some positions (n, 2) [deg], also across 180 degrees of longitude."""
    lon, lat = np.radians(np.asarray(lonlat, dtype=np.float64).reshape(-1, 2)).T
    x, y, z = (float(v.mean()) for v in (np.cos(lat) * np.cos(lon), np.cos(lat) * np.sin(lon), np.sin(lat)))
    middle = float(np.degrees(np.arctan2(y, x))), float(np.degrees(np.arctan2(z, np.hypot(x, y))))
    return middle[0], min(max(middle[1], -90.0), 90.0)


def windows_round(lonlat: ArrayLike, reach_m: float) -> tuple[Window, ...]:
    """Give the rectangles that hold all ground within a reach of some positions.

    Parameters
    ----------
    lonlat
        Positions (n, 2), WGS 84 [deg].
    reach_m
        How far from each [m].

    Returns
    -------
    tuple of Window
        One rectangle, or two where the ground crosses 180 degrees of longitude.
    """
    places = np.asarray(lonlat, dtype=np.float64).reshape(-1, 2)
    middle = centre_of(places)[0]
    offsets = (places[:, 0] - middle + 180.0) % 360.0 - 180.0
    angle = float(np.degrees(1.01 * reach_m / EARTH_RADIUS_M.value))
    south = max(float(places[:, 1].min()) - angle, -90.0)
    north = min(float(places[:, 1].max()) + angle, 90.0)
    shrink = np.cos(np.radians(max(abs(south), abs(north))))
    across = float(angle / shrink) if shrink > 1e-9 else 360.0
    west, east = middle + float(offsets.min()) - across, middle + float(offsets.max()) + across
    if east - west >= 360.0:
        return (Window(-180.0, south, 180.0, north),)
    return _cut_at_seam(west, south, east, north)


def cut_round(shape: BaseGeometry, lon: float, reach_deg: float, south: float, north: float) -> BaseGeometry:
    """Cut a shape to a band of longitudes round one, with the part beyond the seam moved beside it.

    Parameters
    ----------
    shape
        The shape, WGS 84 [deg]; one that crosses 180 degrees is split there.
    lon
        Longitude in the middle [deg].
    reach_deg
        How far east and west of it [deg].
    south, north
        Ends in latitude [deg].

    Returns
    -------
    shapely geometry
        The cut shape; its longitudes may run past 180 degrees.
    """
    turns = (-360.0, 0.0, 360.0)
    parts = [
        shapely.clip_by_rect(
            affinity.translate(shape, xoff=turn), lon - reach_deg, south, lon + reach_deg, north
        )
        for turn in turns
    ]
    return shapely.union_all([part for part in parts if not part.is_empty])


def _cut_at_seam(west: float, south: float, east: float, north: float) -> tuple[Window, ...]:
    if west < -180.0:
        return Window(west + 360.0, south, 180.0, north), Window(-180.0, south, east, north)
    if east > 180.0:
        return Window(west, south, 180.0, north), Window(-180.0, south, east - 360.0, north)
    return (Window(west, south, east, north),)


@lru_cache(maxsize=256)
def _crs(lon: float, lat: float) -> CRS:
    return CRS.from_proj4(f"+proj=aeqd +lat_0={lat!r} +lon_0={lon!r} +datum=WGS84 +units=m +no_defs")


@lru_cache(maxsize=256)
def _forward(lon: float, lat: float) -> Transformer:
    return Transformer.from_crs("OGC:CRS84", _crs(lon, lat), always_xy=True)


@lru_cache(maxsize=256)
def _back(lon: float, lat: float) -> Transformer:
    return Transformer.from_crs(_crs(lon, lat), "OGC:CRS84", always_xy=True)
