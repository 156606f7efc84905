"""Tests that points stand for a place: its middle, its corners, and its edge without gaps."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from pyproj import Geod

from sitebook.ground.sampling import CIRCLE_POINTS, MOST_POINTS, SPACING_M, points_of

GEOD = Geod(ellps="WGS84")
LON, LAT = -19.4, 48.6
POND = shapely.Polygon([(-19.4, 48.6), (-19.399, 48.6), (-19.399, 48.601), (-19.4, 48.601)])
RING = shapely.Polygon(
    [(-19.4, 48.6), (-19.39, 48.6), (-19.39, 48.61), (-19.4, 48.61)],
    [[(-19.399, 48.601), (-19.391, 48.601), (-19.391, 48.609), (-19.399, 48.609)]],
)


def _away_m(points: NDArray[np.float64], lon: float, lat: float) -> NDArray[np.float64]:
    n = len(points)
    _, _, away = GEOD.inv(np.full(n, lon), np.full(n, lat), points[:, 0], points[:, 1])
    return np.asarray(away)


@pytest.mark.source(
    item="",
    what="distance of the edge points of a circle from its middle",
    value="the radius, to one part in a thousand",
    source="geodesics of GeographicLib, through pyproj",
    mark="computed",
)
@given(st.floats(-179, 179), st.floats(-75, 75), st.floats(1, 500))
def test_a_circle_gives_its_middle_and_its_edge(lon: float, lat: float, radius_m: float) -> None:
    points = points_of(shapely.Point(lon, lat), radius_m)
    away_m = np.sort(_away_m(points, lon, lat))
    assert points.shape == (CIRCLE_POINTS + 1, 2)
    assert away_m[0] == pytest.approx(0, abs=1e-3)  # PROJ takes a latitude under 6e-9 degrees for 0
    assert away_m[1:] == pytest.approx(radius_m, rel=1e-3)


def _holds(points: NDArray[np.float64], corner: tuple[float, ...]) -> bool:
    return bool((np.abs(points - np.array(corner[:2])).max(axis=1) < 1e-9).any())


@pytest.mark.parametrize("shape", [POND, RING, shapely.MultiPolygon([POND])])
def test_an_outline_gives_every_corner_and_a_point_inside(shape: shapely.Polygon) -> None:
    points = points_of(shape, None)
    assert all(_holds(points, corner) for corner in shapely.get_coordinates(shape))
    middle = shapely.point_on_surface(shape)
    assert _holds(points, (middle.x, middle.y))
    assert shape.contains(middle)


def test_a_short_edge_has_no_gap() -> None:
    along = shapely.MultiPoint(points_of(POND, None))
    ring = POND.exterior
    for share in np.linspace(0, 1, 400):
        place = ring.interpolate(share, normalized=True)
        nearest = shapely.get_coordinates(shapely.shortest_line(place, along))
        assert _away_m(nearest[1:], place.x, place.y)[0] <= SPACING_M.value / 2 + 0.1


def test_a_long_edge_is_sampled_more_coarsely() -> None:
    island = shapely.Point(LON, LAT).buffer(0.2)
    corners = len(island.exterior.coords)
    assert len(points_of(island, None)) <= MOST_POINTS + 2 * corners + 1


def test_a_point_without_reach_is_itself() -> None:
    assert points_of(shapely.Point(LON, LAT), None) == pytest.approx(np.array([[LON, LAT]]))


def test_a_line_gives_its_ends() -> None:
    line = shapely.LineString([(LON, LAT), (LON + 0.001, LAT)])
    points = points_of(line, None)
    assert all(_holds(points, end) for end in line.coords)
