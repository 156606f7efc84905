"""Says which places the map data cover and how soon the map ends round them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray
from shapely.geometry.base import BaseGeometry

from sitebook.ground.distance import direction_words, foot_on
from sitebook.ground.projection import LocalMetres, cut_round

EDGE_STEP_DEG = 0.01
"""Longest edge of covered ground before it is turned into metres; its bow is then under 1 m."""


@dataclass(frozen=True)
class MapEnd:
    """Where the map ends nearest to some places.

    Parameters
    ----------
    distance_m
        How far from the nearest of them [m].
    direction
        In which of eight directions.
    """

    distance_m: float
    direction: str


@dataclass(frozen=True)
class Coverage:
    """What the map data cover of some places.

    Parameters
    ----------
    inside
        For each place whether it lies on covered ground (n,).
    end
        Where the map ends within the reach; None where it goes on beyond it.
    """

    inside: NDArray[np.bool_]
    end: MapEnd | None


def coverage_of(
    lonlat: ArrayLike, covered: Sequence[BaseGeometry], frame: LocalMetres, reach_m: float
) -> Coverage:
    """Look at the ground that extracts cover round some places.

    Parameters
    ----------
    lonlat
        Places (n, 2), WGS 84 [deg].
    covered
        Ground covered by each extract, WGS 84 [deg]; they may overlap.
    frame
        Metres round the places.
    reach_m
        How far the map ought to go on beyond each place [m].
    """
    places = frame.to_metres(lonlat)
    ground = _ground_m(places, covered, frame, reach_m)
    shapely.prepare(ground)
    inside = np.asarray(shapely.intersects_xy(ground, places[:, 0], places[:, 1]), dtype=np.bool_)
    return Coverage(inside, _end(places[inside], ground, reach_m))


def _ground_m(
    places: NDArray[np.float64], covered: Sequence[BaseGeometry], frame: LocalMetres, reach_m: float
) -> BaseGeometry:
    """Cut the covered ground to twice the reach, so that the cuts themselves lie beyond the reach."""
    spread = float(np.abs(places).max()) + 2.0 * reach_m
    corners = frame.to_degrees([[x * spread, y * spread] for x in (-1, 0, 1) for y in (-1, 0, 1)])
    across = float(np.abs((corners[:, 0] - frame.lon + 180.0) % 360.0 - 180.0).max())
    south, north = float(corners[:, 1].min()), float(corners[:, 1].max())
    sound = [shape if shape.is_valid else shapely.make_valid(shape) for shape in covered]
    cut = [cut_round(shape, frame.lon, across, south, north) for shape in sound]
    areas = [part for shape in cut for part in shapely.get_parts(shape) if part.geom_type == "Polygon"]
    whole = shapely.union_all(areas)
    return frame.shape_to_metres(shapely.segmentize(whole, EDGE_STEP_DEG))


def _end(places: NDArray[np.float64], ground: BaseGeometry, reach_m: float) -> MapEnd | None:
    if not len(places) or ground.boundary.is_empty:
        return None
    pairs = [(float(x), float(y)) for x, y in places]
    feet = [foot_on(pair, ground.boundary) for pair in pairs]
    number = int(np.argmin([foot.distance_m for foot in feet]))
    if feet[number].distance_m >= reach_m:
        return None
    return MapEnd(feet[number].distance_m, direction_words(pairs[number], feet[number].at_m))
