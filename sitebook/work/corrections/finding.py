"""Finds the record that a correction means, and says what it is called."""

from __future__ import annotations

import datetime

from sitebook import errors
from sitebook.records.columns import meanings
from sitebook.records.kinds import KINDS, table_name
from sitebook.records.outing import Visit
from sitebook.records.standing import Row, Standing
from sitebook.store import history, rows
from sitebook.store.book import Book
from sitebook.work.asking import require_kind
from sitebook.work.bring_in.names import Names, names_in, names_of_withdrawn, natural_names
from sitebook.work.naming import pick

NOT_HERS = ("change", "conflict", "extract", "number_block")
"""Tables that carry a UUID and are not corrected by hand."""


def correctable(kind: str) -> type[Row]:
    """Give the record kind of a table whose records she corrects.

    Raises
    ------
    BadArgument
        When there is no such kind, or its rows are not corrected one by one.
    """
    record = require_kind(kind)
    if not issubclass(record, Standing) or kind in NOT_HERS:
        remedy = _ELSEWHERE.get(kind, "See `sitebook list` for the kinds of record you have.")
        raise errors.BadArgument(f"a {words(kind)} is not corrected by itself", remedy=remedy)
    return record


_ELSEWHERE = {
    "extract": "Take back the import it came with: `sitebook undo --import FILE`.",
    "conflict": "Say which value stands: `sitebook decide ID ours` or `theirs`.",
    "setting": "Set it with `sitebook settings KEY VALUE`.",
    "visit_person": "Set all who came along: `sitebook change visit SITE@DATE companions=...`.",
    "permission_site": "Set all its sites: `sitebook change permission MANAGER sites=...`.",
    "permission_closed_day": "Set all of them: `sitebook change permission MANAGER closed_weekdays=...`.",
    "weather_day": "Take back the import it came with: `sitebook undo --import FILE`.",
    "import_batch": "Take it back: `sitebook undo --import FILE`.",
} | dict.fromkeys(
    ("way", "land_cover", "map_point", "mapped_tree"),
    "It comes from a map extract: correct the map and import a newer extract.",
)


def standing_record(book: Book, kind: str, name: str, names: Names | None = None) -> Row:
    """Give the one record in view that bears a name, a UUID or a key.

    Raises
    ------
    BadArgument, RecordMissing, NameAmbiguous
        When the kind is not corrected, or none, or several, bear the name.
    """
    record, names = correctable(kind), names or names_in(book)
    table = rows.table_for(record)
    if not names.find(kind, name):
        by_key = table.c.uuid == name if not name.isdigit() else table.c.id == int(name)
        if found := rows.records(book, record, by_key):
            return found[0]
        require_not_withdrawn(book, kind, name)
    key = pick(book, kind, name, names)
    found = rows.records(book, record, table.c.id == key)
    if not found:
        raise _none(book, kind, name, f"See `sitebook list {kind}`.")
    return found[0]


def require_not_withdrawn(book: Book, kind: str, name: str) -> None:
    """Say of a name that only a withdrawn record bears that it can be brought back."""
    if is_withdrawn(book, kind, name):
        remedy = f"Bring it back with `sitebook withdraw {kind} '{name}' --back`."
        raise errors.RecordMissing(
            f"the {words(kind)} '{name}' is withdrawn", where=str(book.path), remedy=remedy
        )


def is_withdrawn(book: Book, kind: str, name: str) -> bool:
    """Whether a withdrawn record bears a name, a UUID or a key."""
    return bool(_withdrawn(book, kind, name))


def withdrawn_record(book: Book, kind: str, name: str) -> Row:
    """Give the one withdrawn record that bears a name, a UUID or a key.

    Raises
    ------
    BadArgument, RecordMissing, NameAmbiguous
        When the kind is not corrected, or none, or several, bear the name.
    """
    correctable(kind)
    found = _withdrawn(book, kind, name)
    if not found:
        raise _none(book, kind, name, f"See `sitebook list {kind} --withdrawn`.", "withdrawn ")
    if len(found) > 1:
        keys = ", ".join(str(record.id) for record in found)
        raise errors.NameAmbiguous(
            f"{len(found)} withdrawn records of kind {words(kind)} are called '{name}'",
            where=str(book.path),
            remedy=f"Name one by its key: {keys}.",
        )
    return found[0]


def _withdrawn(book: Book, kind: str, name: str) -> list[Row]:
    record = KINDS[kind]
    table = rows.table_for(record)
    named = names_of_withdrawn(book, kind).find(kind, name)
    by_key = table.c.id.in_(named) if named else table.c.uuid == name
    if not named and name.isdigit():
        by_key = table.c.id == int(name)
    return rows.records(book, record, by_key, table.c.withdrawn_at.is_not(None), withdrawn=True)


def _none(book: Book, kind: str, name: str, remedy: str, which: str = "") -> errors.RecordMissing:
    return errors.RecordMissing(
        f"no {which}{words(kind)} is called '{name}'", where=str(book.path), remedy=remedy
    )


def by_id(book: Book, kind: str, key: int) -> Row:
    """Give a row by its key, withdrawn or not."""
    record = KINDS[kind]
    (found,) = rows.records(book, record, rows.table_for(record).c.id == key, withdrawn=True)
    return found


def visit_at(book: Book, key: int) -> Visit:
    """Give a visit by its key, withdrawn or not."""
    (visit,) = rows.records(book, Visit, rows.table_for(Visit).c.id == key, withdrawn=True)
    return visit


def called(record: Row, names: Names) -> str:
    """Give what a record is called, its kind with it."""
    kind = table_name(type(record))
    found = natural_names(kind, rows.values_of(record), names)
    if found:
        return f"{words(kind)} {found[0]}"
    if kind == "determination":
        find = names.shown.get("find", {}).get(getattr(record, "find_id", 0), "a draft")
        return f"name {getattr(record, 'verbatim_name', '')} of find {find}"
    return f"{words(kind)} {record.id if record.id is not None else history.row_key(record)}"


def words(kind: str) -> str:
    """Give a table's name in words."""
    return kind.replace("_", " ")


def value_words(kind: str, column: str, value: object, names: Names) -> str:
    """Give a value of a column in words: a name for a reference, nothing for an empty one."""
    meaning = meanings(KINDS[kind]).get(column)
    if value is None:
        return "empty"
    if meaning is not None and meaning.refers and isinstance(value, int):
        return names.shown.get(meaning.refers, {}).get(value, f"{words(meaning.refers)} {value}")
    if isinstance(value, bool):
        return "yes" if value else "no"
    centroid = getattr(value, "centroid", None)
    if centroid is not None:
        kind_of = str(getattr(value, "geom_type", "")).lower()
        return f"{centroid.x:.5f},{centroid.y:.5f}" + ("" if kind_of == "point" else f" ({kind_of})")
    if isinstance(value, datetime.datetime):
        return f"{value:%Y-%m-%d %H:%M} UTC"
    return f"{value:g}" if isinstance(value, float) else str(value)
