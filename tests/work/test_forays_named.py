"""Tests how a foray is named on the command line."""

from __future__ import annotations

import datetime
from pathlib import Path

import pytest

from sitebook import errors
from sitebook.work import opened
from sitebook.work.forays_named import named_foray
from tests.work import books, made_forays
from tests.work.bring_in import town

SUNDAY = made_forays.DAY + datetime.timedelta(days=1)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Give a book with two sites and no foray."""
    found = books.fresh(tmp_path)
    town.bring(found, town.sites(tmp_path))
    return found


def test_a_book_without_a_foray_says_how_to_plan_one(path: Path) -> None:
    with opened(path) as book, pytest.raises(errors.NothingToShow, match="no foray"):
        named_foray(book)


def test_a_foray_is_named_by_uuid_beginning_or_date(path: Path) -> None:
    first = made_forays.keep(path, "Mill Park")
    second = made_forays.keep(path, "Quay Wood", on=SUNDAY, name="two")
    with opened(path) as book:
        assert named_foray(book).uuid == second
        for words in (first, first.upper(), first[:8], first[:13], f" {made_forays.DAY} "):
            assert named_foray(book, words).uuid == first
        for words in ("2025-10-11", first[:7], "Mill Park", "%", "xxxxxxxx", ""):
            with pytest.raises(errors.RecordMissing, match="no foray is called"):
                named_foray(book, words)


def test_two_forays_of_one_date_are_asked_about_and_the_latest_planned_is_the_latest(path: Path) -> None:
    first = made_forays.keep(path, "Mill Park")
    second = made_forays.keep(path, "Quay Wood", name="two", now=books.LATER)
    with opened(path) as book:
        with pytest.raises(errors.NameAmbiguous, match=f"{first[:8]}.*{second[:8]}"):
            named_foray(book, "2025-10-04")
        assert named_foray(book).uuid == second
