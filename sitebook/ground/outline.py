"""Gives the ground a site covers, in metres and in degrees."""

from __future__ import annotations

import shapely
from shapely.geometry.base import BaseGeometry

from sitebook.ground.projection import LocalMetres
from sitebook.records.site import Site


def outline_m(site: Site, sheet: LocalMetres) -> BaseGeometry:
    """Give a site's outline in metres: as drawn, or the circle round its point."""
    shape = sheet.shape_to_metres(site.geom)
    return shape.buffer(site.radius_m) if site.radius_m is not None else shape


def ground_of(site: Site) -> BaseGeometry:
    """Give a site's ground, WGS 84: as drawn, or the circle round its point."""
    if site.radius_m is None:
        return site.geom
    return circle(site.geom.centroid.x, site.geom.centroid.y, site.radius_m)


def circle(lon: float, lat: float, radius_m: float) -> BaseGeometry:
    """Give the ground round a place, WGS 84, as a polygon.

    Parameters
    ----------
    lon, lat
        Its middle [deg].
    radius_m
        How far it reaches [m].
    """
    ring = shapely.Point(0.0, 0.0).buffer(radius_m)
    return shapely.transform(ring, LocalMetres(lon, lat).to_degrees)
