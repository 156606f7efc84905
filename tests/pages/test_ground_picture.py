"""The ground of a small map: what is drawn of it, and what is left away on a small scale."""

from __future__ import annotations

import pyproj
import pytest
import shapely

from sitebook.pages.ground_picture import ground_picture
from sitebook.pages.sheet import sheet_round
from sitebook.records.results.map_view import GroundMap, GroundShape
from tests.pages.sample_town import at, line, town


@pytest.mark.source(
    item="",
    what="distance of two places on the drawing, in metres",
    value="that of the geodesic within 1 part in 10,000",
    source="pyproj.Geod, Karney's geodesics on WGS 84",
    mark="computed",
)
def test_distances_on_the_sheet_are_true() -> None:
    one, other = at(-1400, 610), at(1250, 560)
    sheet = sheet_round([one, other], wide=640.0, high=(300.0, 600.0), edge=40.0, least_m=100.0)
    (x0, y0), (x1, y1) = sheet.places([one, other]).tolist()
    _, _, metres = pyproj.Geod(ellps="WGS84").inv(*one, *other)
    assert ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5 / sheet.units_per_m == pytest.approx(metres, rel=1e-4)
    assert (x0, x1) == (pytest.approx(40.0), pytest.approx(600.0))


def test_windows_hold_the_sheet_and_cross_the_180th_meridian() -> None:
    sheet = sheet_round(
        [(179.99, 10.0), (-179.99, 10.0)], wide=400.0, high=(300.0, 300.0), edge=20.0, least_m=9.0
    )
    west, east = sorted(sheet.windows)[::-1]
    assert west.east == 180.0
    assert east.west == -180.0
    assert west.west < 179.99
    assert east.east > -179.99


def test_the_town_is_drawn_in_layers() -> None:
    sheet = sheet_round(
        [at(-900, -300), at(900, 900)], wide=640.0, high=(300.0, 600.0), edge=40.0, least_m=100.0
    )
    picture = ground_picture(town(), sheet)
    assert {"land", "water", "wood", "main", "street", "lane", "path"} <= picture.layers
    assert not picture.is_uncovered
    assert picture.svg.index("map-wood") < picture.svg.index("map-water") < picture.svg.index("way path")
    assert {name for name, _ in picture.names} >= {"Through Road", "Net Lane"}


def test_paths_far_from_the_route_are_left_away_on_a_small_scale() -> None:
    near, away = line((0, 0), (500, 400)), line((9000, 9000), (9500, 9400))
    ground = GroundMap(ways=(GroundShape("path", "Near", near), GroundShape("path", "Away", away)))
    sheet = sheet_round(
        [at(0, 0), at(12000, 10000)], wide=640.0, high=(300.0, 600.0), edge=40.0, least_m=100.0
    )
    route = shapely.LineString(sheet.places([at(0, 0), at(400, 300)]))
    picture = ground_picture(ground, sheet, route)
    assert [name for name, _ in picture.names] == ["Near"]
    assert picture.is_sparse
    assert picture.is_uncovered
    assert not ground_picture(ground, sheet).is_sparse
