"""Tests where an export goes, what it never writes over, and what it says."""

from __future__ import annotations

import csv
import json
import shutil
from pathlib import Path

import pyogrio
import pytest

from sitebook import errors
from sitebook.intake.gpx import read_gpx
from sitebook.records.results.going_out import ExportReport
from sitebook.store.book import writing
from sitebook.work import opened
from sitebook.work.export import FORMATS, export
from tests.conftest import Island
from tests.work import books

ONE_FILE = [form for form in FORMATS if form != "csv"]


@pytest.fixture
def book(island: Island, tmp_path: Path) -> Path:
    return Path(shutil.copy(island.book, tmp_path / "sitebook.gpkg"))


def _export(
    book: Path, form: str, to: Path | None = None, *, with_people: bool = False, replace: bool = False
) -> ExportReport:
    with opened(book) as found:
        return export(found, form, to, with_people=with_people, replace=replace).result


@pytest.mark.parametrize("form", list(FORMATS))
def test_without_a_place_it_goes_beside_the_book_and_says_private(book: Path, form: str) -> None:
    before = book.read_bytes()
    report = _export(book, form)
    assert all("private" in file.path.name for file in report.files)
    assert {book.parent, book.parent / "tables-private"} >= {file.path.parent for file in report.files}
    assert report.remarks[0].startswith("Exact places, also of sites you give out less finely (sites: ")
    assert book.read_bytes() == before


@pytest.mark.parametrize("form", list(FORMATS))
def test_what_lies_there_is_replaced_only_when_asked(book: Path, form: str) -> None:
    first = _export(book, form)
    kept = {file.path: file.path.read_bytes() for file in first.files}
    with pytest.raises(errors.FileExists):
        _export(book, form)
    assert {path: path.read_bytes() for path in kept} == kept
    assert [file.path for file in _export(book, form, replace=True).files] == list(kept)


@pytest.mark.parametrize("form", ONE_FILE)
def test_a_book_is_never_written_over(book: Path, form: str) -> None:
    before = book.read_bytes()
    with pytest.raises(errors.BookExists):
        _export(book, form, book, replace=True)
    assert book.read_bytes() == before


@pytest.mark.parametrize("form", list(FORMATS))
def test_a_file_in_the_place_of_a_folder_is_told(book: Path, form: str) -> None:
    (book.parent / "taken").write_text("no folder")
    with pytest.raises(errors.FileNotWritable):
        _export(book, form, book.parent / "taken" / "there")


def test_an_unknown_format_is_told(book: Path) -> None:
    with pytest.raises(errors.BadArgument, match="kml"):
        _export(book, "kml")


@pytest.mark.parametrize("form", ONE_FILE)
def test_a_book_without_places_says_so(tmp_path: Path, form: str) -> None:
    with pytest.raises(errors.NothingToShow):
        _export(books.fresh(tmp_path), form)
    assert [path.name for path in tmp_path.iterdir()] == ["sitebook.gpkg"]


def test_every_record_is_in_each_format(book: Path) -> None:
    trees, finds, placed = (
        int(str(books.only(book, f"SELECT count(*) FROM {what} AND withdrawn_at IS NULL")[0]))  # noqa: S608
        for what in ("host_tree WHERE 1", "find WHERE 1", "find WHERE geom NOTNULL")
    )
    collection = json.loads(_export(book, "geojson").files[0].path.read_text("utf-8"))
    kinds = [feature["properties"]["record"] for feature in collection["features"]]
    told = int(str(books.only(book, "SELECT count(*) FROM hazard WHERE osm_ref IS NULL")[0]))
    assert (kinds.count("host_tree"), kinds.count("find"), kinds.count("hazard")) == (trees, finds, told)
    sprayed = [f for f in collection["features"] if f["properties"]["record"] == "spraying"]
    assert len(sprayed) == books.only(book, "SELECT count(*) FROM spraying")[0]
    assert "Corrisk vines" in {f["properties"]["called"] for f in sprayed}
    waypoints = [d for d in read_gpx(_export(book, "gpx").files[0].path).drafts if d.kind == "find"]
    assert len(waypoints) == kinds.count("site") + trees + placed
    database = _export(book, "spatialite").files[0].path
    assert pyogrio.read_info(database, layer="find")["features"] == finds
    assert pyogrio.read_info(database, layer="spraying")["features"] == len(sprayed)
    assert pyogrio.read_info(database, layer="visit")["features"] == 352


@pytest.mark.parametrize("form", ONE_FILE)
def test_persons_are_initials_unless_asked_for(book: Path, form: str) -> None:
    (name,) = (str(row[0]) for row in books.asked(book, "SELECT name FROM person WHERE initials = 'MD'"))
    assert name.encode() not in _export(book, form).files[0].path.read_bytes()
    assert name.encode() in _export(book, form, with_people=True, replace=True).files[0].path.read_bytes()


def test_persons_of_an_earlier_export_do_not_stay(book: Path) -> None:
    folder = _export(book, "csv", with_people=True).files[0].path.parent
    assert (folder / "person-private.csv").exists()
    (folder / "hers.txt").write_text("hers")
    _export(book, "csv", replace=True)
    assert not (folder / "person-private.csv").exists()
    assert (folder / "hers.txt").read_text() == "hers"


def test_what_hangs_on_something_withdrawn_stays_behind_and_a_lost_reference_is_told(book: Path) -> None:
    with opened(book) as found, writing(found):
        for table, called in (("site", "name = 'Birch row'"), ("taxon", "scientific_name = 'Quercus robur'")):
            statement = f"UPDATE {table} SET withdrawn_at = '2025-10-01T00:00:00.000Z' WHERE {called}"  # noqa: S608
            found.connection.exec_driver_sql(statement)
    report = _export(book, "csv")
    folder = report.files[0].path.parent
    assert "Birch row" not in (folder / "visit-private.csv").read_text("utf-8")
    assert any(
        "since it is withdrawn" in remark and "of kind host tree" in remark for remark in report.remarks
    )


def test_what_would_not_come_back_is_told(book: Path) -> None:
    with opened(book) as found, writing(found):
        found.connection.exec_driver_sql("UPDATE site SET note = 'blank at the end ' WHERE id = 1")
        found.connection.exec_driver_sql("UPDATE site SET elevation_m = 99999 WHERE id = 2")
    remarks = " ".join(_export(book, "csv").remarks)
    assert "site-private.csv: line 4 would come back with another note" in remarks
    assert "site-private.csv: an import would refuse line 5: elevation_m" in remarks


def test_names_that_fit_several_stand_as_uuids(book: Path) -> None:
    with opened(book) as found, writing(found):
        found.connection.exec_driver_sql("UPDATE site SET name = 'OAK WOOD' WHERE name = 'Birch row'")
    folder = _export(book, "csv").files[0].path.parent
    text = (folder / "host_tree-private.csv").read_text("utf-8").split("\n", 2)[2]
    sites = {row["site"] for row in csv.DictReader(text.splitlines())}
    alike = books.asked(book, "SELECT uuid FROM site WHERE upper(name) = 'OAK WOOD'")
    assert {str(row[0]) for row in alike} <= sites
    assert "Pine plantation" in sites
