"""Answers a question that she asks the book in SQL."""

from __future__ import annotations

from sitebook.records.results.going_out import QueryAnswer
from sitebook.store.book import Book
from sitebook.store.query import ask
from sitebook.work.answer import Answer

MOST_ROWS = 1000
"""Rows given where she does not say how many."""


def query(book: Book, sql: str, *, most_rows: int = MOST_ROWS) -> Answer[QueryAnswer]:
    """Answer one SELECT; the book is as it was afterwards.

    Raises
    ------
    QueryRefused, QueryFailed, BookBusy
        As `store.query.ask`.
    """
    return Answer(ask(book, sql, most_rows=most_rows))
