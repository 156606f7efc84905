"""Opening a book: the only way to it for commands."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sitebook.records.book import Book as BookRow
from sitebook.records.person import Person
from sitebook.store import book as store_book
from sitebook.store import rows
from sitebook.store.book import Book

__all__ = ["Book", "book_row", "opened", "owner"]


@contextmanager
def opened(path: Path, wait_s: float | None = None) -> Iterator[Book]:
    """Open the book at a path and close it again; one that is write-protected can still be read.

    Parameters
    ----------
    path
        The book's file.
    wait_s
        How long to wait for another program that holds it [s]; None for ten seconds.

    Raises
    ------
    SitebookError
        When it is missing, not a book, of another age, busy or damaged.
    """
    with store_book.opened(Path(path), wait_s) as book:
        yield book


def book_row(book: Book) -> BookRow:
    """Give the one row that says what this book is."""
    (row,) = rows.records(book, BookRow)
    return row


def owner(book: Book) -> Person:
    """Give the book's owner."""
    owner_id = book_row(book).owner_id
    return next(p for p in rows.records(book, Person, withdrawn=True) if p.id == owner_id)
