"""Writes down every change of a row before it is made, and takes changes back by further ones."""

from __future__ import annotations

import datetime
import json
import uuid
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from sitebook.records.columns import column_types
from sitebook.records.history import Change
from sitebook.records.kinds import KINDS, table_name
from sitebook.records.standing import Row
from sitebook.store import rows
from sitebook.store.book import Book, writing

MADE = "created_at"
"""Column by whose setting a change says that the row was made."""

_ACT = "act"


@dataclass(frozen=True)
class Act:
    """One command that changes rows.

    Parameters
    ----------
    command_name
        The command, as typed.
    made_at
        Its instant, UTC.
    undoes
        Act that it takes back; None for one that takes nothing back.
    """

    command_name: str
    made_at: datetime.datetime
    undoes: str | None = None

    @property
    def key(self) -> str:
        """Give the UUID that all its changes share, made of command and instant."""
        said = f"{self.command_name}|{self.made_at.isoformat()}|{self.undoes}"
        return str(uuid.uuid5(uuid.NAMESPACE_OID, said))


@contextmanager
def acting(book: Book, act: Act) -> Iterator[None]:
    """Hold the book for writing, every change and every new record of hers written down under one act."""
    with writing(book):
        before = book.connection.info.get(_ACT)
        book.connection.info[_ACT] = act
        try:
            yield
        finally:
            book.connection.info[_ACT] = before


def act_of(book: Book) -> Act | None:
    """Give the act under way, None outside one."""
    found = book.connection.info.get(_ACT)
    return found if isinstance(found, Act) else None


def amend(book: Book, record: Row, values: Mapping[str, object]) -> bool:
    """Set columns of one row and write down what they held; gives whether anything differed.

    Raises
    ------
    ValueError
        Outside an act, or for a row that was never kept.
    """
    act = act_of(book)
    if act is None or record.id is None:
        raise ValueError("a change belongs to an act, and to a row that is kept")
    kind = type(record)
    set_anew = {c: v for c, v in values.items() if as_text(getattr(record, c)) != as_text(v)}
    if not set_anew:
        return False
    before = {c: as_text(getattr(record, c)) for c in set_anew}
    changes = [_change(act, record, c, (before[c], as_text(v))) for c, v in set_anew.items()]
    rows.insert(book, changes)
    if "changed_at" in column_types(kind) and "changed_at" not in set_anew:
        set_anew["changed_at"] = act.made_at
    rows.update(book, kind, record.id, set_anew)
    return True


def note_made(book: Book, records: Sequence[Row]) -> None:
    """Write down that records of hers were made in the act under way."""
    act = act_of(book)
    if act is None:
        raise ValueError("a record is made in an act")
    made = [_change(act, record, MADE, (None, as_text(act.made_at))) for record in records]
    rows.insert(book, made)


def _change(act: Act, record: Row, column: str, old_and_new: tuple[str | None, str | None]) -> Change:
    old, new = old_and_new
    return Change(
        act=act.key,
        made_at=act.made_at,
        command_name=act.command_name,
        table_name=table_name(type(record)),
        row_uuid=str(getattr(record, "uuid", "")),
        column_name=column,
        old_value=old,
        new_value=new,
        undoes=act.undoes,
    )


def of_row(book: Book, kind: str, row_uuid: str) -> list[Change]:
    """Give all changes of one row, oldest first."""
    table = rows.table_for(Change)
    return rows.records(book, Change, table.c.table_name == kind, table.c.row_uuid == row_uuid)


def as_text(value: object) -> str | None:
    """Give a column's value as the history keeps it; a geometry as well-known text, every digit kept."""
    if value is None:
        return None
    if isinstance(value, BaseGeometry):
        return str(shapely.to_wkt(value, rounding_precision=-1))
    if isinstance(value, datetime.datetime):
        return value.astimezone(datetime.UTC).isoformat(timespec="milliseconds")
    if isinstance(value, datetime.date):
        return value.isoformat()
    return value if isinstance(value, str) else json.dumps(value)


def from_text(kind: str, column: str, text: str | None) -> object:
    """Give back the value that `as_text` wrote.

    Raises
    ------
    ValueError
        When the text is no value of the column.
    """
    if text is None:
        return None
    python = column_types(KINDS[kind])[column].python
    if python is BaseGeometry:
        return shapely.from_wkt(text)
    if python is datetime.datetime:
        return datetime.datetime.fromisoformat(text)
    if python is datetime.date:
        return datetime.date.fromisoformat(text)
    return text if python is str else json.loads(text)
