"""Finds the one foray a person means on the command line: by UUID, by how it begins, or by its date."""

from __future__ import annotations

import datetime
import re
from collections.abc import Sequence

from sitebook import errors
from sitebook.records.foray import Foray
from sitebook.store import rows
from sitebook.store.book import Book

SHORT_SIGNS = 8
"""Signs of its UUID by which a foray is called for short."""
_BEGINNING = re.compile(r"[0-9a-f-]{8,36}")


def named_foray(book: Book, words: str | None = None) -> Foray:
    """Give the one foray that bears a UUID, whose UUID begins so, or whose local date it is.

    Where no words are given it is the latest: of the latest day, and of that day the one planned last.

    Raises
    ------
    NothingToShow
        When the book keeps no foray.
    RecordMissing
        When none is called so.
    NameAmbiguous
        When several are of that date, or begin so.
    """
    forays = rows.records(book, Foray)
    if not forays:
        raise errors.NothingToShow(
            "no foray is kept in this book", where=str(book.path), remedy="Plan one: `sitebook plan`."
        )
    if words is None:
        return max(forays, key=in_time)
    found = _called(forays, words.strip().casefold())
    if not found:
        raise errors.RecordMissing(
            f"no foray is called '{words.strip()}'",
            where=str(book.path),
            remedy="Name it by its date or the first 8 signs of its UUID: see `sitebook foray --list`.",
        )
    if len(found) > 1:
        told = ", ".join(f"{one.uuid[:SHORT_SIGNS]} ({one.starts_at} to {one.ends_at})" for one in found)
        raise errors.NameAmbiguous(
            f"{len(found)} forays are called '{words.strip()}': {told}",
            where=str(book.path),
            remedy="Name one by the first 8 signs of its UUID.",
        )
    return found[0]


def in_time(foray: Foray) -> tuple[datetime.date, datetime.datetime, int]:
    """Give what forays are ordered by: their day, and of one day when they were planned."""
    return foray.local_date, foray.created_at, foray.id or 0


def _called(forays: Sequence[Foray], words: str) -> list[Foray]:
    whole = [foray for foray in forays if foray.uuid.casefold() == words]
    if whole:
        return whole
    try:
        on = datetime.date.fromisoformat(words)
    except ValueError:
        on = None
    of_day = [foray for foray in forays if foray.local_date == on]
    if of_day or not _BEGINNING.fullmatch(words):
        return of_day
    return [foray for foray in forays if foray.uuid.casefold().startswith(words)]
