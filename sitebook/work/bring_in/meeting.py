"""Lets a row on its way meet the one the book has: fill what is empty, never write over what she says."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from shapely.geometry.base import BaseGeometry

from sitebook.records.columns import meanings
from sitebook.records.history import Change
from sitebook.records.kinds import table_name
from sitebook.records.standing import Row, Standing
from sitebook.store import acts, history, rows
from sitebook.store.book import Book
from sitebook.work.bring_in import conflicts

Gone = tuple[frozenset[str], frozenset[int]]
"""Acts and imports that were taken back."""


@dataclass(frozen=True)
class Met:
    """What became of a row that met one of the book.

    Parameters
    ----------
    became
        Already there; filled what was empty; brought back one that was taken back; or left out.
    reason
        Why it, or a part of it, was left out; None where nothing was.
    """

    became: Literal["already", "changed", "back", "left out"]
    reason: str | None = None


def meet(book: Book, existing: Row, values: Mapping[str, object], *, batch_id: int | None, gone: Gone) -> Met:
    """Let a row meet the one the book has.

    A row that only an undo withdrew comes back with what is said now; one that she withdrew or merged
    herself stays so. A value that she once replaced is no contradiction: she knew it. Any other that
    differs from what the book says is kept beside it as a conflict for her to decide.
    """
    if getattr(existing, "withdrawn_at", None) is not None:
        return _meet_withdrawn(book, existing, values, batch_id, gone)
    differs = {c: v for c, v in values.items() if c != "uuid" and not same(getattr(existing, c), v)}
    if not differs:
        return Met("already")
    changes = acts.only_standing(_changes(book, existing), *gone)
    new = {column: value for column, value in differs.items() if not _known(changes, column, value)}
    filled = {column: value for column, value in new.items() if _says_nothing(existing, column)}
    against = _undecided(book, existing, {c: v for c, v in new.items() if c not in filled})
    if against:
        return _left_out(book, existing, against, batch_id)
    if filled:
        history.amend(book, existing, filled, batch_id=batch_id)
        return Met("changed")
    return Met("already")


def _says_nothing(record: Row, column: str) -> bool:
    """Whether a column is empty, or names a weather station by nothing but its code."""
    value = getattr(record, column)
    return value is None or (column == "name" and value == getattr(record, "code", None))


def _changes(book: Book, record: Row) -> list[Change]:
    return history.of_row(book, table_name(type(record)), history.row_key(record))


def _known(changes: Sequence[Change], column: str, value: object) -> bool:
    """Whether a value stood in a column once and was replaced."""
    text = history.as_text(value)
    return any(change.column_name == column and change.old_value == text for change in changes)


def _undecided(book: Book, existing: Row, coming: Mapping[str, object]) -> dict[str, object]:
    settled = conflicts.decided(book, existing, {c: history.as_text(v) for c, v in coming.items()})
    return {column: value for column, value in coming.items() if column not in settled}


def _left_out(book: Book, existing: Row, against: Mapping[str, object], batch_id: int | None) -> Met:
    texts = {column: history.as_text(value) for column, value in against.items()}
    conflicts.keep_conflicts(book, existing, texts, batch_id=batch_id)
    return Met("left out", otherwise(existing, against))


def otherwise(existing: Row, against: Mapping[str, object]) -> str:
    """Say in which columns what comes in differs from what the book says."""
    told = (f"{c} {_short(getattr(existing, c))}, the file says {_short(v)}" for c, v in against.items())
    return f"the book has it already and says otherwise: {'; '.join(told)}"


def _meet_withdrawn(
    book: Book, existing: Row, values: Mapping[str, object], batch_id: int | None, gone: Gone
) -> Met:
    standing = acts.only_standing(_changes(book, existing), *gone)
    ends = [change.new_value for change in standing if change.column_name == "withdrawn_at"]
    if ends and ends[-1] is not None:
        return Met("left out", _stays_away(existing))
    hers = {change.column_name for change in standing}
    own = [name for name in meanings(type(existing)) if name not in meanings(Standing)]
    whole = _defaults(type(existing)) | dict(values)
    new = {name: whole[name] for name in own if name in whole and name not in hers}
    back: dict[str, object] = {"withdrawn_at": None, "batch_id": batch_id}
    history.amend(book, existing, new | back, batch_id=batch_id)
    differs = {c: v for c, v in values.items() if c in hers and not same(getattr(existing, c), v)}
    unknown = {c: v for c, v in differs.items() if not _known(standing, c, v)}
    against = _undecided(book, existing, unknown)
    return Met("back", _left_out(book, existing, against, batch_id).reason if against else None)


def _defaults(kind: type[Row]) -> dict[str, object]:
    fields = dataclasses.fields(kind)
    return {field.name: field.default for field in fields if field.default is not dataclasses.MISSING}


def stands_for(book: Book, record: Row) -> int:
    """Give the id of the row that a name of this one leads to: its own, or that it was merged into."""
    passed = {record.id}
    kind, at = type(record), record
    while (into := getattr(at, "merged_into", None)) is not None and into not in passed:
        passed.add(into)
        (at,) = rows.records(book, kind, rows.table_for(kind).c.id == into, withdrawn=True)
    return at.id or 0


def _stays_away(existing: Row) -> str:
    if getattr(existing, "merged_into", None) is not None:
        return "it was merged into another, which stands in its place"
    return "it was withdrawn and stays so; `sitebook withdraw KIND NAME --back` brings it back"


def same(one: object, other: object) -> bool:
    """Whether two values of one column are equal, geometries compared point by point."""
    if isinstance(one, BaseGeometry) and isinstance(other, BaseGeometry):
        return bool(one.equals_exact(other, 0.0))
    return one == other


def _short(value: object) -> str:
    if value is None:
        return "empty"
    return value.geom_type if isinstance(value, BaseGeometry) else str(value)
