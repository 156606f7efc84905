"""Tests of which places the map data cover and where the map ends."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from pyproj import Geod

from sitebook.analysis.contamination.coverage import coverage_of
from sitebook.ground.projection import LocalMetres

GLOBE = Geod(ellps="WGS84")


def _move(lon: float, lat: float, bearing: float, distance_m: float) -> tuple[float, float]:
    there = GLOBE.fwd(lon, lat, bearing, distance_m)
    return float(there[0]), float(there[1])


@pytest.mark.source(
    item="",
    what="distance from a place to the edge of the map, to the north",
    value="120 m by construction with geodesics",
    source="pyproj.Geod",
    mark="computed",
)
@pytest.mark.parametrize(("lon", "lat"), [(-19.4, 48.6), (24.9, 60.2), (19.0, 70.1), (-179.98, 10.0)])
def test_the_map_ends_to_the_north(lon: float, lat: float) -> None:
    edge = _move(lon, lat, 0.0, 120.0)[1]
    box = shapely.box(lon - 1.0, lat - 1.0, lon + 1.0, edge)
    found = coverage_of([[lon, lat]], [box], LocalMetres(lon, lat), 1000.0)
    assert found.inside.all()
    assert found.end is not None
    assert found.end.direction == "north"
    assert found.end.distance_m == pytest.approx(120.0, abs=0.6)


def test_an_edge_beyond_the_reach_is_no_end() -> None:
    lon, lat = -19.4, 48.6
    box = shapely.box(_move(lon, lat, 270, 1005.0)[0], lat - 1, lon + 1, lat + 1)
    assert coverage_of([[lon, lat]], [box], LocalMetres(lon, lat), 1000.0).end is None
    assert coverage_of([[lon, lat]], [box], LocalMetres(lon, lat), 1010.0).end is not None


def test_two_extracts_side_by_side_are_one_ground() -> None:
    west, east = shapely.box(-20.0, 48.0, -19.4, 49.0), shapely.box(-19.4, 48.0, -19.0, 49.0)
    place, frame = [[-19.4001, 48.6]], LocalMetres(-19.4001, 48.6)
    assert coverage_of(place, [west, east], frame, 1000.0).end is None
    ended = coverage_of(place, [west], frame, 1000.0).end
    assert ended is not None
    assert ended.direction == "east"


def test_ground_that_crosses_the_seam() -> None:
    ground = shapely.union_all([shapely.box(179.0, -17, 180, -16), shapely.box(-180, -17, -179, -16)])
    for lon in (179.9999, -179.9999):
        found = coverage_of([[lon, -16.5]], [ground], LocalMetres(lon, -16.5), 1000.0)
        assert found.inside.all()
        assert found.end is None


def test_places_outside_and_no_extract_at_all() -> None:
    frame = LocalMetres(-19.4, 48.6)
    box = shapely.box(-19.5, 48.5, -19.4, 48.7)
    found = coverage_of([[-19.401, 48.6], [-19.399, 48.6]], [box], frame, 1000.0)
    assert found.inside.tolist() == [True, False]
    nothing = coverage_of([[-19.4, 48.6]], [], frame, 1000.0)
    assert not nothing.inside.any()
    assert nothing.end is None


def test_a_twisted_outline_is_mended() -> None:
    twisted = shapely.Polygon([(-19.5, 48.5), (-19.3, 48.7), (-19.3, 48.5), (-19.5, 48.7)])
    found = coverage_of([[-19.45, 48.6]], [twisted], LocalMetres(-19.45, 48.6), 1000.0)
    assert np.array_equal(found.inside, [True])
