"""Gives the ground a site covers, in metres."""

from __future__ import annotations

from shapely.geometry.base import BaseGeometry

from sitebook.ground.projection import LocalMetres
from sitebook.records.site import Site


def outline_m(site: Site, sheet: LocalMetres) -> BaseGeometry:
    """Give a site's outline in metres: as drawn, or the circle round its point."""
    shape = sheet.shape_to_metres(site.geom)
    return shape.buffer(site.radius_m) if site.radius_m is not None else shape
