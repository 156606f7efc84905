"""Gives the way between two positions over the globe."""

from __future__ import annotations

import math

from sitebook.ground.projection import EARTH_RADIUS_M


def apart_m(lon: float, lat: float, other_lon: float, other_lat: float) -> float:
    """Give the great-circle distance of two positions [m] on a globe of mean radius."""
    half = (
        math.sin(math.radians(other_lat - lat) / 2) ** 2
        + math.cos(math.radians(lat))
        * math.cos(math.radians(other_lat))
        * math.sin(math.radians(other_lon - lon) / 2) ** 2
    )
    return 2 * EARTH_RADIUS_M.value * math.asin(min(1.0, math.sqrt(half)))
