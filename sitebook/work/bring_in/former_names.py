"""Finds the names that records had before they were renamed or merged."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from sitebook.records.history import Change
from sitebook.records.kinds import KINDS
from sitebook.records.standing import Row
from sitebook.store import history, rows
from sitebook.store.book import Book

NAMING: dict[str, tuple[str, ...]] = {
    "person": ("initials", "name"),
    "taxon": ("scientific_name",),
    "site": ("name",),
    "permission": ("manager",),
    "host_tree": ("tag",),
    "weather_station": ("code",),
}
"""Columns a record is called by; not a find's number or a visit's day, which may be another's by now."""


def merged_records(book: Book, kind: str) -> Iterator[tuple[int, Row]]:
    """Give each merged record of a kind with the id of the one that stands in its place."""
    table = rows.table_for(KINDS[kind])
    if "merged_into" not in table.c:
        return
    merged = rows.records(book, KINDS[kind], table.c.merged_into.is_not(None), withdrawn=True)
    into = {record.id: getattr(record, "merged_into", None) for record in merged}
    for record in merged:
        at, passed = record.id, {record.id}
        while (further := into.get(at)) is not None and further not in passed:
            passed.add(further)
            at = further
        if at is not None and at != record.id:
            yield at, record


def earlier_values(book: Book, kind: str) -> Iterator[tuple[int, Mapping[str, object]]]:
    """Give the id of each renamed record in view, with its values under each name it had before."""
    columns = NAMING.get(kind, ())
    change = rows.table_for(Change)
    renamed: dict[str, list[Change]] = {}
    for one in rows.records(book, Change, change.c.table_name == kind, change.c.column_name.in_(columns)):
        renamed.setdefault(one.row_uuid, []).append(one)
    if not renamed:
        return
    table = rows.table_for(KINDS[kind])
    for record in rows.records(book, KINDS[kind], table.c.uuid.in_(list(renamed))):
        values = rows.values_of(record)
        for one in reversed(renamed[history.row_key(record)]):
            values[one.column_name] = history.from_text(kind, one.column_name, one.old_value)
            yield record.id or 0, dict(values)
