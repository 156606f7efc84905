"""Keeps two values of one column side by side until she decides which stands."""

from __future__ import annotations

from collections.abc import Iterable

from sitebook.records.history import Conflict
from sitebook.records.kinds import table_name
from sitebook.records.standing import Row
from sitebook.store import history, rows
from sitebook.store.book import Book
from sitebook.work.identity_keys import uuid_of


def key_of(record: Row, column: str, theirs: str | None) -> str:
    """Give the UUID of a conflict: the same value for the same column is the same conflict each time."""
    said = f"{table_name(type(record))}|{history.row_key(record)}|{column}|{theirs}"
    return uuid_of("conflict", said)


def decided(book: Book, record: Row, columns: dict[str, str | None]) -> set[str]:
    """Give the columns for which she decided already that the value coming in does not stand."""
    keys = {key_of(record, column, theirs): column for column, theirs in columns.items()}
    there = rows.by_uuid(book, Conflict, keys)
    return {keys[key] for key, conflict in there.items() if conflict.decided is not None}


def keep_conflicts(
    book: Book,
    record: Row,
    columns: dict[str, str | None],
    *,
    base: dict[str, str | None] | None = None,
    batch_id: int | None = None,
) -> None:
    """Keep a conflict for each column, its value coming in beside the one in the book, once.

    Parameters
    ----------
    book
        The open book, inside an act.
    record
        The row as it is.
    columns
        Column to the value that came in, as text.
    base
        Column to the value both started from, as text.
    batch_id
        Import it came with.
    """
    act = history.act_of(book)
    if act is None:
        raise ValueError("a conflict belongs to an act")
    keys = {column: key_of(record, column, theirs) for column, theirs in columns.items()}
    there = rows.by_uuid(book, Conflict, keys.values())
    again = [c for c in there.values() if c.withdrawn_at is not None]
    back: dict[str, object] = {"withdrawn_at": None, "batch_id": batch_id}
    history.amend_all(book, [(conflict, back) for conflict in again], batch_id=batch_id)
    new = [
        Conflict(
            uuid=keys[column],
            created_at=act.made_at,
            changed_at=act.made_at,
            batch_id=batch_id,
            table_name=table_name(type(record)),
            row_uuid=history.row_key(record),
            column_name=column,
            base_value=(base or {}).get(column),
            our_value=history.as_text(getattr(record, column)),
            their_value=theirs,
        )
        for column, theirs in columns.items()
        if keys[column] not in there
    ]
    _insert(book, new, batch_id)


def _insert(book: Book, new: Iterable[Conflict], batch_id: int | None) -> None:
    kept = list(new)
    rows.insert(book, kept)
    if batch_id is None:
        history.note_made(book, kept)
