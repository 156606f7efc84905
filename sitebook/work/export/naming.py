"""Gives the word by which a table refers to a record: its name where that fits no other, else its UUID."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from sitebook.intake.names import parse_name
from sitebook.records.columns import meanings
from sitebook.records.kinds import KINDS
from sitebook.records.outing import Visit
from sitebook.records.person import Person
from sitebook.records.standing import Row, Standing
from sitebook.records.taxon import Taxon, VernacularName
from sitebook.store import rows
from sitebook.store.book import Book
from sitebook.work.bring_in.names import Names, add_record, folded, names_in, natural_names

LONGEST_NAME = 200
"""A longer name is no help in a cell, and several of them would be more than a cell may hold."""


@dataclass(frozen=True)
class Naming:
    """What every record that may be referred to is called.

    Parameters
    ----------
    names
        Every name in the book, those of withdrawn taxa too: a new book begins with these names.
    records
        Records that stand, by table and key.
    initials
        Initials by key of a person, withdrawn ones among them.
    with_people
        Whether persons go out, so that one may be referred to by UUID.
    """

    names: Names
    records: Mapping[str, Mapping[int, Standing]]
    initials: Mapping[int, str]
    with_people: bool

    def stands(self, kind: str, key: int) -> bool:
        """Tell whether a record can be referred to; a person always can, by initials."""
        return kind == "person" or key in self.records.get(kind, {})

    def called(self, kind: str, key: int, *, apart: str = "") -> str:
        """Give the word for a record that stands.

        Parameters
        ----------
        kind, key
            Table and key of the record.
        apart
            Signs that part the names of a list; a name that holds one is not used.
        """
        if kind == "person":
            return self._person(key, apart)
        record = self.records[kind][key]
        candidates = natural_names(kind, rows.values_of(record), self.names)
        if kind == "visit" and not self._site_is_named(record):
            candidates = ()
        fit = (name for name in candidates if self._fits(kind, key, name, apart))
        return next(fit, record.uuid)

    def _person(self, key: int, apart: str) -> str:
        initials = self.initials[key]
        person = self.records.get("person", {}).get(key)
        if person is None or not self.with_people or self._fits("person", key, initials, apart):
            return initials
        return person.uuid

    def _site_is_named(self, visit: Standing) -> bool:
        site_id = visit.site_id if isinstance(visit, Visit) else None
        if site_id is None or not self.stands("site", site_id):
            return False
        return "@" not in self.called("site", site_id) != self.records["site"][site_id].uuid

    def _fits(self, kind: str, key: int, name: str, apart: str) -> bool:
        if len(name) > LONGEST_NAME:
            return False
        plain = folded(parse_name(name).bare) == folded(name) if kind == "taxon" else True
        return plain and self.names.find(kind, name) == {key} and not set(apart) & set(name)


def naming_of(book: Book, *, with_people: bool) -> Naming:
    """Gather what the records of a book are called."""
    names = names_in(book)
    for kind, table in ((Taxon, "taxon"), (VernacularName, "vernacular_name")):
        for record in rows.records(book, kind, withdrawn=True):
            add_record(names, table, record)
    records = {kind: _by_key(book, KINDS[kind]) for kind in _referred_to()}
    everybody = rows.records(book, Person, withdrawn=True)
    initials = {person.id: person.initials for person in everybody if person.id is not None}
    return Naming(names, records, initials, with_people)


def _referred_to() -> set[str]:
    said = (meaning for kind in KINDS.values() for meaning in meanings(kind).values())
    return {m.refers for m in said if m.refers and issubclass(KINDS[m.refers], Standing)}


def _by_key(book: Book, kind: type[Row]) -> dict[int, Standing]:
    found = rows.records(book, kind)
    return {record.id: record for record in found if record.id is not None and isinstance(record, Standing)}
