"""Kept results that may be emptied at any time: rows in, records out."""

from __future__ import annotations

import datetime
from collections.abc import Collection, Mapping

from sitebook.records.derived import Derived
from sitebook.store import rows
from sitebook.store.book import Book, writing


def kept(book: Book, kind: str) -> dict[str, Derived]:
    """Give what is kept of a kind, by what it is of."""
    table = rows.table_for(Derived)
    return {one.derived_key: one for one in rows.records(book, Derived, table.c.kind == kind)}


def kept_of(book: Book, kind: str, key: str) -> Derived | None:
    """Give what is kept of a kind of one thing; None where nothing is."""
    table = rows.table_for(Derived)
    found = rows.records(book, Derived, table.c.kind == kind, table.c.derived_key == key)
    return found[0] if found else None


def put_in_place(
    book: Book,
    kind: str,
    fresh: Mapping[str, tuple[str, bytes]],
    *,
    now: datetime.datetime,
    standing: Collection[str] | None = None,
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
    standing
        Things that results of the kind may be of; what is kept of others goes. None keeps all.
    """
    if not fresh:
        return
    with writing(book):
        there = rows.ids_by(book, Derived, ("kind", "derived_key"))
        ours = {str(key): row for (of_kind, key), row in there.items() if of_kind == kind}
        gone = [
            row for key, row in ours.items() if key in fresh or (standing is not None and key not in standing)
        ]
        rows.delete(book, Derived, gone)
        rows.insert(
            book,
            [
                Derived(kind=kind, derived_key=key, input_hash=input_hash, made_at=now, payload=payload)
                for key, (input_hash, payload) in fresh.items()
            ],
        )
