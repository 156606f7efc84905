"""Tests that an import is taken back, brought again, and that its file gives the same book afterwards."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from sitebook import errors
from sitebook.store.photos import photo_folder
from sitebook.work import map as work_map
from sitebook.work import opened
from sitebook.work.asking import list_kind
from sitebook.work.demo import demo_files
from sitebook.work.season_baseline import calendar
from tests.conftest import Island
from tests.work import books
from tests.work.bring_in import town
from tests.work.corrections import doing

TOLD_OF_TIME = ("made_at", "undone_at")
LOOKED_AT = ("IMG_0207", "finds", "lab_tests", "saturday_walk", "sites", "sprayings", "vennaray", "visits")
FILES = [p.name for p in demo_files() if p.stem in LOOKED_AT]
"""The demo's files; of its photos one that begins a find and one that joins it."""


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return town.built(tmp_path)


def _known(path: Path) -> doing.Rows:
    """Give what is known, but not when a file was brought in."""
    found = doing.state(path, without=("change", "refused_line"))
    return {key: {c: v for c, v in row.items() if c not in TOLD_OF_TIME} for key, row in found.items()}


@pytest.mark.parametrize("name", FILES)
def test_each_file_of_the_demo_is_taken_back_and_gives_the_same_book_again(
    name: str, island: Island, tmp_path: Path
) -> None:
    path = Path(shutil.copy(island.book, tmp_path))
    shutil.copytree(photo_folder(island.book), photo_folder(path))
    before = _known(path)
    done = doing.undo(path, batch=name).acts[0]
    assert done.withdrawn or done.set_back
    assert doing.faults(path) == []
    with opened(path) as found:
        assert work_map.draw(found, today=books.TODAY).page
        try:
            assert calendar(found, today=books.TODAY).page
        except errors.NothingToShow:
            assert name == "sites.csv"
    (file,) = (file for file in demo_files() if file.name == name)
    town.bring(path, file, now=doing.later())
    assert _known(path) == before
    doing.undo(path, batch=name)
    doing.undo(path, back=True)
    assert _known(path) == before
    assert doing.faults(path) == []


def test_an_import_taken_back_leaves_what_was_there_before(book: Path, tmp_path: Path) -> None:
    before = _known(book)
    weir = "Mill Park,-19.4,48.602,60,weir"
    along = "Mill Park,2025-09-01,planned,OV"
    more = [
        books.table(tmp_path, "site", "name,lon,lat,radius_m,note", weir, name="more"),
        books.table(tmp_path, "visit", "site,local_date,reason,companions", along, name="along"),
        town.walk(tmp_path / "walk.gpx", [(-19.3921, 48.6081, 12.0)], begun="2025-10-05T09:00:00"),
    ]
    town.bring(book, *more, now=doing.later())
    assert _known(book) != before
    for file in more:
        doing.undo(book, batch=file.name)
    after = {key: row for key, row in _known(book).items() if key[0] != "import_batch"}
    assert after == {key: row for key, row in before.items() if key[0] != "import_batch"}


def test_what_she_changed_in_a_row_of_the_import_is_hers_when_the_file_comes_again(
    book: Path, tmp_path: Path
) -> None:
    file = town.sites(tmp_path)
    doing.change(book, "site", "Mill Park", radius_m="75", note="by the weir")
    doing.undo(book, batch="site.csv")
    report = town.bring(book, file, now=doing.later())
    assert town.added(report) == {"site": 2}
    assert books.only(book, "SELECT radius_m, note FROM site WHERE name = 'Mill Park'") == (
        75.0,
        "by the weir",
    )
    assert doing.conflicts(book) == ()


def test_a_mended_file_takes_the_place_of_the_one_taken_back(book: Path, tmp_path: Path) -> None:
    doing.undo(book, batch="weather.csv")
    head = "station,local_date,temp_min_degc,rain_mm"
    mended = books.table(tmp_path, "weather", head, "kitchen window,2025-09-01,8.0,5.5", name="mended")
    town.bring(book, mended, now=doing.later())
    with opened(book) as found:
        (day,) = list_kind(found, "weather_day").result.rows
    assert (day["temp_min_degc"], day["temp_max_degc"], day["rain_mm"]) == (8.0, None, 5.5)
    doing.undo(book, batch="mended.csv")
    assert doing.counts(book)["weather_day"] == 0


def test_a_mended_table_brings_its_rows_back_as_it_says_now(book: Path, tmp_path: Path) -> None:
    doing.undo(book, batch="site.csv")
    mended = books.table(
        tmp_path, "site", "name,lon,lat,radius_m", "Mill Park,-19.4,48.602,45", name="mended_sites"
    )
    report = town.bring(book, mended, now=doing.later())
    assert (town.added(report), doing.conflicts(book)) == ({"site": 1}, ())
    assert books.only(book, "SELECT radius_m FROM site WHERE name = 'Mill Park'") == (45.0,)
    assert doing.counts(book)["visit"] == 2


def test_rows_that_another_file_holds_too_come_back_with_that_file(book: Path, tmp_path: Path) -> None:
    both = books.table(
        tmp_path, "person", "name,initials,contact", "Torva Hesk,TH,", "Aske Vorn,AV,", name="both"
    )
    town.bring(book, both, now=doing.later())
    doing.undo(book, batch="person.csv")
    assert doing.counts(book)["person"] == 2
    report = town.bring(book, both, now=doing.later())
    assert town.added(report) == {"person": 1}
    assert doing.counts(book)["person"] == 3


def test_a_newer_extract_taken_back_brings_the_older_map_back(book: Path, tmp_path: Path) -> None:
    older = books.fresh(tmp_path, "older.gpkg")
    town.bring(older, *town.tables(tmp_path), town.old_map(tmp_path))
    doing.undo(book, batch="town_2024.osm")
    maps = ("way", "land_cover", "mapped_tree", "hazard")

    def mapped(path: Path) -> dict[tuple[str, str], dict[str, str | None]]:
        return {
            key: {c: v for c, v in row.items() if c not in ("id", "extract_id", "batch_id")}
            for key, row in doing.state(path).items()
            if key[0] in maps
        }

    assert mapped(book) == mapped(older)
    with opened(book) as found:
        extracts = list_kind(found, "extract").result.rows
    assert [extract["superseded_by"] for extract in extracts] == [None]


@pytest.mark.parametrize("first", ["town_2023.osm", "town_2024.osm"])
def test_extracts_taken_back_in_any_order_leave_no_map(first: str, book: Path) -> None:
    before = _known(book)
    second = {"town_2023.osm": "town_2024.osm", "town_2024.osm": "town_2023.osm"}[first]
    doing.undo(book, batch=first)
    doing.undo(book, batch=second)
    counted = doing.counts(book)
    assert [counted[kind] for kind in ("extract", "way", "land_cover", "mapped_tree")] == [0, 0, 0, 0]
    assert counted["hazard"] == 1
    doing.undo(book, last=1, back=True)
    doing.undo(book, last=1, back=True)
    assert _known(book) == before


def test_an_older_extract_that_came_late_shows_when_the_newer_one_goes(tmp_path: Path) -> None:
    late, plain = books.fresh(tmp_path, "late.gpkg"), books.fresh(tmp_path, "plain.gpkg")
    new, old = town.new_map(tmp_path), town.old_map(tmp_path)
    town.bring(late, new, now=doing.later())
    town.bring(late, old, now=doing.later())
    doing.undo(late, batch=new.name)
    town.bring(plain, old)

    def names(path: Path) -> list[tuple[object, object, object]]:
        with opened(path) as found:
            ways = list_kind(found, "way").result.rows
        return sorted((str(w["osm_ref"]), str(w["name"]), str(w["valid_to"])) for w in ways)

    assert names(late) == names(plain)


def test_a_hazard_she_corrected_stays_as_she_said_when_a_newer_map_comes(tmp_path: Path) -> None:
    path = books.fresh(tmp_path)
    town.bring(path, town.old_map(tmp_path), now=doing.later())
    (key,) = books.only(path, "SELECT id FROM hazard WHERE osm_ref IS NOT NULL")
    doing.change(path, "hazard", str(key), name="Old links")
    newer = town.old_map(tmp_path, "town_2023b.osm")
    newer.write_text(newer.read_text("utf-8").replace("2023-05-01", "2023-08-01"), "utf-8")
    town.bring(path, newer, now=doing.later())
    assert books.only(path, "SELECT name FROM hazard WHERE id = ?", key) == ("Old links",)
    doing.undo(path, batch=newer.name)
    assert books.only(path, "SELECT name FROM hazard WHERE id = ?", key) == ("Old links",)
    assert doing.counts(path)["hazard"] == 1


def test_a_visit_taken_over_by_a_table_goes_back_to_what_it_was(tmp_path: Path) -> None:
    path = books.fresh(tmp_path)
    finds = books.table(tmp_path, "find", "site,found_on,name", "Mill Park,2025-09-10,Boletus edulis")
    visits = books.table(
        tmp_path, "visit", "site,local_date,search_minutes,reason", "Mill Park,2025-09-10,30,planned"
    )
    town.bring(path, town.sites(tmp_path), finds, now=doing.later())
    made = _known(path)
    town.bring(path, visits, now=doing.later())
    both = _known(path)
    assert books.only(path, "SELECT reason FROM visit") == ("planned",)
    assert doing.faults(path) == []
    doing.undo(path, batch="visit.csv")
    assert {k: v for k, v in _known(path).items() if k[0] != "import_batch"} == {
        k: v for k, v in made.items() if k[0] != "import_batch"
    }
    town.bring(path, visits, now=doing.later())
    assert _known(path) == both
    doing.undo(path, batch="find.csv")
    assert doing.counts(path)["visit"] == 1
    doing.undo(path, batch="visit.csv")
    assert doing.counts(path)["visit"] == 0
    assert doing.faults(path) == []


def test_tracks_come_again_with_their_visits(tmp_path: Path) -> None:
    path = books.fresh(tmp_path)
    walk = town.walk(tmp_path / "walk.gpx", [(-19.4000, 48.6020, 12.0)])
    town.bring(path, town.sites(tmp_path), walk, now=doing.later())
    before = _known(path)
    doing.undo(path, batch="walk.gpx")
    assert (doing.counts(path)["visit"], doing.counts(path)["track"]) == (0, 0)
    town.bring(path, walk, now=doing.later())
    assert _known(path) == before
