"""Tests that programs which are not ours read the demo's book, and find it in order."""

from __future__ import annotations

import re
import shutil
import sqlite3
import subprocess
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

import pyogrio
import pytest

from sitebook.records.columns import meanings
from sitebook.records.kinds import KINDS

if TYPE_CHECKING:
    from tests.conftest import Island

LAYERS = [name for name, kind in KINDS.items() if any(m.geometry for m in meanings(kind).values())]
Validate = Callable[[Path], "subprocess.CompletedProcess[str]"]


@pytest.fixture
def validate(gdal_utils: Path, gdal_python: str) -> Validate:
    program = gdal_utils / "osgeo_utils" / "samples" / "validate_gpkg.py"
    environment = {"PYTHONPATH": str(gdal_utils), "PATH": "/usr/bin:/bin"}

    def run(book: Path) -> subprocess.CompletedProcess[str]:
        command = [gdal_python, str(program), "-k", "--extra", str(book)]
        return subprocess.run(command, env=environment, capture_output=True, text=True, check=False)

    return run


@pytest.mark.source(
    item="",
    what="the demo's book is a GeoPackage by every requirement that is checked",
    value="exit status 0",
    source="validate_gpkg of GDAL's gdal-utils",
    mark="computed",
)
def test_gdals_validator_passes_the_demo_book(island: Island, validate: Validate) -> None:
    done = validate(island.book)
    assert done.returncode == 0, done.stdout + done.stderr


def test_gdals_validator_refuses_a_book_with_a_broken_list_of_layers(
    island: Island, validate: Validate, tmp_path: Path
) -> None:
    broken = tmp_path / "broken.gpkg"
    shutil.copyfile(island.book, broken)
    with closing(sqlite3.connect(broken)) as book, book:
        book.execute(
            "UPDATE gpkg_geometry_columns SET geometry_type_name = 'POLYGON' WHERE table_name = 'find'"
        )
    assert validate(broken).returncode != 0


@pytest.mark.source(
    item="",
    what="layers of the demo's book and features in each",
    value="every table with a geometry, as many features as sitebook counted",
    source="ogrinfo of GDAL",
    mark="computed",
)
def test_ogrinfo_reads_all_layers(island: Island, need_tool: Callable[[str], str]) -> None:
    command = [need_tool("ogrinfo"), "-ro", "-al", "-so", str(island.book)]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    found = dict(
        re.findall(r"^Layer name: (\S+)$.*?^Feature Count: (\d+)$", done.stdout, re.MULTILINE | re.DOTALL)
    )
    assert set(found) >= set(LAYERS)
    assert {name: int(found[name]) for name in LAYERS} == {
        name: island.counts.get(name, 0) for name in LAYERS
    }
    assert "ERROR" not in done.stderr


@pytest.mark.parametrize("layer", LAYERS)
def test_pyogrio_reads_each_layer(layer: str, island: Island) -> None:
    info = pyogrio.read_info(island.book, layer=layer, force_feature_count=True)
    assert info["crs"] == "EPSG:4326"
    assert info["features"] == island.counts.get(layer, 0)
    named = {name for name, m in meanings(KINDS[layer]).items() if not m.geometry} - {"id"}
    assert set(info["fields"]) == named


@pytest.mark.source(
    item="",
    what="finds that lie within the ground the extract covers",
    value="the same number by ST_Contains as by a plain window",
    source="SpatiaLite's SQL functions in pyogrio's GDAL",
    mark="computed",
)
def test_spatialite_functions_read_our_geometries(island: Island) -> None:
    asked = "SELECT f.uuid AS found FROM find f, extract e WHERE ST_Contains(e.geom, f.geom) = 1"
    by_function = _column(island.book, asked)
    inside = (
        "SELECT f.uuid AS found FROM find f, extract e WHERE ST_X(f.geom) > ST_MinX(e.geom)"
        " AND ST_X(f.geom) < ST_MaxX(e.geom) AND ST_Y(f.geom) > ST_MinY(e.geom)"
        " AND ST_Y(f.geom) < ST_MaxY(e.geom)"
    )
    assert by_function
    assert by_function <= _column(island.book, inside)
    with closing(sqlite3.connect(island.book)) as book:
        placed = {uuid for (uuid,) in book.execute("SELECT uuid FROM find WHERE geom IS NOT NULL")}
    assert by_function <= placed


def test_a_spatial_function_tells_inside_from_outside(island: Island) -> None:
    window = "BuildMbr(-19.6, 48.4, -19.2, 48.8, 4326)"
    far = "BuildMbr(10.0, 48.4, 10.4, 48.8, 4326)"
    asked = "SELECT uuid AS found FROM site WHERE ST_Contains({}, geom) = 1"
    assert len(_column(island.book, asked.format(window))) == island.counts["site"]
    assert not _column(island.book, asked.format(far))


def _column(book: Path, sql: str) -> set[str]:
    _, _, _, (values,) = pyogrio.raw.read(book, sql=sql, sql_dialect="SQLITE", read_geometry=False)
    return {str(value) for value in values}


@pytest.mark.source(
    item="",
    what="pages of the file in order, and every reference met",
    value="ok, and no violation",
    source="SQLite's integrity_check and foreign_key_check",
    mark="computed",
)
def test_sqlite_finds_the_file_whole(island: Island) -> None:
    with closing(sqlite3.connect(island.book)) as book:
        assert book.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        assert book.execute("PRAGMA foreign_key_check").fetchall() == []
