"""Asks the open book's file in SQL, for what looks at the file and not at records."""

from __future__ import annotations

from collections.abc import Sequence

from sitebook.store.book import Book

MOST_TOLD = 20
"""Faults of one kind that are told one by one."""


def asked(book: Book, statement: str, *values: object) -> list[tuple[object, ...]]:
    """Give the rows a statement answers with."""
    return [tuple(row) for row in book.connection.exec_driver_sql(statement, values)]


def told(faults: Sequence[str], most: int = MOST_TOLD) -> tuple[str, ...]:
    """Give the first faults, and how many more there are."""
    more = len(faults) - most
    return (*faults[:most], f"and {more} more") if more > 0 else tuple(faults)
