"""Sets the lists that hang on a record: who came along, the sites and closed days of a permission."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from sitebook.records.columns import meanings
from sitebook.records.incoming import Draft
from sitebook.records.kinds import KINDS, table_name
from sitebook.records.results.corrections import ColumnChange
from sitebook.records.standing import Row
from sitebook.store import history, rows
from sitebook.store.book import Book
from sitebook.work.bring_in.names import Names
from sitebook.work.corrections.finding import value_words
from sitebook.work.naming import pick

LISTS: dict[str, tuple[str, str, Callable[[Row], bool]]] = {
    "companions": ("visit_person", "person_id", lambda _: True),
    "sites": ("permission_site", "site_id", lambda _: True),
    "closed_weekdays": (
        "permission_closed_day",
        "weekday",
        lambda row: getattr(row, "weekday", None) is not None,
    ),
    "closed_dates": (
        "permission_closed_day",
        "closed_on",
        lambda row: getattr(row, "closed_on", None) is not None,
    ),
}
"""Field to the table of its rows, the column told of them, and which rows are meant."""


def set_lists(
    book: Book, record: Row, fields: Sequence[str], hanging: Sequence[Draft], names: Names
) -> tuple[ColumnChange, ...]:
    """Make the rows of each list that are missing, take away those that are gone; inside an act."""
    told = []
    for field in fields:
        kind, column, meant = LISTS[field]
        owner = f"{table_name(type(record))}_id"
        drafts = (_row(book, d, owner, record.id, names) for d in hanging if d.kind == kind)
        wanted = {history.row_key(row): row for row in drafts if meant(row)}
        table = rows.table_for(KINDS[kind])
        there = {
            history.row_key(row): row
            for row in rows.records(book, KINDS[kind], table.c[owner] == record.id, withdrawn=True)
            if meant(row)
        }
        history.unlink(book, [row for key, row in there.items() if key not in wanted])
        history.link(book, [row for key, row in wanted.items() if key not in there])
        if there.keys() != wanted.keys():
            told.append(ColumnChange(field, *(_words(kind, column, r, names) for r in (there, wanted))))
    return tuple(told)


def _row(book: Book, draft: Draft, owner: str, owner_id: int | None, names: Names) -> Row:
    said = meanings(KINDS[draft.kind])
    keys = {
        column: pick(book, said[column].refers or "", name, names)
        for column, name in draft.refers.items()
        if column != owner
    }
    return KINDS[draft.kind](**(dict(draft.values) | keys | {owner: owner_id}))  # type: ignore[arg-type]


def _words(kind: str, column: str, found: dict[str, Row], names: Names) -> str:
    told = sorted(value_words(kind, column, getattr(row, column), names) for row in found.values())
    return ", ".join(told) or "empty"
