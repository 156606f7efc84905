"""Tests that looking a book over finds each thing that was broken on purpose, and nothing in a whole one."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.store.breaking import BOUNDS, POINT, SITE, broken, faults, remarks
from tests.work import books

BROKEN = {
    "references between tables": (
        "INSERT INTO setting (person_id, setting_key, value_text) VALUES (99, 'far_km', '1')",
        "row 1 of setting refers to a person",
    ),
    "tables as this sitebook knows them": (
        "ALTER TABLE derived DROP COLUMN payload",
        "derived lacks payload",
    ),
    "look-alikes in both directions": (
        "DELETE FROM look_alike WHERE id = (SELECT min(id) FROM look_alike)",
        "as a look-alike, not the reverse",
    ),
}


def test_nothing_is_found_in_a_new_book(tmp_path: Path) -> None:
    path = books.fresh(tmp_path)
    assert faults(path) == {}
    assert remarks(path) == ()


@pytest.mark.parametrize("looked_at", list(BROKEN))
def test_what_was_broken_is_found_and_nothing_else(looked_at: str, tmp_path: Path) -> None:
    statement, told = BROKEN[looked_at]
    found = faults(broken(books.fresh(tmp_path), statement))
    (fault,) = found.pop(looked_at)
    assert told in fault
    assert found == {}


@pytest.mark.parametrize(
    ("statement", "told"),
    [
        ("DELETE FROM rtree_site_geom", "row 1 of site is not in its index"),
        ("INSERT INTO rtree_site_geom VALUES (7, 1, 1, 2, 2)", "index of site holds row 7"),
        ("UPDATE rtree_site_geom SET minx = 5, maxx = 6", "row 1 of site lies outside its bounds"),
    ],
)
def test_an_index_that_disagrees_is_found(statement: str, told: str, tmp_path: Path) -> None:
    path = broken(books.fresh(tmp_path), SITE.format(POINT), BOUNDS)
    assert faults(path) == {}
    (fault,) = faults(broken(path, statement))["spatial indexes"]
    assert told in fault


def test_a_torn_page_is_found(tmp_path: Path) -> None:
    path = books.fresh(tmp_path)
    (root,) = books.only(path, "SELECT rootpage FROM sqlite_master WHERE name = 'ix_look_alike_other_id'")
    assert isinstance(root, int)
    content = bytearray(path.read_bytes())
    content[(root - 1) * 4096 + 200 : root * 4096] = bytes(3896)
    path.write_bytes(bytes(content))
    assert "the file itself" in faults(path)


def test_a_part_that_cannot_be_read_is_told_and_the_rest_is_looked_at(tmp_path: Path) -> None:
    path = books.fresh(tmp_path)
    (root,) = books.only(path, "SELECT rootpage FROM sqlite_master WHERE name = 'look_alike'")
    assert isinstance(root, int)
    content = bytearray(path.read_bytes())
    content[(root - 1) * 4096 : root * 4096] = bytes(4096)
    path.write_bytes(bytes(content))
    found = faults(path)
    assert "could not be looked at" in found["look-alikes in both directions"][0]
    assert "GeoPackage bookkeeping" not in found


def test_many_faults_of_one_kind_are_counted(tmp_path: Path) -> None:
    path = broken(books.fresh(tmp_path), "UPDATE look_alike SET other_id = taxon_id + 90000")
    found = faults(path)["references between tables"]
    assert len(found) == 21
    assert found[-1].startswith("and ")
