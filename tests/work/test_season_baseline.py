"""Tests that calendars are made of the visits, looks and standing names in the book."""

from __future__ import annotations

from pathlib import Path

import pytest

from sitebook import errors
from sitebook.records.results.season import Calendar
from sitebook.work import opened, season_baseline
from tests.work import books
from tests.work.bring_in import town

VISITS = [f"Mill Park,202{year}-09-{day:02},30,planned" for year in range(1, 6) for day in (1, 10, 19, 28)]
FINDS = [f"Mill Park,202{year}-09-10,OV,{year},Leccinum scabrum" for year in range(1, 6)]


@pytest.fixture
def book(tmp_path: Path) -> Path:
    path = books.fresh(tmp_path)
    visits = books.table(tmp_path, "visit", "site,local_date,search_minutes,reason", *VISITS)
    finds = books.table(tmp_path, "find", "site,found_on,collector,collection_number,name", *FINDS)
    town.bring(path, town.sites(tmp_path), visits, finds)
    return path


def _calendar(path: Path, taxon: str | None = None, site: str | None = None) -> Calendar:
    with opened(path) as book:
        return season_baseline.calendar(book, today=books.TODAY, taxon=taxon, site=site).result


def test_looks_and_finds_are_counted(book: Path) -> None:
    (row,) = _calendar(book).rows
    assert (row.site_name, row.taxon_name) == ("Mill Park", "Leccinum scabrum")
    assert (row.looks, row.looks_with_find, row.finds) == (20, 5, 5)
    best = max(row.weeks, key=lambda week: week.chance or 0)
    assert 35 <= best.iso_week <= 39


def test_fifty_finds_seen_first_change_no_rate(book: Path, tmp_path: Path) -> None:
    (before,) = _calendar(book).rows
    lines = [f"Mill Park,2025-04-{n % 28 + 1:02},OV,{100 + n},Leccinum scabrum" for n in range(50)]
    head = "site,found_on,collector,collection_number,name"
    town.bring(book, books.table(tmp_path, "find", head, *lines, name="chance"))
    (after,) = _calendar(book).rows
    assert after.weeks == before.weeks
    assert after.looks == before.looks
    assert after.finds == 55


def test_a_later_name_moves_a_find_to_its_taxon(book: Path, tmp_path: Path) -> None:
    later = books.table(
        tmp_path,
        "determination",
        "find,verbatim_name,determined_on",
        "OV 1,Leccinum holopus,2025-09-30",
    )
    town.bring(book, later)
    rows = {row.taxon_name: row for row in _calendar(book).rows}
    assert rows["Leccinum scabrum"].finds == 4
    assert rows["Leccinum holopus"].finds == 1


def test_one_taxon_or_site_is_drawn_alone(book: Path) -> None:
    assert len(_calendar(book, taxon="leccinum SCABRUM").rows) == 1
    assert len(_calendar(book, site="Mill Park").rows) == 1
    with pytest.raises(errors.NothingToShow):
        _calendar(book, site="Quay Wood")
    with pytest.raises(errors.RecordMissing):
        _calendar(book, taxon="Draco volans")


def test_a_page_comes_with_the_answer(book: Path) -> None:
    with opened(book) as found:
        answer = season_baseline.calendar(found, today=books.TODAY)
    assert answer.page is not None
    assert "Leccinum scabrum" in answer.page


def test_a_book_without_finds_says_so(tmp_path: Path) -> None:
    path = books.fresh(tmp_path)
    town.bring(path, town.sites(tmp_path))
    with pytest.raises(errors.NothingToShow, match="sitebook import"):
        _calendar(path)
