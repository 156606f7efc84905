"""Finds the one record a person means by a word on the command line."""

from __future__ import annotations

from sitebook import errors
from sitebook.store.book import Book
from sitebook.work.bring_in.names import Names, names_in


def pick_if_named(book: Book, kind: str, name: str | None) -> int | None:
    """Give the id that `pick` gives, and None where no name is given; raises as it does."""
    return None if name is None else pick(book, kind, name)


def pick(book: Book, kind: str, name: str, names: Names | None = None) -> int:
    """Give the id of the one record of a kind that bears a name, or whose key is the number given.

    Raises
    ------
    RecordMissing
        When nothing bears it; the nearest name is hinted at.
    NameAmbiguous
        When several bear it.
    """
    names = names or names_in(book)
    found = names.find(kind, name)
    called = kind.replace("_", " ")
    if len(found) > 1:
        raise errors.NameAmbiguous(
            f"{len(found)} of kind {called} are called '{name}'",
            where=str(book.path),
            remedy="Write SITE|TAG for a tree, SITE@DATE@HH:MM for a visit, or the UUID.",
        )
    if not found:
        near = names.near(kind, name)
        hint = f"Did you mean '{near}'?" if near else f"See `sitebook list {kind}`."
        raise errors.RecordMissing(f"no {called} is called '{name}'", where=str(book.path), remedy=hint)
    return next(iter(found))
