"""Tells which acts there were, and which of them stand."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import func, select

from sitebook.records.history import Change
from sitebook.records.import_batch import ImportBatch
from sitebook.store import rows
from sitebook.store.book import Book


@dataclass(frozen=True)
class Done:
    """One act as the history holds it.

    Parameters
    ----------
    key
        UUID that its changes share.
    command_name, made_at
        The command and its instant, UTC.
    undoes
        Act or import that it took back; None for one that took nothing back.
    first_id
        Key of its first change.
    of_file
        Whether a file said any of it.
    """

    key: str
    command_name: str
    made_at: datetime.datetime
    undoes: str | None
    first_id: int
    of_file: bool


def all_acts(book: Book) -> list[Done]:
    """Give every act that changed anything, oldest first."""
    change = rows.table_for(Change)
    statement = (
        select(
            change.c.act,
            func.min(change.c.command_name),
            func.min(change.c.made_at, type_=change.c.made_at.type),
            func.min(change.c.undoes),
            func.min(change.c.id),
            func.max(change.c.batch_id),
        )
        .group_by(change.c.act)
        .order_by(func.min(change.c.id))
    )
    return [Done(*row[:5], of_file=row[5] is not None) for row in book.connection.execute(statement)]


def taken_back(acts: Sequence[Done]) -> frozenset[str]:
    """Give the keys of acts and imports that a later act took back, which was not taken back itself."""
    gone: set[str] = set()
    for act in reversed(acts):
        if act.undoes is not None and act.key not in gone:
            gone.add(act.undoes)
    return frozenset(gone)


def not_standing(book: Book) -> tuple[frozenset[str], frozenset[int]]:
    """Give the keys of the acts and the ids of the imports that were taken back."""
    undone = rows.records(book, ImportBatch, rows.table_for(ImportBatch).c.undone_at.is_not(None))
    return taken_back(all_acts(book)), frozenset(batch.id for batch in undone if batch.id is not None)


def changes_of(book: Book, act: str) -> list[Change]:
    """Give the changes of one act, oldest first."""
    return rows.records(book, Change, rows.table_for(Change).c.act == act)


def only_standing(changes: Sequence[Change], acts: frozenset[str], imports: frozenset[int]) -> list[Change]:
    """Leave away the changes that were taken back, and those that only took others back."""
    return [
        change
        for change in changes
        if change.undoes is None and change.act not in acts and change.batch_id not in imports
    ]
