"""Tests how answers to SQL and the telling of exports look on the command line."""

from __future__ import annotations

import csv
import io
import shutil
from pathlib import Path

import pytest

from tests.commands.running import run
from tests.conftest import Island

SQL = "SELECT name, radius_m, geom FROM site WHERE radius_m NOTNULL ORDER BY name"


@pytest.fixture
def book(island: Island, tmp_path: Path) -> Path:
    return Path(shutil.copy(island.book, tmp_path / "sitebook.gpkg"))


def test_rows_stand_in_columns(book: Path) -> None:
    lines = run("--book", book, "query", SQL).out.splitlines()
    assert lines[0].split() == ["name", "radius_m", "geom"]
    assert lines[1].startswith("Allotment edge  38        -19.40")
    assert lines[-1] == f"{len(lines) - 2} rows"


def test_json_holds_columns_and_rows(book: Path) -> None:
    found = run("--book", book, "query", SQL, "--json").json
    assert set(found) == {"columns", "rows", "cut_off", "remarks"}
    assert found["columns"] == ["name", "radius_m", "geom"]
    assert found["rows"][0][:2] == ["Allotment edge", 38.0]
    assert found["rows"][0][2]["type"] == "Point"


def test_csv_holds_the_rows_and_nothing_else(book: Path) -> None:
    ran = run("--book", book, "query", SQL, "--csv", "--most", "1")
    rows = list(csv.DictReader(io.StringIO(ran.out)))
    assert [row["name"] for row in rows] == ["Allotment edge"]
    assert rows[0]["geom"].startswith("POINT (-19.4")
    assert "There are more than these 1 rows" in ran.err


def test_a_cut_is_told(book: Path) -> None:
    out = run("--book", book, "query", "SELECT id FROM visit", "--most", "2").out
    assert "2 rows" in out
    assert "There are more than these 2 rows; --most gives more." in out


@pytest.mark.parametrize(
    ("words", "slug"),
    [
        (("query", "DELETE FROM find"), "query-refused"),
        (("query", "SELECT nope FROM find"), "query-failed"),
        (("export", "--as", "geojson", "--to", "sitebook.gpkg"), "file-exists"),
    ],
)
def test_what_cannot_be_is_one_line(
    book: Path, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...], slug: str
) -> None:
    monkeypatch.chdir(book.parent)
    ran = run(*words)
    assert ran.status == 2
    assert ran.told.endswith(f"[{slug}]")


def test_csv_and_json_exclude_each_other(book: Path) -> None:
    assert run("--book", book, "query", SQL, "--csv", "--json").status == 2


def test_an_export_tells_its_files(book: Path) -> None:
    out = run("--book", book, "export", "--as", "gpx", "--to", book.parent / "out.gpx").out.splitlines()
    assert out[0].startswith(f"Wrote {book.parent / 'out.gpx'}: 18 sites, 32 host trees, ")
    assert out[1].startswith("Exact places")
    told = run("--book", book, "export", "--as", "csv", "--to", book.parent / "tables", "--json").json
    assert set(told) == {"written_as", "files", "remarks"}
    assert {"path", "counts"} == set(told["files"][0])
