"""Makes small books for the tests, and tells what is in one."""

from __future__ import annotations

import datetime
import functools
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path

from sitebook.records.columns import meanings
from sitebook.records.kinds import KINDS
from sitebook.store.book import Book, writing
from sitebook.work.beginning import new_book

NOW = datetime.datetime(2025, 10, 1, 12, 0, tzinfo=datetime.UTC)
LATER = datetime.datetime(2025, 11, 2, 9, 30, tzinfo=datetime.UTC)
TODAY = NOW.date()
ZONE = "Etc/GMT+1"


@functools.cache
def _fresh() -> bytes:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "fresh.gpkg"
        new_book(path, title="Vennaray", owner="Orla Vennar", initials="OV", zone=ZONE, now=NOW)
        return path.read_bytes()


def fresh(folder: Path, name: str = "sitebook.gpkg") -> Path:
    """Make a new book; the bytes are the same each time."""
    path = folder / name
    path.write_bytes(_fresh())
    return path


class _TakenBackError(Exception):
    """Raised to take back what a test wrote."""


@contextmanager
def taken_back(book: Book) -> Iterator[None]:
    """Hold a book for writing and take everything back at the end."""
    with suppress(_TakenBackError), writing(book):
        yield
        raise _TakenBackError


def asked(path: Path, statement: str, *values: object) -> list[tuple[object, ...]]:
    """Ask a book's file without sitebook."""
    with closing(sqlite3.connect(path)) as book:
        return [tuple(row) for row in book.execute(statement, values)]


def only(path: Path, statement: str, *values: object) -> tuple[object, ...]:
    """Ask for the one row there must be."""
    (row,) = asked(path, statement, *values)
    return row


def revision(path: Path) -> int:
    """Give the book's count of changes."""
    (found,) = only(path, "SELECT revision FROM book")
    assert isinstance(found, int)
    return found


def contents(path: Path) -> dict[str, list[tuple[object, ...]]]:
    """Give every row of every table, in the order they are kept."""
    return {table: asked(path, f"SELECT * FROM {table} ORDER BY id") for table in KINDS}  # noqa: S608


def uuids(path: Path) -> dict[str, list[object]]:
    """Give the UUIDs in every table, sorted."""
    return {
        table: sorted(row[0] for row in asked(path, f"SELECT uuid FROM {table}"))  # type: ignore[type-var]  # noqa: S608
        for table, kind in KINDS.items()
        if "uuid" in meanings(kind)
    }


def table(folder: Path, kind: str, *lines: str, name: str | None = None) -> Path:
    """Write a table of a kind: header first, then rows."""
    path = folder / f"{name or kind}.csv"
    path.write_text("\n".join((f"# sitebook table: {kind}", *lines, "")), "utf-8")
    return path
