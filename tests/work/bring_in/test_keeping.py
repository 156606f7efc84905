"""Tests that a row meets the one the book has: what is empty is filled, what is said stands."""

from __future__ import annotations

from pathlib import Path

import pytest

from sitebook.work import opened
from sitebook.work.bring_in import Wish, bring_in
from tests.work import books
from tests.work.bring_in import town

HEAD = "site,tag,lon,lat,girth_cm,tree_condition,note"
PLACE = "Mill Park,X1,-19.40005,48.60205"
TREE = "SELECT girth_cm, tree_condition, note, changed_at FROM host_tree"


@pytest.fixture
def book(tmp_path: Path) -> Path:
    path = books.fresh(tmp_path)
    town.bring(path, town.sites(tmp_path), _tree(tmp_path, "118,,leans"))
    return path


def _tree(folder: Path, cells: str, name: str = "trees") -> Path:
    return books.table(folder, "host_tree", HEAD, f"{PLACE},{cells}", name=name)


def _stamp(text: str) -> str:
    return text.replace("+00:00", ".000Z")


def test_what_is_empty_is_filled_and_counted(book: Path, tmp_path: Path) -> None:
    report = town.bring(book, _tree(tmp_path, "118,sound,leans", "fuller"), now=books.LATER)
    assert books.only(book, TREE) == (118.0, "sound", "leans", _stamp(books.LATER.isoformat()))
    (file,) = report.files
    assert (dict(file.added), dict(file.changed), file.sorted_lines) == ({}, {"host_tree": 1}, ())


def test_a_row_that_says_less_changes_nothing(book: Path, tmp_path: Path) -> None:
    report = town.bring(book, _tree(tmp_path, ",,", "poorer"), now=books.LATER)
    assert books.only(book, TREE) == (118.0, None, "leans", _stamp(books.NOW.isoformat()))
    (file,) = report.files
    assert (file.already, dict(file.changed), file.sorted_lines) == (1, {}, ())


def test_what_is_said_is_not_written_over_and_the_line_is_told(book: Path, tmp_path: Path) -> None:
    report = town.bring(book, _tree(tmp_path, "131,sound,leans", "other"), now=books.LATER)
    assert books.only(book, TREE)[:3] in ((118.0, None, "leans"), (118.0, "sound", "leans"))
    (line,) = town.lines_of(report)
    assert line.sorting == "left out"
    assert "girth_cm 118" in line.reason
    assert "131" in line.reason
    assert books.asked(book, "SELECT sorted_as, line_number FROM refused_line") == [("left out", 3)]


def test_a_contradicting_line_does_not_keep_its_file_out(book: Path, tmp_path: Path) -> None:
    other = _tree(tmp_path, "131,,leans", "other")
    text = other.read_text("utf-8") + "Quay Wood,X2,-19.3921,48.6081,90,,\n"
    other.write_text(text, "utf-8")
    report = town.bring(book, other, now=books.LATER)
    assert town.added(report) == {"host_tree": 1}


def test_a_find_can_be_named_later(tmp_path: Path) -> None:
    path = books.fresh(tmp_path, "named.gpkg")
    head = "site,found_on,collection_number,name,host_tree,host_role"
    unnamed = books.table(tmp_path, "find", head, "Mill Park,2025-09-10,1,,,", name="one")
    named = books.table(tmp_path, "find", head, "Mill Park,2025-09-10,1,Boletus edulis,X1,under", name="two")
    town.bring(path, town.sites(tmp_path), _tree(tmp_path, ",,"), unnamed)
    report = town.bring(path, named, now=books.LATER)
    assert books.only(path, "SELECT count(*) FROM find") == (1,)
    assert books.asked(path, "SELECT find_id, verbatim_name FROM determination") == [(1, "Boletus edulis")]
    assert books.asked(path, "SELECT find_id, role FROM find_host") == [(1, "under")]
    assert town.added(report) == {"determination": 1, "find_host": 1}


def test_a_later_name_stands_beside_the_earlier(tmp_path: Path) -> None:
    path = books.fresh(tmp_path, "twice.gpkg")
    head = "site,found_on,collection_number,name,determined_on"
    for number, (name, day) in enumerate(
        [("Boletus edulis", "2025-09-10"), ("Boletus reticulatus", "2025-10-02")]
    ):
        line = f"Mill Park,2025-09-10,1,{name},{day}"
        finds = books.table(tmp_path, "find", head, line, name=f"finds{number}")
        town.bring(path, town.sites(tmp_path), finds, now=books.LATER)
    asked = "SELECT verbatim_name FROM determination ORDER BY id"
    assert books.asked(path, asked) == [("Boletus edulis",), ("Boletus reticulatus",)]
    assert books.asked(path, "SELECT verbatim_name FROM find_named") == [("Boletus reticulatus",)]


def test_a_species_may_come_before_its_genus_in_one_table(tmp_path: Path) -> None:
    path = books.fresh(tmp_path, "taxa.gpkg")
    taxa = books.table(
        tmp_path,
        "taxon",
        "scientific_name,parent",
        "Vennaromyces insularis,Vennaromyces",
        "Vennaromyces,",
        name="taxa",
    )
    town.bring(path, taxa)
    asked = (
        "SELECT p.scientific_name FROM taxon t JOIN taxon p ON p.id = t.parent_id WHERE t.scientific_name = ?"
    )
    assert books.only(path, asked, "Vennaromyces insularis") == ("Vennaromyces",)


def test_taxa_of_other_authors_stand_side_by_side(tmp_path: Path) -> None:
    path = books.fresh(tmp_path, "authors.gpkg")
    head = "scientific_name,authorship"
    one = books.table(tmp_path, "taxon", head, "Vennaromyces insularis,Dask", name="one")
    other = books.table(tmp_path, "taxon", head, "Vennaromyces insularis,Hesk", name="other")
    town.bring(path, one)
    town.bring(path, other)
    asked = "SELECT authorship FROM taxon WHERE scientific_name = 'Vennaromyces insularis' ORDER BY id"
    assert books.asked(path, asked) == [("Dask",), ("Hesk",)]


def test_a_weather_day_is_kept_once(tmp_path: Path) -> None:
    path = books.fresh(tmp_path, "weather.gpkg")
    head = "station,local_date,rain_mm"
    one = books.table(tmp_path, "weather", head, "window,2025-09-01,4", "window,2025-09-02,0", name="one")
    two = books.table(tmp_path, "weather", head, "window,2025-09-02,0", "window,2025-09-03,7", name="two")
    town.bring(path, one)
    report = town.bring(path, two)
    assert town.added(report) == {"weather_day": 1}
    asked = "SELECT local_date, rain_mm FROM weather_day ORDER BY local_date"
    assert books.asked(path, asked) == [("2025-09-01", 4.0), ("2025-09-02", 0.0), ("2025-09-03", 7.0)]


def test_a_weather_day_that_says_otherwise_is_told(tmp_path: Path) -> None:
    path = books.fresh(tmp_path, "weather.gpkg")
    head = "station,local_date,rain_mm"
    town.bring(path, books.table(tmp_path, "weather", head, "window,2025-09-01,4", name="one"))
    report = town.bring(path, books.table(tmp_path, "weather", head, "window,2025-09-01,9", name="two"))
    assert books.asked(path, "SELECT rain_mm FROM weather_day") == [(4.0,)]
    assert [line.sorting for line in town.lines_of(report)] == ["left out"]


def test_rain_of_one_file_and_warmth_of_another_make_one_day(tmp_path: Path) -> None:
    path = books.fresh(tmp_path, "weather.gpkg")
    rain = books.table(tmp_path, "weather", "station,local_date,rain_mm", "window,2025-09-01,4", name="rain")
    head = "station,local_date,temp_min_degc,temp_max_degc"
    warmth = books.table(tmp_path, "weather", head, "window,2025-09-01,9,17", name="warmth")
    town.bring(path, rain)
    town.bring(path, warmth)
    asked = "SELECT rain_mm, temp_min_degc, temp_max_degc FROM weather_day"
    assert books.asked(path, asked) == [(4.0, 9.0, 17.0)]


@pytest.mark.parametrize("in_one_command", [True, False])
def test_a_collector_by_name_and_by_initials_is_one(in_one_command: bool, tmp_path: Path) -> None:
    path = books.fresh(tmp_path, "tags.gpkg")
    person = books.table(tmp_path, "person", "name,initials", "Torva Hesk,TH")
    head = "site,found_on,collector,collection_number,name"
    one = books.table(tmp_path, "find", head, "Mill Park,2025-09-10,TH,1,Boletus edulis", name="one")
    two = books.table(tmp_path, "find", head, "Mill Park,2025-09-10,Torva Hesk,1,Boletus edulis", name="two")
    town.bring(path, town.sites(tmp_path), person, one, *([two] if in_one_command else []))
    if not in_one_command:
        town.bring(path, two)
    assert books.only(path, "SELECT count(*) FROM find") == (1,)


def test_a_permission_and_its_closed_days_come_once(tmp_path: Path) -> None:
    path = books.fresh(tmp_path, "permission.gpkg")
    permission = books.table(
        tmp_path,
        "permission",
        "manager,basis,sites,closed_weekdays",
        "Island forestry,public right,Mill Park; Quay Wood,Sat Sun",
    )
    town.bring(path, town.sites(tmp_path), permission)
    permission.write_text(permission.read_text("utf-8") + "# again\n", "utf-8")
    town.bring(path, permission, now=books.LATER)
    assert books.only(path, "SELECT count(*) FROM permission_site") == (2,)
    assert books.asked(path, "SELECT weekday FROM permission_closed_day ORDER BY weekday") == [(6,), (7,)]


def test_the_name_of_a_refused_find_goes_with_it_in_silence(tmp_path: Path) -> None:
    path = books.fresh(tmp_path)
    sites = books.table(tmp_path, "site", "name,lon,lat,radius_m", "Mill Park,-19.4,48.6,50")
    finds = books.table(
        tmp_path,
        "find",
        "site,found_on,name,lon,lat",
        "Mill Park,2025-09-14,Amanita muscaria,48.6,-19.4",
        "Mill Park,2025-09-14,Boletus eduliss,-19.4,48.6",
    )
    with opened(path) as book:
        bring_in(book, [sites], now=books.NOW)
        report = bring_in(book, [finds], now=books.NOW, wish=Wish(accept_rest=True)).result
    (line,) = report.files[0].sorted_lines
    assert "swapped" in line.reason
    assert any(remark.startswith("Did you mean Boletus edulis") for remark in report.remarks)
