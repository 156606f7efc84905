"""Tests that a history which speaks of what is not there is found, and a book that does not know itself."""

# ruff: noqa: S608

from __future__ import annotations

from pathlib import Path

import pytest

from tests.store.breaking import INSTANT, broken, faults
from tests.work import books

CHANGE = f"""INSERT INTO change (act, made_at, command_name, table_name, row_uuid, column_name)
    VALUES ('a', '{INSTANT}', 'change', {{}})"""


def _person(path: Path) -> object:
    return books.only(path, "SELECT uuid FROM person")[0]


@pytest.mark.parametrize(
    ("says", "told"),
    [
        ("'person', '{person}', 'name'", None),
        ("'person', 'nobody', 'name'", "speaks of person nobody, which is not there"),
        ("'person', '{person}', 'shoe_size'", "speaks of a column shoe_size of person that is not there"),
        ("'pets', '{person}', 'name'", "speaks of a table pets that is not there"),
        ("'way', 'gone with its extract', 'name'", None),
        ("'setting', '', 'value_text'", None),
    ],
)
def test_a_change_of_what_is_not_there_is_found(says: str, told: str | None, tmp_path: Path) -> None:
    path = books.fresh(tmp_path)
    broken(path, CHANGE.format(says.format(person=_person(path))))
    found = faults(path).get("history", ())
    assert len(found) == (told is not None)
    assert told is None or told in found[0]


@pytest.mark.parametrize(
    ("statement", "told"),
    [
        ("UPDATE book SET uuid = 'mine'", "is no UUID"),
        ("UPDATE book SET zone = 'Atlantis/Capital'", "is not known"),
        ("UPDATE book SET zone = '../etc'", "is not known"),
        ("UPDATE book SET revision = -1", "count of changes is '-1'"),
        ("DELETE FROM book", "0 rows about itself"),
    ],
)
def test_a_book_that_does_not_know_itself_is_found(statement: str, told: str, tmp_path: Path) -> None:
    found = faults(broken(books.fresh(tmp_path), statement))
    (fault,) = found.pop("the book's own row")
    assert told in fault
    assert found == {}
