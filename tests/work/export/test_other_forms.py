"""GeoJSON, GPX and SpatiaLite as readers who are not us take them."""

from __future__ import annotations

import json
from pathlib import Path

import pyogrio
import pytest
import shapely

from sitebook import errors
from sitebook.intake.gpx import read_gpx
from sitebook.records.find import Find
from sitebook.records.site import Site
from sitebook.store import rows
from sitebook.work import opened
from sitebook.work.export import export
from tests.conftest import Island


def written(island: Island, folder: Path, form: str) -> Path:
    to = folder / f"out.{form}"
    with opened(island.book) as book:
        export(book, form, to)
    return to


@pytest.mark.source(
    item="",
    what="GeoJSON: bounds first, rings against the clock, no reference system named, longitude first",
    value="RFC 7946 sections 3.1.6, 4, 5",
    source="RFC 7946",
    mark="memory",
)
def test_geojson_follows_the_standard(island: Island, tmp_path: Path) -> None:
    told = json.loads(written(island, tmp_path, "geojson").read_text(encoding="utf-8"))
    assert told["type"] == "FeatureCollection"
    assert "crs" not in told
    west, south, east, north = told["bbox"]
    assert west < -19.3 < 0 < south < north
    assert west <= east
    for feature in told["features"]:
        shape = shapely.from_geojson(json.dumps(feature["geometry"])) if feature["geometry"] else None
        if isinstance(shape, shapely.Polygon):
            assert shapely.is_ccw(shape.exterior)
            assert not any(shapely.is_ccw(hole) for hole in shape.interiors)


def test_geojson_holds_every_record(island: Island, tmp_path: Path) -> None:
    told = json.loads(written(island, tmp_path, "geojson").read_text(encoding="utf-8"))
    with opened(island.book) as book:
        finds = {find.uuid: find for find in rows.records(book, Find)}
    out = {f["id"]: f for f in told["features"] if f["properties"]["record"] == "find"}
    assert out.keys() == finds.keys()
    for key, find in finds.items():
        if find.geom is None:
            assert out[key]["geometry"] is None
        else:
            assert out[key]["geometry"]["coordinates"] == pytest.approx(
                [find.geom.centroid.x, find.geom.centroid.y], abs=1e-7
            )


def test_gdal_reads_the_geojson(island: Island, tmp_path: Path) -> None:
    info = pyogrio.read_info(written(island, tmp_path, "geojson"))
    with opened(island.book) as book:
        assert info["features"] >= rows.how_many(book, Find) + rows.how_many(book, Site)


def test_gpx_is_read_by_us_and_by_gdal(island: Island, tmp_path: Path) -> None:
    path = written(island, tmp_path, "gpx")
    ours = read_gpx(path)
    assert not ours.refused
    waypoints = pyogrio.read_info(path, layer="waypoints", force_feature_count=True)["features"]
    tracks = pyogrio.read_info(path, layer="track_points", force_feature_count=True)["features"]
    with opened(island.book) as book:
        placed = sum(find.geom is not None for find in rows.records(book, Find))
        assert waypoints >= placed + rows.how_many(book, Site)
    assert tracks > 100
    assert sum(draft.kind == "track" for draft in ours.drafts) >= 1


def test_spatialite_is_a_genuine_one(island: Island, tmp_path: Path) -> None:
    path = written(island, tmp_path, "spatialite")
    *_, checked = pyogrio.raw.read(
        path, sql="SELECT CheckSpatialMetaData() AS kind", sql_dialect="SQLITE", read_geometry=False
    )
    assert int(checked[0][0]) == 3  # FDO/OGR is 2, a SpatiaLite layout of version 4 or later is 3
    *_, counted = pyogrio.raw.read(
        path,
        sql="SELECT count(*) AS n FROM find AS f JOIN site AS s ON ST_Contains(s.geometry, f.geometry) = 1",
        sql_dialect="SQLITE",
        read_geometry=False,
    )
    with opened(island.book) as book:
        sites = [site.geom for site in rows.records(book, Site)]
        finds = [find.geom for find in rows.records(book, Find) if find.geom is not None]
    assert int(counted[0][0]) == sum(site.contains(find) for site in sites for find in finds) > 20


def test_nothing_is_written_over_unasked(island: Island, tmp_path: Path) -> None:
    to = written(island, tmp_path, "gpx")
    before = to.read_bytes()
    with opened(island.book) as book:
        with pytest.raises(errors.FileExists):
            export(book, "gpx", to)
        assert to.read_bytes() == before
        export(book, "gpx", to, replace=True)
        with pytest.raises((errors.BookExists, errors.FileExists, errors.NotABook)):
            export(book, "geojson", island.book, replace=True)


def test_people_stay_at_home_unless_asked(island: Island, tmp_path: Path) -> None:
    with opened(island.book) as book:
        export(book, "csv", tmp_path / "without")
        export(book, "csv", tmp_path / "with", with_people=True)
    without = "".join(p.read_text("utf-8", errors="replace") for p in (tmp_path / "without").iterdir())
    assert "Ane Corvell" not in without
    assert "Ane Corvell" in "".join(
        p.read_text("utf-8", errors="replace") for p in (tmp_path / "with").iterdir()
    )
