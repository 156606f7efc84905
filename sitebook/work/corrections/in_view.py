"""Counts what goes out of view, or comes into it, with something else."""

from __future__ import annotations

from collections.abc import Mapping

from sitebook.records.columns import meanings
from sitebook.records.hanging import PARTS, READ_THROUGH
from sitebook.records.kinds import KINDS, numbered, table_name
from sitebook.records.standing import Row, Standing
from sitebook.store import rows
from sitebook.store.book import Book

_OF_THE_BOOK = ("change", "conflict", "import_batch", "setting", "book", "refused_line")


def counts(book: Book) -> dict[str, int]:
    """Count the rows in view of every table that can go out of view."""
    tables = {*READ_THROUGH, *(name for name, kind in KINDS.items() if issubclass(kind, Standing))}
    return {name: rows.how_many(book, KINDS[name]) for name in KINDS if name in tables - set(_OF_THE_BOOK)}


def difference(before: Mapping[str, int], after: Mapping[str, int]) -> dict[str, int]:
    """Give how many rows of each table are there after and were not before; fewer count below zero."""
    return {name: after[name] - before[name] for name in before if after[name] != before[name]}


def resting_on(book: Book, record: Row) -> dict[str, int]:
    """Count the rows in view that name a record and are no part of it, by table."""
    found: dict[str, int] = {}
    for name, kind in KINDS.items():
        if name in _OF_THE_BOOK:
            continue
        table = rows.table_for(kind)
        for column in references(name, table_name(type(record))):
            if (name, column) not in PARTS:
                resting = len(rows.records(book, kind, table.c[column] == record.id))
                found[name] = found.get(name, 0) + resting
    return {name: how_many for name, how_many in found.items() if how_many}


def references(kind: str, to: str) -> list[str]:
    """Give the columns of a table that name a row of another, who entered it and its import left away."""
    said = meanings(KINDS[kind])
    return [n for n, m in said.items() if m.refers == to and n not in ("entered_by", "batch_id", "made_by")]


def in_words(found: Mapping[str, int]) -> str:
    """Say how many records of which kind."""
    return ", ".join(numbered(how_many, name) for name, how_many in found.items())
