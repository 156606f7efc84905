"""Tests that the visits of a day are joined to the stops of its foray, and that an undo parts them again."""

from __future__ import annotations

import datetime
from pathlib import Path

import pytest

from sitebook.work import opened
from sitebook.work.adding import add
from sitebook.work.corrections.undoing import undo
from sitebook.work.corrections.withdrawing import withdraw
from tests.work import books, made_forays
from tests.work.bring_in import town

STEP = datetime.timedelta(minutes=5)
STOPS = (
    "SELECT site.name, turn, visit.started_at FROM foray_stop s JOIN site ON site.id = s.site_id "
    "LEFT JOIN visit ON visit.id = s.visit_id AND visit.withdrawn_at IS NULL "
    "WHERE s.withdrawn_at IS NULL AND foray_id = ? ORDER BY turn IS NULL, turn"
)
MORNING, NOON = "2025-10-04 09:30:00.000000", "2025-10-04 12:10:00.000000"


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Give a book with two sites and a foray to the first."""
    found = books.fresh(tmp_path)
    town.bring(found, town.sites(tmp_path))
    made_forays.keep(found, "Mill Park", now=books.NOW + STEP)
    return found


def _visits(folder: Path, *lines: str, name: str = "visits") -> Path:
    header = "site,local_date,started_at,search_minutes,reason"
    return books.table(folder, "visit", header, *lines, name=name)


MILL = "Mill Park,2025-10-04,2025-10-04T09:30:00Z,30,planned"
MILL_AGAIN = "Mill Park,2025-10-04,2025-10-04T14:00:00Z,10,passing"
QUAY = "Quay Wood,2025-10-04,2025-10-04T12:10:00Z,25,passing"
OTHER_DAY = "Quay Wood,2025-10-05,2025-10-05T12:10:00Z,25,passing"


def _stops(path: Path, foray: int = 1) -> list[tuple[object, ...]]:
    found = books.asked(path, STOPS, foray)
    return [(name, turn, None if at is None else str(at)[11:16]) for name, turn, at in found]


PLANNED_ONLY = [("Mill Park", 1, None)]
BOTH = [("Mill Park", 1, "09:30"), ("Quay Wood", None, "12:10")]


def test_a_visit_joins_its_stop_and_a_site_not_planned_becomes_one(path: Path, tmp_path: Path) -> None:
    file = _visits(tmp_path, MILL_AGAIN, MILL, QUAY, OTHER_DAY)
    report = town.bring(path, file, now=books.LATER)
    assert _stops(path) == BOTH
    assert any("joined to the foray: 2 stops, 1 of them not planned" in said for said in report.remarks)
    before = books.contents(path)
    assert not any("joined" in said for said in town.bring(path, file, now=books.LATER + STEP).remarks)
    assert books.contents(path) == before
    later = town.bring(path, _visits(tmp_path, OTHER_DAY, name="more"), now=books.LATER + 2 * STEP)
    assert not any("joined" in said for said in later.remarks)


@pytest.mark.parametrize("by_file", [True, False])
def test_an_undone_import_leaves_the_plan_and_comes_back_whole(
    path: Path, tmp_path: Path, *, by_file: bool
) -> None:
    file = _visits(tmp_path, MILL, QUAY)
    town.bring(path, file, now=books.LATER)
    with opened(path) as book:
        undo(book, now=books.LATER + STEP, batch=file.name if by_file else None)
    assert _stops(path) == PLANNED_ONLY
    assert books.only(path, "SELECT count(*) FROM foray_stop WHERE visit_id IS NOT NULL AND turn = 1") == (0,)
    town.bring(path, file, now=books.LATER + 2 * STEP)
    assert _stops(path) == BOTH
    with opened(path) as book:
        undo(book, now=books.LATER + 3 * STEP)
        undo(book, now=books.LATER + 4 * STEP, back=True)
    assert _stops(path) == BOTH


def test_halves_in_any_order_join_alike(path: Path, tmp_path: Path) -> None:
    for number, line in enumerate((MILL_AGAIN, QUAY, MILL)):
        file = _visits(tmp_path, line, name=f"part{number}")
        town.bring(path, file, now=books.LATER + number * STEP)
    assert _stops(path) == BOTH


def test_a_site_that_another_foray_of_the_day_planned_is_joined_there(path: Path, tmp_path: Path) -> None:
    made_forays.keep(path, "Quay Wood", name="two", now=books.NOW + 2 * STEP)
    town.bring(path, _visits(tmp_path, MILL, QUAY), now=books.LATER)
    assert _stops(path, 1) == [("Mill Park", 1, "09:30")]
    assert _stops(path, 2) == [("Quay Wood", 1, "12:10")]


def test_a_typed_visit_joins_too_and_a_stop_withdrawn_by_hand_stays_so(path: Path, tmp_path: Path) -> None:
    said = {"site": "Quay Wood", "local_date": "2025-10-04", "reason": "passing", "search_minutes": "25"}
    with opened(path) as book:
        add(book, "visit", said, now=books.LATER)
    assert _stops(path) == [*PLANNED_ONLY, ("Quay Wood", None, None)]
    (key,) = books.only(path, "SELECT uuid FROM foray_stop WHERE turn IS NULL")
    with opened(path) as book:
        withdraw(book, "foray_stop", str(key), now=books.LATER + STEP)
    town.bring(path, _visits(tmp_path, MILL), now=books.LATER + 2 * STEP)
    assert _stops(path) == [("Mill Park", 1, "09:30")]
    with opened(path) as book:
        undo(book, now=books.LATER + 3 * STEP, last=3)
    assert _stops(path) == PLANNED_ONLY


def test_a_visit_that_was_there_before_the_day_was_planned_is_no_part_of_it(
    path: Path, tmp_path: Path
) -> None:
    file = _visits(tmp_path, OTHER_DAY)
    town.bring(path, file, now=books.NOW + 2 * STEP)
    made_forays.keep(
        path, "Mill Park", on=made_forays.DAY + datetime.timedelta(days=1), name="two", now=books.LATER
    )
    with opened(path) as book:
        undo(book, now=books.LATER + STEP, batch=file.name)
    town.bring(path, file, now=books.LATER + 2 * STEP)
    assert _stops(path, 2) == PLANNED_ONLY
