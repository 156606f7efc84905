"""Makes corrections in a book at a path, a minute apart, and gives what the book says."""

from __future__ import annotations

import datetime
import itertools
from pathlib import Path

from sitebook.records.kinds import KINDS
from sitebook.records.results.corrections import Changed, ConflictLine, Merged, Undone, Withdrawn
from sitebook.store import history, rows
from sitebook.work import opened, upkeep
from sitebook.work.adding import add as work_add
from sitebook.work.corrections import deciding, telling_history
from sitebook.work.corrections.changing import change as work_change
from sitebook.work.corrections.merging import merge as work_merge
from sitebook.work.corrections.undoing import undo as work_undo
from sitebook.work.corrections.withdrawing import withdraw as work_withdraw
from tests.work import books

_MINUTES = itertools.count(1)
Rows = dict[tuple[str, str], dict[str, str | None]]
"""Column to value as text, by table and key of the row."""

OF_ITSELF = ("changed_at", "revision", "content")
"""Columns that tell of the writing, not of what is known."""


def later() -> datetime.datetime:
    """Give an instant after every earlier one."""
    return books.LATER + datetime.timedelta(minutes=next(_MINUTES))


def add(path: Path, kind: str, /, **cells: str) -> dict[str, int]:
    """Add one record."""
    with opened(path) as book:
        return work_add(book, kind, cells, now=later()).result


def change(path: Path, kind: str, name: str, /, **cells: str) -> Changed:
    """Change one record."""
    with opened(path) as book:
        return work_change(book, kind, name, cells, now=later()).result


def withdraw(path: Path, kind: str, name: str, *, back: bool = False, with_all: bool = False) -> Withdrawn:
    """Withdraw one record, or bring it back."""
    with opened(path) as book:
        return work_withdraw(book, kind, name, now=later(), back=back, with_all=with_all).result


def merge(path: Path, kind: str, kept: str, other: str) -> Merged:
    """Make two records one."""
    with opened(path) as book:
        return work_merge(book, kind, kept, other, now=later()).result


def undo(
    path: Path, *, last: int = 1, batch: str | None = None, back: bool = False, dry_run: bool = False
) -> Undone:
    """Take something back."""
    with opened(path) as book:
        return work_undo(book, now=later(), last=last, batch=batch, back=back, dry_run=dry_run).result


def conflicts(path: Path) -> tuple[ConflictLine, ...]:
    """Give the conflicts that wait."""
    with opened(path) as book:
        return deciding.conflicts(book).result


def decide(path: Path, conflict_id: int, which: str) -> ConflictLine:
    """Decide one conflict."""
    with opened(path) as book:
        return deciding.decide(book, conflict_id, which, now=later()).result


def told(path: Path, kind: str, name: str) -> list[str]:
    """Give the history of a record in words."""
    with opened(path) as book:
        return [line.words for line in telling_history.of_record(book, kind, name).result.lines]


def faults(path: Path) -> list[str]:
    """Give what `check` finds."""
    with opened(path) as book:
        return [fault for line in upkeep.look_over(book).result for fault in line.faults]


def counts(path: Path) -> dict[str, int]:
    """Count the rows in view of every table."""
    with opened(path) as book:
        return upkeep.counts(book)


def state(path: Path, *, withdrawn: bool = False, without: tuple[str, ...] = ("change",)) -> Rows:
    """Give every row in view, or every row there is, as text."""
    found: Rows = {}
    with opened(path) as book:
        for name, kind in KINDS.items():
            if name in without:
                continue
            for record in rows.records(book, kind, withdrawn=withdrawn):
                key = (name, history.row_key(record) if name != "refused_line" else str(record.id))
                found[key] = {
                    column: history.as_text(value)
                    for column, value in rows.values_of(record).items()
                    if column not in OF_ITSELF and not (column == "id" and history.is_link(kind))
                }
    return found
