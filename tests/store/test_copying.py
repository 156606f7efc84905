"""Tests that a copy of a book is whole or is not there."""

from __future__ import annotations

import resource
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from sitebook import errors
from sitebook.store.copying import copy_aside, require_whole
from tests.store.breaking import broken
from tests.work import books


def test_a_copy_holds_every_row(tmp_path: Path) -> None:
    path = books.fresh(tmp_path)
    copy_aside(path, tmp_path / "copy.gpkg")
    assert books.contents(tmp_path / "copy.gpkg") == books.contents(path)
    require_whole(tmp_path / "copy.gpkg")


def test_a_copy_is_never_written_over_a_file(tmp_path: Path) -> None:
    path = books.fresh(tmp_path)
    copy = tmp_path / "copy.gpkg"
    copy.write_bytes(b"mine")
    with pytest.raises(errors.BookExists):
        copy_aside(path, copy)
    assert copy.read_bytes() == b"mine"


def test_a_book_that_another_holds_is_waited_for_and_not_without_end(tmp_path: Path) -> None:
    path = books.fresh(tmp_path)
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("BEGIN EXCLUSIVE")
        with pytest.raises(errors.BookBusy):
            copy_aside(path, tmp_path / "copy.gpkg", wait_s=0.05)
    assert [p.name for p in tmp_path.iterdir()] == [path.name]


def test_a_torn_book_is_not_copied(tmp_path: Path) -> None:
    path = books.fresh(tmp_path)
    content = bytearray(path.read_bytes())
    content[20 * 4096 : 40 * 4096] = bytes(20 * 4096)
    path.write_bytes(bytes(content))
    with pytest.raises(errors.BookDamaged, match="last copy"):
        copy_aside(path, tmp_path / "copy.gpkg")
    assert [p.name for p in tmp_path.iterdir()] == [path.name]
    with pytest.raises(errors.BookDamaged, match="last copy"):
        require_whole(path)


def test_a_list_of_tables_that_is_no_text_is_told(tmp_path: Path) -> None:
    path = books.fresh(tmp_path)
    with closing(sqlite3.connect(path)) as other, other:
        other.execute("PRAGMA writable_schema=ON")
        other.execute("UPDATE sqlite_master SET sql = CAST(x'ff2020fe' AS TEXT) WHERE name = 'find'")
    with pytest.raises(errors.BookDamaged):
        copy_aside(path, tmp_path / "copy.gpkg")
    assert [p.name for p in tmp_path.iterdir()] == [path.name]


def test_a_place_that_cannot_be_written_is_told_as_the_copys(tmp_path: Path) -> None:
    path = books.fresh(tmp_path)
    with pytest.raises(errors.FileNotWritable, match="none: the copy cannot be written"):
        copy_aside(path, tmp_path / "none" / "copy.gpkg")


def test_a_copy_that_finds_no_room_leaves_nothing(tmp_path: Path) -> None:
    path = broken(books.fresh(tmp_path), "UPDATE book SET title = printf('%.*c', 100000, 'x')")
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (100_000, before[1]))
    try:
        with pytest.raises(errors.FileNotWritable, match="the copy cannot be written"):
            copy_aside(path, tmp_path / "copy.gpkg")
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)
    assert [p.name for p in tmp_path.iterdir()] == [path.name]
