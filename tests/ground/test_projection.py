"""Tests of the metres round a place."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from pyproj import Geod

from sitebook.errors import PositionImpossible
from sitebook.ground.projection import (
    HOLDS_TO_M,
    LocalMetres,
    centre_of,
    cut_round,
    scale_error,
    windows_round,
)

GLOBE = Geod(ellps="WGS84")
PLACES = [
    (-19.4, 48.6),
    (24.94, 60.17),
    (179.999, -16.5),
    (-180.0, 66.0),
    (18.96, 70.2),
    (0.0, 0.0),
    (15.6, 78.2),
]


@pytest.mark.source(
    item="",
    what="distances up to 20 km from the centre, from the equator to 78 N, across 180 degrees",
    value="geodesics on WGS 84, within the stated error",
    source="GeographicLib's algorithms in PROJ, pyproj.Geod",
    mark="computed",
)
@pytest.mark.parametrize("centre", PLACES)
def test_distances_agree_with_geodesics(centre: tuple[float, float]) -> None:
    chance = np.random.default_rng(4)
    bearings, ranges = chance.uniform(0, 360, (2, 30)), chance.uniform(10, 20_000, (2, 30))
    ends = [
        np.column_stack(GLOBE.fwd(np.full(30, centre[0]), np.full(30, centre[1]), b, r)[:2])
        for b, r in zip(bearings, ranges, strict=True)
    ]
    true = GLOBE.inv(ends[0][:, 0], ends[0][:, 1], ends[1][:, 0], ends[1][:, 1])[2]
    frame = LocalMetres(*centre)
    flat = np.hypot(*(frame.to_metres(ends[0]) - frame.to_metres(ends[1])).T)
    assert_allclose(flat, true, rtol=1.05 * scale_error(20_000.0))
    assert_allclose(np.hypot(*frame.to_metres(ends[0]).T), ranges[0], rtol=1e-9)


@pytest.mark.parametrize("centre", PLACES)
def test_there_and_back(centre: tuple[float, float]) -> None:
    frame = LocalMetres(*centre)
    metres = np.array([[0.0, 0.0], [1234.5, -987.6], [-20_000.0, 15_000.0]])
    assert_allclose(frame.to_metres(frame.to_degrees(metres)), metres, atol=1e-6)
    assert np.all(np.abs(frame.to_degrees(metres)[:, 0]) <= 180.0)


def test_east_and_north_are_where_they_should_be() -> None:
    east, north = LocalMetres(-19.4, 48.6).to_metres([[-19.399, 48.6], [-19.4, 48.601]])
    assert east[0] > 0.0
    assert abs(east[1]) < 0.01
    assert north[1] > 0.0
    assert abs(north[0]) < 1e-6


def test_the_stated_error_is_small_where_the_projection_is_used() -> None:
    assert scale_error(0.0) == 0.0
    assert scale_error(5_000.0) < 2e-7
    assert scale_error(HOLDS_TO_M.value) < 1 / 24_000
    assert scale_error(637.0) == pytest.approx(scale_error(638.0), rel=0.01)


@pytest.mark.parametrize(("lon", "lat"), [(181, 0), (0, 90.5), (float("nan"), 0), (0, float("inf"))])
def test_a_position_off_the_globe_is_refused(lon: float, lat: float) -> None:
    with pytest.raises(PositionImpossible, match="not a place on the globe"):
        LocalMetres(lon, lat)


def test_the_crs_is_known_to_other_programs() -> None:
    crs = LocalMetres(-19.4, 48.6).crs
    assert crs.is_projected
    assert crs.axis_info[0].unit_name == "metre"


def test_lines_come_out_one_by_one() -> None:
    frame = LocalMetres(0.0, 0.0)
    lines = [shapely.LineString([(0, 0), (0.01, 0)]), shapely.LineString([(0, 0), (0, 0.01), (0.01, 0.01)])]
    assert [line.shape for line in frame.lines_to_metres(lines)] == [(2, 2), (3, 2)]
    assert frame.lines_to_metres([]) == []


def test_the_middle_of_places_across_the_seam() -> None:
    lon, lat = centre_of([[179.9, 10.0], [-179.7, 10.0]])
    assert lon == pytest.approx(-179.9, abs=1e-6)
    assert lat == pytest.approx(10.0, abs=1e-4)


@given(st.floats(-180, 180), st.floats(-85, 85), st.floats(0, 360), st.floats(0, 1330))
def test_the_windows_hold_everything_in_reach(
    lon: float, lat: float, bearing: float, distance: float
) -> None:
    there = GLOBE.fwd(lon, lat, bearing, distance)
    windows = windows_round([[lon, lat]], 1330.0)
    assert len(windows) <= 2
    assert all(w.west <= w.east and w.south <= w.north for w in windows)
    assert any(w.west <= there[0] <= w.east and w.south <= there[1] <= w.north for w in windows)


def test_at_the_pole_the_window_goes_all_round() -> None:
    assert windows_round([[30.0, 90.0]], 1000.0)[0][::2] == (-180.0, 180.0)


def test_a_shape_split_at_the_seam_is_joined() -> None:
    halves = shapely.union_all([shapely.box(179.5, 0, 180, 1), shapely.box(-180, 0, -179.5, 1)])
    joined = cut_round(halves, 180.0, 0.2, 0.0, 1.0)
    assert joined.geom_type == "Polygon"
    assert joined.bounds == pytest.approx((179.8, 0.0, 180.2, 1.0))
