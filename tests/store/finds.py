"""Writes finds one by one, as a person at her table does, and tells which the book holds."""

from __future__ import annotations

import uuid
from collections.abc import Iterator
from pathlib import Path

import shapely

from sitebook.records.find import Find
from sitebook.store import rows
from sitebook.store.book import Book, opened, writing
from tests.work import books

PLACE = shapely.Point(-19.4, 48.6)


def find(number: int | None = None) -> Find:
    """Make a find that no other is like."""
    return Find(
        uuid=str(uuid.uuid4()),
        created_at=books.NOW,
        changed_at=books.NOW,
        collector_id=1,
        collection_number=number,
        found_on=books.TODAY,
        geom=PLACE,
    )


def kept_one_by_one(book: Book) -> Iterator[str]:
    """Keep finds without end, each in a transaction of its own; gives the UUID of each once it is kept."""
    while True:
        one = find()
        with writing(book):
            rows.insert(book, [one])
        yield one.uuid


def write(path: Path, how_many: int, wait_s: float) -> list[str]:
    """Keep so many finds one by one; gives their UUIDs."""
    with opened(path, wait_s) as book:
        kept = kept_one_by_one(book)
        return [next(kept) for _ in range(how_many)]


def held(path: Path) -> set[object]:
    """Give the UUIDs of the finds a book holds, asked without sitebook."""
    return {row[0] for row in books.asked(path, "SELECT uuid FROM find")}
