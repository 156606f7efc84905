"""Lets no two finds from sheets carry the same collection number."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from dataclasses import dataclass, field

from sitebook.intake.field_return.line import WholeLine
from sitebook.records.find import Find
from sitebook.records.incoming import Draft, SortedLine
from sitebook.records.person import Person
from sitebook.store import rows
from sitebook.store.book import Book


@dataclass
class Numbered:
    """Rows of which no two finds carry one number.

    Parameters
    ----------
    rows
        Line and draft, as they came but for numbers that stand on another find.
    sorted_lines
        What became of such a number.
    """

    rows: list[tuple[WholeLine, Draft]] = field(default_factory=list)
    sorted_lines: list[tuple[WholeLine, SortedLine]] = field(default_factory=list)


def numbers_once(book: Book, drafts: Sequence[tuple[WholeLine, Draft]], owner: Person) -> Numbered:
    """Leave a number with the find that has it: the book's, else the one written first.

    The other find is kept as a draft without a number; its note says what stood on its tag.
    """
    people = _people(book)
    finds = [(line, draft) for line, draft in drafts if draft.kind == "find"]
    uuids = {str(draft.values["uuid"]) for _, draft in finds}
    taken = _taken(book, finds, uuids)
    given: set[int] = set()
    for _, draft in sorted(finds, key=lambda pair: (pair[0].at, pair[0].uuid)):
        number = (_collector(draft, people, owner), draft.values.get("collection_number"))
        if number[1] is not None and number in taken:
            given.add(id(draft))
        taken.add(number)
    numbered = Numbered()
    for line, draft in drafts:
        if id(draft) in given:
            numbered.sorted_lines.append((line, _told(line, draft)))
            numbered.rows.append((line, _without_number(draft)))
        else:
            numbered.rows.append((line, draft))
    return numbered


def _people(book: Book) -> dict[str, int]:
    found: dict[str, int] = {}
    for person in rows.records(book, Person, withdrawn=True):
        for name in (person.uuid, person.initials, person.name):
            found.setdefault(name.casefold(), person.id or 0)
    return found


def _taken(
    book: Book, finds: Sequence[tuple[WholeLine, Draft]], uuids: set[str]
) -> set[tuple[object, object]]:
    """Give the numbers that stand on finds of the book which no line tells of."""
    wanted = [
        number for _, draft in finds if isinstance(number := draft.values.get("collection_number"), int)
    ]
    table = rows.table_for(Find)
    there = rows.records(book, Find, table.c.collection_number.in_(wanted), withdrawn=True) if wanted else []
    return {(find.collector_id, find.collection_number) for find in there if find.uuid not in uuids}


def _collector(draft: Draft, people: dict[str, int], owner: Person) -> object:
    name = draft.refers.get("collector_id")
    return owner.id if name is None else people.get(name.casefold(), name)


def _told(line: WholeLine, draft: Draft) -> SortedLine:
    number = draft.values["collection_number"]
    reason = f"number {number} stands on another find; this one is kept as a draft without a number"
    return SortedLine("left out", reason, line.line_number, line.text)


def _without_number(draft: Draft) -> Draft:
    values = dict(draft.values)
    said = f"tag {values.pop('collection_number')}"
    values["note"] = "; ".join(str(part) for part in (values.get("note"), said) if part)
    return dataclasses.replace(draft, values=values)
