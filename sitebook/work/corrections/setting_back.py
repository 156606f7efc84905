"""Sets back what changes did, where their values still stand; what was changed since is kept and told."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from sitebook.records.columns import meanings
from sitebook.records.history import Change
from sitebook.records.kinds import KINDS, table_name
from sitebook.records.standing import Row, Standing
from sitebook.store import history, rows
from sitebook.store.book import Book
from sitebook.work.bring_in.conflicts import keep_conflicts
from sitebook.work.bring_in.names import Names
from sitebook.work.corrections.finding import called, value_words


@dataclass
class Tally:
    """What was taken back so far.

    Parameters
    ----------
    withdrawn, set_back
        Records withdrawn and records set back, by table.
    kept
        Values that were kept since they changed meanwhile, in words.
    """

    withdrawn: dict[str, int] = field(default_factory=dict)
    set_back: dict[str, int] = field(default_factory=dict)
    kept: list[str] = field(default_factory=list)

    def count(self, counts: dict[str, int], kind: str, how_many: int = 1) -> None:
        """Count records of a table."""
        if how_many:
            counts[kind] = counts.get(kind, 0) + how_many


def set_back(book: Book, changes: Sequence[Change], names: Names, *, now: datetime.datetime) -> Tally:
    """Take changes back, inside an act that says what it undoes.

    A record that they made is withdrawn, a link that they made is taken away and one that they took away is
    made again. A column is set back if it still holds what they set; else it stays, and both values are kept
    as a conflict.
    """
    tally = Tally()
    for (kind, key), of_row in _by_row(changes).items():
        if history.is_link(KINDS[kind]):
            _set_back_link(book, kind, key, of_row, tally)
            continue
        record = history.record_at(book, kind, key)
        if record is not None:
            _set_back_row(_Undoing(book, names, tally, now), record, of_row)
    return tally


def _by_row(changes: Iterable[Change]) -> dict[tuple[str, str], list[Change]]:
    found: dict[tuple[str, str], list[Change]] = {}
    for change in changes:
        found.setdefault((change.table_name, change.row_uuid), []).append(change)
    return found


def _set_back_link(book: Book, kind: str, key: str, of_row: Sequence[Change], tally: Tally) -> None:
    there = history.record_at(book, kind, key)
    was_there = of_row[0].old_value is not None
    if was_there and there is None:
        history.link(book, [history.link_of(kind, key)])
        tally.count(tally.set_back, kind)
    elif not was_there and there is not None:
        history.unlink(book, [there])
        tally.count(tally.withdrawn, kind)


@dataclass(frozen=True)
class _Undoing:
    """What holds for all rows of one undo."""

    book: Book
    names: Names
    tally: Tally
    now: datetime.datetime


def _set_back_row(undoing: _Undoing, record: Row, of_row: Sequence[Change]) -> None:
    book, tally = undoing.book, undoing.tally
    kind = table_name(type(record))
    made = any(change.column_name == history.MADE for change in of_row)
    back, against = _parted(record, [c for c in of_row if c.column_name != history.MADE])
    back, taken = _without_taken(book, record, back)
    against |= taken
    if made and getattr(record, "withdrawn_at", None) is None:
        back["withdrawn_at"] = undoing.now
    if history.amend(book, record, back):
        away = back.get("withdrawn_at") is not None
        tally.count(tally.withdrawn if away else tally.set_back, kind)
    _keep(undoing, record, against, of_row)


def _parted(record: Row, of_row: Sequence[Change]) -> tuple[dict[str, object], dict[str, str | None]]:
    """Part the columns that still hold what was set from those changed since; each with its old value."""
    kind = table_name(type(record))
    first: dict[str, str | None] = {}
    for change in of_row:
        first.setdefault(change.column_name, change.old_value)
    last = {change.column_name: change.new_value for change in of_row}
    back: dict[str, object] = {}
    against: dict[str, str | None] = {}
    for column, old in first.items():
        now_holds = history.as_text(getattr(record, column))
        if now_holds == last[column]:
            back[column] = history.from_text(kind, column, old)
        elif now_holds != old:
            against[column] = old
    return back, against


def _without_taken(
    book: Book, record: Row, back: Mapping[str, object]
) -> tuple[dict[str, object], dict[str, str | None]]:
    """Leave away unique keys that another record holds by now, as a collection number given out again."""
    kind = type(record)
    unique = [(name,) for name, meaning in meanings(kind).items() if meaning.unique and name != "uuid"]
    taken: dict[str, str | None] = {}
    for group in (*unique, *kind.GROUPS_UNIQUE):
        if not set(group) & set(back):
            continue
        key = tuple((rows.values_of(record) | dict(back))[name] for name in group)
        holder = rows.ids_by(book, kind, group).get(key)
        if holder is not None and holder != record.id:
            taken |= {name: history.as_text(back[name]) for name in group if name in back}
    return {name: value for name, value in back.items() if name not in taken}, taken


def _keep(
    undoing: _Undoing, record: Row, against: Mapping[str, str | None], of_row: Sequence[Change]
) -> None:
    names = undoing.names
    kind = table_name(type(record))
    set_last = {change.column_name: change.new_value for change in of_row}
    hers = {column: old for column, old in against.items() if column not in meanings(Standing)}
    keep_conflicts(undoing.book, record, hers, base={column: set_last[column] for column in hers})
    for column, old in against.items():
        told = value_words(kind, column, getattr(record, column), names)
        would_be = value_words(kind, column, history.from_text(kind, column, old), names)
        undoing.tally.kept.append(
            f"{called(record, names)}: {column} stays {told}, changed since; it would be {would_be}"
        )
