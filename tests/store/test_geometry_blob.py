"""Tests that a geometry comes back from its blob as it went in, and that other programs write the same."""

from __future__ import annotations

import sqlite3
import struct
from contextlib import closing
from pathlib import Path

import numpy as np
import pyogrio
import pytest
import shapely
from hypothesis import example, given
from hypothesis import strategies as st
from shapely.geometry.base import BaseGeometry

from sitebook.store import geometry_blob

LON = st.floats(-180, 180, allow_nan=False, width=64)
LAT = st.floats(-90, 90, allow_nan=False, width=64)
PLACE = st.tuples(LON, LAT)
EMPTY = [
    "POINT EMPTY",
    "LINESTRING EMPTY",
    "POLYGON EMPTY",
    "MULTIPOINT EMPTY",
    "MULTILINESTRING EMPTY",
    "MULTIPOLYGON EMPTY",
    "GEOMETRYCOLLECTION EMPTY",
]


def _boxed(one: tuple[float, float], side: float) -> BaseGeometry:
    return shapely.box(one[0], one[1], one[0] + side, one[1] + side)


def _holed(one: tuple[float, float], side: float) -> BaseGeometry:
    inner = shapely.box(one[0] + side / 4, one[1] + side / 4, one[0] + side / 2, one[1] + side / 2)
    return shapely.Polygon(_boxed(one, side).exterior, [inner.exterior.coords])  # type: ignore[attr-defined]


POINTS: st.SearchStrategy[BaseGeometry] = st.builds(shapely.Point, PLACE)
LINES: st.SearchStrategy[BaseGeometry] = st.builds(
    shapely.LineString, st.lists(PLACE, min_size=2, max_size=6)
)
AREAS: st.SearchStrategy[BaseGeometry] = st.one_of(
    st.builds(_boxed, PLACE, st.floats(0.001, 5)), st.builds(_holed, PLACE, st.floats(0.001, 5))
)
EMPTIES: st.SearchStrategy[BaseGeometry] = st.sampled_from(EMPTY).map(shapely.from_wkt)
SINGLE = st.one_of(POINTS, LINES, AREAS, EMPTIES)
MANY: st.SearchStrategy[BaseGeometry] = st.one_of(
    st.builds(shapely.MultiPoint, st.lists(POINTS, max_size=4)),
    st.builds(shapely.MultiLineString, st.lists(LINES, max_size=3)),
    st.builds(shapely.MultiPolygon, st.lists(AREAS, max_size=3)),
    st.builds(shapely.GeometryCollection, st.lists(SINGLE, max_size=4)),
)
ANY = st.one_of(SINGLE, MANY)


@given(ANY)
def test_a_geometry_comes_back_as_it_went_in(geometry: BaseGeometry) -> None:
    back = geometry_blob.decode(geometry_blob.encode(geometry))
    assert back.geom_type == geometry.geom_type
    assert shapely.equals_identical(back, geometry)


@given(ANY)
def test_bounds_are_those_of_the_geometry(geometry: BaseGeometry) -> None:
    blob = geometry_blob.encode(geometry)
    assert geometry_blob.is_empty(blob) == geometry.is_empty
    found = geometry_blob.bounds(blob)
    if geometry.is_empty:
        assert found is None
    else:
        min_x, min_y, max_x, max_y = geometry.bounds
        assert found == (min_x, max_x, min_y, max_y)


@given(ANY)
def test_the_header_is_that_of_the_standard(geometry: BaseGeometry) -> None:
    blob = geometry_blob.encode(geometry)
    magic, version, flags, srs_id = struct.unpack("<2sBBi", blob[:8])
    assert (magic, version, srs_id) == (b"GP", 0, 4326)
    envelope = (flags >> 1) & 0b111
    assert envelope == (0 if geometry.is_empty or geometry.geom_type == "Point" else 1)
    assert flags & 1
    assert flags >> 5 == 0


@given(st.one_of(st.binary(max_size=80), st.binary(max_size=80).map(lambda tail: b"GP\0" + tail)))
@example(b"")
@example(b"GP")
@example(b"GP\0\x01\xe6\x10\0\0")
@example(b"GP\0\x0f" + bytes(80))
def test_other_bytes_are_refused_in_one_way(blob: bytes) -> None:
    try:
        geometry = geometry_blob.decode(blob)
    except ValueError:
        return
    assert isinstance(geometry, BaseGeometry)


@given(ANY, st.data())
def test_a_torn_blob_is_never_taken_for_the_whole(geometry: BaseGeometry, data: st.DataObject) -> None:
    blob = geometry_blob.encode(geometry)
    cut = data.draw(st.integers(0, len(blob) - 1))
    with pytest.raises(ValueError, match="blob"):
        geometry_blob.decode(blob[:cut])


@given(PLACE)
def test_a_blob_of_the_other_byte_order_is_read(place: tuple[float, float]) -> None:
    line = shapely.LineString([place, (0.0, 0.0)])
    min_x, min_y, max_x, max_y = line.bounds
    header = struct.pack(">2sBBi4d", b"GP", 0, 0b10, 4326, min_x, max_x, min_y, max_y)
    blob = header + bytes(shapely.to_wkb(line, byte_order=0))
    assert shapely.equals_identical(geometry_blob.decode(blob), line)
    assert geometry_blob.bounds(blob) == (min_x, max_x, min_y, max_y)


def _written_by_gdal(path: Path, geometries: list[BaseGeometry], kind: str) -> list[bytes]:
    pyogrio.raw.write(
        path,
        geometry=shapely.to_wkb(np.array(geometries, dtype=object)),
        field_data=[np.arange(len(geometries))],
        fields=np.array(["number"], dtype=object),
        layer="shapes",
        driver="GPKG",
        geometry_type=kind,
        crs="EPSG:4326",
    )
    with closing(sqlite3.connect(path)) as book:
        return [blob for (blob,) in book.execute("SELECT geom FROM shapes ORDER BY number")]


SAMPLES = {
    "Point": ["POINT (-19.4 48.6)", "POINT (0 0)", "POINT (-0.1234567890123 89.9)"],
    "LineString": ["LINESTRING (-19.4 48.6, -19.3 48.7, -19.2 48.5)"],
    "Polygon": [
        "POLYGON ((-19.4 48.6, -19.3 48.6, -19.3 48.7, -19.4 48.6))",
        "POLYGON ((0 0, 4 0, 4 4, 0 4, 0 0), (1 1, 2 1, 2 2, 1 2, 1 1))",
    ],
    "MultiPolygon": ["MULTIPOLYGON (((0 0, 1 0, 1 1, 0 0)), ((5 5, 6 5, 6 6, 5 5)))"],
}


@pytest.mark.source(
    item="",
    what="bytes of points, lines, polygons and multipolygons in a GeoPackage",
    value="the same to the last byte",
    source="GDAL's GeoPackage driver, through pyogrio",
    mark="computed",
)
@pytest.mark.parametrize("kind", list(SAMPLES))
def test_gdal_writes_the_same_bytes(kind: str, tmp_path: Path) -> None:
    geometries = [shapely.from_wkt(text) for text in SAMPLES[kind]]
    theirs = _written_by_gdal(tmp_path / "theirs.gpkg", geometries, kind)
    assert [geometry_blob.encode(geometry) for geometry in geometries] == theirs


@pytest.mark.parametrize("kind", list(SAMPLES))
def test_what_gdal_writes_is_read(kind: str, tmp_path: Path) -> None:
    geometries = [shapely.from_wkt(text) for text in SAMPLES[kind]]
    theirs = _written_by_gdal(tmp_path / "theirs.gpkg", geometries, kind)
    for geometry, blob in zip(geometries, theirs, strict=True):
        assert shapely.equals_identical(geometry_blob.decode(blob), geometry)
