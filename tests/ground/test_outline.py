"""Tests that the ground of a site is as drawn, or the circle round its point."""

from __future__ import annotations

import math

import pytest
import shapely
from pyproj import Geod

from sitebook.ground.outline import circle, ground_of
from sitebook.records.site import Site
from tests.work import books


def _site(shape: shapely.geometry.base.BaseGeometry, radius_m: float | None) -> Site:
    return Site(
        uuid="1", created_at=books.NOW, changed_at=books.NOW, name="Mill Park", geom=shape, radius_m=radius_m
    )


@pytest.mark.source(
    item="",
    what="area of the ground within 60 m of 48.6 N 19.4 W",
    value="pi 60^2 m2, within 0.5 %",
    source="geodesic area by GeographicLib (pyproj.Geod)",
    mark="computed",
)
def test_a_circle_has_the_area_of_one_on_the_ellipsoid() -> None:
    area_m2, _ = Geod(ellps="WGS84").geometry_area_perimeter(circle(-19.4, 48.6, 60.0))
    assert abs(area_m2) == pytest.approx(math.pi * 60.0**2, rel=0.005)


def test_the_ground_of_a_site_is_its_outline_or_its_circle() -> None:
    square = shapely.box(-19.41, 48.6, -19.40, 48.61)
    assert ground_of(_site(square, None)) is square
    round_one = ground_of(_site(shapely.Point(-19.4, 48.6), 60.0))
    assert round_one.equals(circle(-19.4, 48.6, 60.0))
