"""Kept results that may be emptied at any time: rows in, records out."""

from __future__ import annotations

import datetime
from collections.abc import Mapping

from sitebook.records.derived import Derived
from sitebook.store import rows
from sitebook.store.book import Book, writing


def kept(book: Book, kind: str) -> dict[str, Derived]:
    """Give what is kept of a kind, by what it is of."""
    table = rows.table_for(Derived)
    return {one.derived_key: one for one in rows.records(book, Derived, table.c.kind == kind)}


def put_in_place(
    book: Book, kind: str, fresh: Mapping[str, tuple[str, bytes]], *, now: datetime.datetime
) -> None:
    """Keep results of a kind, each in place of what was kept of the same thing.

    Parameters
    ----------
    book
        The book.
    kind
        What they are.
    fresh
        What each is of, with the hash of everything it was computed from and the result as bytes.
    now
        Instant noted, UTC.
    """
    if not fresh:
        return
    with writing(book):
        gone = [one.id or 0 for key, one in kept(book, kind).items() if key in fresh]
        rows.delete(book, Derived, gone)
        rows.insert(
            book,
            [
                Derived(kind=kind, derived_key=key, input_hash=input_hash, made_at=now, payload=payload)
                for key, (input_hash, payload) in fresh.items()
            ],
        )
