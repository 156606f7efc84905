"""Tests that what a file says otherwise waits beside the book's own value until she decides."""

from __future__ import annotations

from pathlib import Path

import pytest

from sitebook import errors
from tests.work import books
from tests.work.bring_in import town
from tests.work.corrections import doing

RADIUS = "SELECT radius_m FROM site WHERE name = 'Mill Park'"


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return town.built(tmp_path)


def _otherwise(folder: Path, *, name: str = "otherwise", radius: int = 90) -> Path:
    line = f"Mill Park,-19.4000,48.6020,{radius}"
    return books.table(folder, "site", "name,lon,lat,radius_m", line, name=name)


def test_a_file_that_says_otherwise_leaves_a_conflict_once(book: Path, tmp_path: Path) -> None:
    file = _otherwise(tmp_path)
    town.bring(book, file, now=doing.later())
    (conflict,) = doing.conflicts(book)
    told = (
        conflict.called,
        conflict.column,
        conflict.base,
        conflict.ours,
        conflict.theirs,
        conflict.came_with,
    )
    assert told == ("site Mill Park", "radius_m", "not known", "60", "90", "otherwise.csv")
    again = _otherwise(tmp_path, name="again")
    again.write_text(again.read_text("utf-8") + "# again\n", "utf-8")
    report = town.bring(book, again, now=doing.later())
    assert len(town.lines_of(report)) == 1
    assert len(doing.conflicts(book)) == 1


@pytest.mark.parametrize(("which", "stands"), [("ours", 60.0), ("theirs", 90.0)])
def test_one_of_both_stands_and_the_file_is_not_told_again(
    which: str, stands: float, book: Path, tmp_path: Path
) -> None:
    town.bring(book, _otherwise(tmp_path), now=doing.later())
    (conflict,) = doing.conflicts(book)
    line = doing.decide(book, conflict.conflict_id, which)
    assert (line.decided, line.ours, line.theirs) == (which, "60", "90")
    assert books.only(book, RADIUS) == (stands,)
    assert doing.conflicts(book) == ()
    again = _otherwise(tmp_path, name="again")
    again.write_text(again.read_text("utf-8") + "# again\n", "utf-8")
    report = town.bring(book, again, now=doing.later())
    assert town.lines_of(report) == []
    assert books.only(book, RADIUS) == (stands,)
    with pytest.raises(errors.ValueImpossible, match="decided before"):
        doing.decide(book, conflict.conflict_id, "ours")


def test_what_she_corrected_is_no_conflict_when_the_old_file_comes_again(book: Path, tmp_path: Path) -> None:
    doing.change(book, "site", "Mill Park", radius_m="75")
    sites = town.sites(tmp_path, "sites")
    sites.write_text(sites.read_text("utf-8") + "# again\n", "utf-8")
    report = town.bring(book, sites, now=doing.later())
    assert (town.lines_of(report), doing.conflicts(book)) == ([], ())
    assert books.only(book, RADIUS) == (75.0,)


def test_what_she_emptied_is_not_filled_again(book: Path, tmp_path: Path) -> None:
    doing.change(book, "visit", "Mill Park@2025-09-01", search_minutes="")
    line = "Mill Park,2025-09-01,25,planned"
    visits = books.table(tmp_path, "visit", "site,local_date,search_minutes,reason", line, name="again")
    town.bring(book, visits, now=doing.later())
    asked = "SELECT search_minutes FROM visit WHERE local_date = '2025-09-01'"
    assert books.only(book, asked) == (None,)


def test_conflicts_of_an_import_go_and_come_with_it(book: Path, tmp_path: Path) -> None:
    file = _otherwise(tmp_path)
    town.bring(book, file, now=doing.later())
    doing.undo(book, batch="otherwise.csv")
    assert doing.conflicts(book) == ()
    town.bring(book, file, now=doing.later())
    assert len(doing.conflicts(book)) == 1


def test_a_decision_that_cannot_be_is_told(book: Path, tmp_path: Path) -> None:
    town.bring(book, _otherwise(tmp_path), now=doing.later())
    (conflict,) = doing.conflicts(book)
    with pytest.raises(errors.BadArgument, match="ours, theirs"):
        doing.decide(book, conflict.conflict_id, "mine")
    with pytest.raises(errors.RecordMissing, match="sitebook decide"):
        doing.decide(book, 99, "ours")
