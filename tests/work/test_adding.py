"""Tests that a typed record is kept as a line of its table would be, or refused in words."""

from __future__ import annotations

import datetime
from pathlib import Path

import pytest

from sitebook import errors
from sitebook.intake.table.kinds import LAYOUTS
from sitebook.work import opened
from sitebook.work.adding import add, fields_of, local_today
from tests.work import books
from tests.work.bring_in import town


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return town.built(tmp_path)


def _add(path: Path, kind: str, **cells: str) -> dict[str, int]:
    with opened(path) as book:
        return add(book, kind, cells, now=books.LATER).result


def test_a_visit_is_added_and_bears_no_import(book: Path) -> None:
    made = _add(
        book, "visit", site="mill park", local_date="2025-10-30", reason="planned", search_minutes="12,5"
    )
    assert made == {"visit": 1}
    asked = "SELECT search_minutes, batch_id, created_at FROM visit WHERE local_date = '2025-10-30'"
    assert books.only(book, asked) == (12.5, None, "2025-11-02T09:30:00.000Z")


def test_a_find_is_added_with_its_name_host_and_visit(book: Path) -> None:
    made = _add(
        book,
        "find",
        site="Quay Wood",
        found_on="2025-10-30",
        collection_number="7",
        name="Boletus vennarae cf.",
        host_tree="O2",
    )
    assert made == {"taxon": 1, "visit": 1, "find": 1, "find_host": 1, "determination": 1}
    asked = "SELECT reason FROM visit WHERE local_date = '2025-10-30'"
    assert books.only(book, asked) == ("seen first",)


def test_it_is_the_row_a_table_would_make(book: Path, tmp_path: Path) -> None:
    _add(book, "visit", site="Mill Park", local_date="2025-10-30", reason="planned")
    same = books.table(
        tmp_path, "visit", "site,local_date,reason", "Mill Park,2025-10-30,planned", name="same"
    )
    report = town.bring(book, same)
    assert town.added(report) == {}
    assert [file.already for file in report.files] == [1]


@pytest.mark.parametrize(
    ("kind", "cells", "told"),
    [
        ("visit", {"site": "Mill Park", "local_date": "2025-10-30"}, "reason"),
        ("visit", {"site": "Mill Park", "local_date": "2025-02-30", "reason": "planned"}, "2025-02-30"),
        (
            "visit",
            {"site": "Mil Park", "local_date": "2025-10-30", "reason": "planned"},
            "nearest: Mill Park",
        ),
        ("visit", {"site": "Mill Park", "local_date": "2025-10-30", "reason": "because"}, "because"),
        ("site", {"name": "Nowhere"}, "where is it"),
        ("site", {"name": "X", "lon": "-19.4", "lat": "148.6", "radius_m": "5"}, "148.6"),
        ("person", {"name": "Torva Hesk", "initials": "TH"}, "holds this record already"),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_kept(
    kind: str, cells: dict[str, str], told: str, book: Path
) -> None:
    before = book.read_bytes()
    with pytest.raises(errors.SitebookError, match=told) as refused:
        _add(book, kind, **cells)
    assert "\n" not in str(refused.value)
    assert book.read_bytes() == before


def test_a_far_place_is_refused_unless_she_says_so(book: Path) -> None:
    far = {"name": "Alm", "lon": "13", "lat": "47", "radius_m": "20"}
    with pytest.raises(errors.SitebookError, match="km from everything"):
        _add(book, "site", **far)
    with opened(book) as found:
        assert add(found, "site", far, now=books.LATER, far=True).result == {"site": 1}


def test_a_kind_or_field_nobody_knows_is_refused_with_those_there_are(book: Path) -> None:
    with pytest.raises(errors.BadArgument, match="visit"):
        _add(book, "dragon", name="X")
    with pytest.raises(errors.BadArgument, match=r"no field 'mood'.*reason"):
        _add(book, "visit", mood="fine")


@pytest.mark.parametrize("kind", list(LAYOUTS))
def test_fields_that_must_be_filled_come_first(kind: str) -> None:
    fields = fields_of(kind)
    required = [field.required for field in fields]
    assert required == sorted(required, reverse=True)
    assert {field.name for field in fields if field.required} == set(LAYOUTS[kind].required)
    assert "uuid" not in {field.name for field in fields}
    assert all(field.meaning for field in fields)


def test_today_is_that_of_the_books_zone(book: Path) -> None:
    night = datetime.datetime(2025, 11, 3, 0, 20, tzinfo=datetime.UTC)
    with opened(book) as found:
        assert local_today(found, night) == datetime.date(2025, 11, 2)
