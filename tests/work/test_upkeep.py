"""Tests that a book is counted, looked over and brought up to date by one request each."""

from __future__ import annotations

from pathlib import Path

from sitebook.records.kinds import KINDS
from sitebook.work import opened
from sitebook.work.upkeep import bring_up_to_date, counts
from tests.work import books
from tests.work.bring_in import town


def test_every_table_is_counted(tmp_path: Path) -> None:
    path = town.built(tmp_path)
    with opened(path) as book:
        found = counts(book)
    assert list(found) == list(KINDS)
    assert (found["site"], found["find"], found["extract"]) == (2, 3, 2)


def test_a_withdrawn_record_is_not_counted(tmp_path: Path) -> None:
    path = town.built(tmp_path)
    with opened(path) as book:
        book.connection.exec_driver_sql("UPDATE site SET withdrawn_at = created_at WHERE id = 1")
        assert counts(book)["site"] == 1


def test_a_book_of_today_needs_no_upgrade(tmp_path: Path) -> None:
    path = books.fresh(tmp_path)
    assert bring_up_to_date(path).result is None
