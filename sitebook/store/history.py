"""Writes down every change of a row before it is made, so that it can be told and taken back."""

from __future__ import annotations

import datetime
import json
import uuid
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TypeVar

import shapely
from shapely.geometry.base import BaseGeometry

from sitebook.records.columns import column_types
from sitebook.records.history import Change
from sitebook.records.kinds import KINDS, table_name
from sitebook.records.standing import Row
from sitebook.store import rows
from sitebook.store.book import Book, writing

R = TypeVar("R", bound=Row)

MADE = "created_at"
"""Column by whose setting a change says that the row was made."""
THERE = "id"
"""Column by which a change says that a link, a row without a UUID, was made or taken away."""
YES = "yes"
RENAMED = ("visit",)
"""Tables whose rows may take over another UUID."""

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
        Act or import that it takes back; None for one that takes nothing back.
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


def _required_act(book: Book) -> Act:
    act = act_of(book)
    if act is None:
        raise ValueError("a change belongs to an act")
    return act


def amend(book: Book, record: Row, values: Mapping[str, object], *, batch_id: int | None = None) -> bool:
    """Set columns of one row and write down what they held; gives whether anything differed.

    Raises
    ------
    ValueError
        Outside an act, or for a row that was never kept.
    """
    return amend_all(book, [(record, values)], batch_id=batch_id) == 1


def amend_all(
    book: Book, wanted: Sequence[tuple[Row, Mapping[str, object]]], *, batch_id: int | None = None
) -> int:
    """Set columns of many rows and write down what they held; gives how many rows differed.

    Parameters
    ----------
    book
        The open book, inside an act.
    wanted
        Each row with its new values; a row stands here once.
    batch_id
        Import whose file says so; None where none does.

    Raises
    ------
    ValueError
        Outside an act, or for a row that was never kept.
    """
    act = _required_act(book)
    changes: list[Change] = []
    alike: dict[tuple[type[Row], tuple[str, ...]], list[Mapping[str, object]]] = {}
    differing = 0
    for record, values in wanted:
        if record.id is None:
            raise ValueError("a row that was never kept cannot be changed")
        before = {c: as_text(getattr(record, c)) for c in values}
        new = {c: v for c, v in values.items() if before[c] != as_text(v)}
        if not new:
            continue
        differing += 1
        changes += [_change(act, record, c, (before[c], as_text(v)), batch_id) for c, v in new.items()]
        if "changed_at" in column_types(type(record)):
            new = {"changed_at": act.made_at} | new
        alike.setdefault((type(record), tuple(sorted(new))), []).append({"id": record.id} | new)
    rows.insert(book, changes)
    for (kind, columns), sets in alike.items():
        rows.update_all(book, kind, columns, sets)
    return differing


def note_made(book: Book, records: Iterable[Row], *, batch_id: int | None = None) -> None:
    """Write down that records were made in the act under way."""
    act = _required_act(book)
    made = [
        _change(act, record, THERE, (None, YES), batch_id)
        if is_link(type(record))
        else _change(act, record, MADE, (None, as_text(act.made_at)), batch_id)
        for record in records
    ]
    rows.insert(book, made)


def is_link(kind: type[Row]) -> bool:
    """Whether rows of a kind carry neither a UUID nor an import: made and taken away, never changed."""
    return not {"uuid", "batch_id"} & set(column_types(kind))


def link(book: Book, records: Sequence[Row]) -> None:
    """Make links, and write it down."""
    for record in records:
        rows.insert(book, [record])
    note_made(book, records)


def unlink(book: Book, records: Sequence[Row]) -> None:
    """Take links away, and write it down."""
    act = _required_act(book)
    rows.insert(book, [_change(act, record, THERE, (YES, None), None) for record in records])
    for record in records:
        rows.delete(book, type(record), [record.id] if record.id is not None else [])


def _change(
    act: Act, record: Row, column: str, old_and_new: tuple[str | None, str | None], batch_id: int | None
) -> Change:
    old, new = old_and_new
    return Change(
        act=act.key,
        made_at=act.made_at,
        command_name=act.command_name,
        table_name=table_name(type(record)),
        row_uuid=row_key(record),
        column_name=column,
        old_value=old,
        new_value=new,
        undoes=act.undoes,
        batch_id=batch_id,
    )


def row_key(record: Row) -> str:
    """Give what tells a row from the others of its table in every book: its UUID, else its key as JSON."""
    kind = type(record)
    columns = column_types(kind)
    if "uuid" in columns:
        return str(getattr(record, "uuid"))  # noqa: B009 - a plain row has none by its type
    telling = kind.GROUPS_UNIQUE[0] if "batch_id" in columns else [name for name in columns if name != "id"]
    return json.dumps({name: as_text(getattr(record, name)) for name in telling})


def record_at(book: Book, kind: str, key: str) -> Row | None:
    """Give the row that a key of the history means; None where it is not there, as a link taken away."""
    record, table = KINDS[kind], rows.table_for(KINDS[kind])
    if "uuid" in table.c:
        found = rows.by_uuid(book, record, [key]).get(key)
        return found or _record_renamed(book, kind, key)
    same = [
        table.c[name].is_(None) if text is None else table.c[name] == from_text(kind, name, text)
        for name, text in json.loads(key).items()
    ]
    return next(iter(rows.records(book, record, *same, withdrawn=True)), None)


def _record_renamed(book: Book, kind: str, key: str) -> Row | None:
    """Give the row that bore a UUID once, as a visit made for a find that a table's line took over."""
    passed = {key}
    while renamed := [c.new_value for c in _plainly_of(book, kind, key) if c.column_name == "uuid"]:
        key = renamed[-1] or ""
        if found := rows.by_uuid(book, KINDS[kind], [key]).get(key):
            return found
        if key in passed:
            return None
        passed.add(key)
    return None


def link_of(kind: str, key: str) -> Row:
    """Give the link that a key of the history means, as it was before it was kept."""
    return KINDS[kind](**{name: from_text(kind, name, text) for name, text in json.loads(key).items()})  # type: ignore[arg-type]


def of_row(book: Book, kind: str, key: str) -> list[Change]:
    """Give all changes of one row, oldest first, those under a UUID it bore before among them."""
    found = _plainly_of(book, kind, key)
    if kind not in RENAMED:
        return found
    table, keys = rows.table_for(Change), {key}
    while True:
        told = (table.c.table_name == kind, table.c.column_name == "uuid", table.c.new_value.in_(keys))
        more = {change.row_uuid for change in rows.records(book, Change, *told)} - keys
        if not more:
            return rows.records(book, Change, table.c.table_name == kind, table.c.row_uuid.in_(keys))
        keys |= more


def _plainly_of(book: Book, kind: str, key: str) -> list[Change]:
    table = rows.table_for(Change)
    return rows.records(book, Change, table.c.table_name == kind, table.c.row_uuid == key)


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
    if isinstance(value, bytes):
        return value.hex()
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
    if python is bytes:
        return bytes.fromhex(text)
    return text if python is str else json.loads(text)
