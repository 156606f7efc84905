"""Tests that GeoJSON is as RFC 7946 wants it, and that other readers find in it what was put in."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pyogrio
import pytest
import shapely

from sitebook.outgo.geojson import geojson
from sitebook.records.results.going_out import Feature
from tests.outgo import sample_features as sample


def _read(*features: Feature) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(geojson(features))
    return found


def test_a_collection_holds_each_record_once() -> None:
    found = _read(*sample.FEATURES)
    assert found["type"] == "FeatureCollection"
    assert [f["id"] for f in found["features"]] == [f.uuid for f in sample.FEATURES]
    assert all(set(f) == {"type", "id", "geometry", "properties"} for f in found["features"])
    assert found["features"][3]["properties"]["found_at"] == "2025-09-14T12:00:00Z"
    assert found["features"][4]["geometry"] is None


@pytest.mark.source(
    item="",
    what="outer rings run against the clock; no crs; longitude first; bbox west, south, east, north",
    value="sections 3.1.6, 4, 3.1.1, 5",
    source="RFC 7946",
    mark="memory",
)
def test_the_rules_of_the_standard() -> None:
    found = _read(sample.SITE)
    outer, inner = found["features"][0]["geometry"]["coordinates"]
    assert shapely.is_ccw(shapely.LinearRing(outer))
    assert not shapely.is_ccw(shapely.LinearRing(inner))
    assert "crs" not in found
    assert outer[0] == outer[-1]
    assert -20 < outer[0][0] < -19
    assert found["bbox"] == [-19.40, 48.60, -19.39, 48.61]


def test_seven_decimals_are_kept() -> None:
    assert _read(sample.FIND)["features"][0]["geometry"]["coordinates"] == [-19.3951235, 48.6051235]


def test_bounds_run_over_the_seam_where_a_shape_does() -> None:
    over = Feature(
        "site", sample.key(9), "x", shapely.Polygon([(179, 0), (-179, 0), (-179, 1), (179, 1)]), {}
    )
    found = _read(over, Feature("find", sample.key(8), "y", shapely.Point(-178.5, 0.5), {}))
    assert found["bbox"] == [179.0, 0.0, -178.5, 1.0]
    assert found["features"][0]["geometry"]["type"] == "MultiPolygon"


def test_a_book_without_places_has_no_bounds() -> None:
    assert "bbox" not in _read(sample.AT_ITS_SITE)


def test_the_file_says_that_it_is_private() -> None:
    assert "keep this file to yourself" in _read(sample.FIND)["note"]


def test_gdal_reads_the_same_places(tmp_path: Path) -> None:
    path = tmp_path / "places.geojson"
    path.write_bytes(geojson(sample.FEATURES))
    meta, _, shapes, _ = pyogrio.raw.read(path)
    assert meta["crs"] == "EPSG:4326"
    read = shapely.from_wkb(shapes)
    for shape, feature in zip(read, sample.FEATURES, strict=True):
        if feature.geometry is None:
            assert shape is None
        else:
            assert shapely.hausdorff_distance(shape, feature.geometry) < 1e-7
            assert shapely.equals(
                shapely.set_precision(shape, 1e-7), shapely.set_precision(feature.geometry, 1e-7)
            )
