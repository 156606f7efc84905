"""Tests that looking a book over finds each thing that was broken on purpose, and nothing in a whole one."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from sitebook.store import check
from sitebook.store.book import opened
from sitebook.store.geopackage import register_functions
from tests.work import books

SITE = """INSERT INTO site (uuid, created_at, changed_at, name, sensitivity, geom)
    VALUES ('s', '2025-10-01T12:00:00.000Z', '2025-10-01T12:00:00.000Z', 'A', 'withheld', {})"""
BLOB = "x'47500001e61000000101000000000000000000f03f0000000000000040'"
BROKEN = {
    "references between tables": (
        "INSERT INTO setting (person_id, setting_key, value_text) VALUES (99, 'far_km', '1')",
        "row 1 of setting refers to a person",
    ),
    "tables as this sitebook knows them": (
        "ALTER TABLE derived DROP COLUMN payload",
        "derived lacks payload",
    ),
    "GeoPackage bookkeeping": (
        "DELETE FROM gpkg_contents WHERE table_name = 'setting'",
        "setting is not listed",
    ),
    "look-alikes in both directions": (
        "DELETE FROM look_alike WHERE id = (SELECT min(id) FROM look_alike)",
        "as a look-alike, not the reverse",
    ),
}


def _faults(path: Path) -> dict[str, tuple[str, ...]]:
    with opened(path) as book:
        return {line.looked_at: line.faults for line in check.look_over(book) if line.faults}


def _break(path: Path, *statements: str) -> None:
    with closing(sqlite3.connect(path)) as book, book:
        register_functions(book)
        for statement in statements:
            book.execute(statement)


def test_nothing_is_found_in_a_new_book(tmp_path: Path) -> None:
    assert _faults(books.fresh(tmp_path)) == {}


@pytest.mark.parametrize("looked_at", list(BROKEN))
def test_what_was_broken_is_found_and_nothing_else(looked_at: str, tmp_path: Path) -> None:
    path = books.fresh(tmp_path)
    statement, told = BROKEN[looked_at]
    _break(path, statement)
    (fault,) = _faults(path).pop(looked_at)
    assert told in fault
    assert set(_faults(path)) == {looked_at}


@pytest.mark.parametrize(
    ("statement", "told"),
    [
        ("DELETE FROM rtree_site_geom", "row 1 of site is not in its index"),
        ("INSERT INTO rtree_site_geom VALUES (7, 0, 0, 0, 0)", "index of site holds row 7"),
        ("UPDATE rtree_site_geom SET minx = 5, maxx = 6", "row 1 of site lies outside its bounds"),
    ],
)
def test_an_index_that_disagrees_is_found(statement: str, told: str, tmp_path: Path) -> None:
    path = books.fresh(tmp_path)
    _break(path, SITE.format(BLOB))
    assert _faults(path) == {}
    _break(path, statement)
    (fault,) = _faults(path)["spatial indexes"]
    assert told in fault


def test_a_torn_page_is_found(tmp_path: Path) -> None:
    path = books.fresh(tmp_path)
    (root,) = books.only(path, "SELECT rootpage FROM sqlite_master WHERE name = 'ix_look_alike_other_id'")
    assert isinstance(root, int)
    content = bytearray(path.read_bytes())
    content[(root - 1) * 4096 + 200 : root * 4096] = bytes(3896)
    path.write_bytes(bytes(content))
    assert "the file itself" in _faults(path)
