"""What an entry sheet is made of."""

from __future__ import annotations

import datetime
from dataclasses import dataclass


def saved_as(sheet_uuid: str, made_on: datetime.date) -> str:
    """Give the name of the file that a sheet saves."""
    return f"entries-{made_on.isoformat()}-{sheet_uuid[:4]}.jsonl"


@dataclass(frozen=True)
class SheetPerson:
    """Somebody who may have come along or found something."""

    uuid: str
    initials: str
    name: str


@dataclass(frozen=True)
class SheetTaxon:
    """A name that can be tapped.

    Parameters
    ----------
    uuid
        The taxon.
    name
        Its scientific name.
    vernacular
        Other names, joined; empty where there are none.
    sites
        UUIDs of the chosen sites where it was found before.
    """

    uuid: str
    name: str
    vernacular: str
    sites: tuple[str, ...]


@dataclass(frozen=True)
class SheetTree:
    """A tree that can be tapped."""

    uuid: str
    tag: str
    kind: str


@dataclass(frozen=True)
class SheetSite:
    """A site that can be tapped.

    Parameters
    ----------
    uuid, name
        The site.
    heed
        What is to be heeded there, a sentence each: rest, permission.
    trees
        Its trees, felled ones left out.
    """

    uuid: str
    name: str
    heed: tuple[str, ...]
    trees: tuple[SheetTree, ...]


@dataclass(frozen=True)
class EntrySheet:
    """All that one sheet holds.

    Parameters
    ----------
    uuid
        The sheet; that of its block of numbers where it has one.
    book
        UUID of the book.
    title
        Title of the book.
    revision
        Revision of the book the sheet was made from.
    made_on
        Local date.
    collector
        Whose collection numbers it gives out.
    first_number, last_number
        The block; None for a sheet without numbers.
    people, sites, taxa
        What can be tapped.
    poison_centre
        Telephone of the poison centre; empty where none is set.
    """

    uuid: str
    book: str
    title: str
    revision: int
    made_on: datetime.date
    collector: SheetPerson
    first_number: int | None
    last_number: int | None
    people: tuple[SheetPerson, ...]
    sites: tuple[SheetSite, ...]
    taxa: tuple[SheetTaxon, ...]
    poison_centre: str

    @property
    def numbers(self) -> tuple[int, ...]:
        """Give the numbers of the block."""
        if self.first_number is None or self.last_number is None:
            return ()
        return tuple(range(self.first_number, self.last_number + 1))
