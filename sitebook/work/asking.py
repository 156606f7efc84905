"""Lists and shows what is kept, with names in place of keys."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from sitebook import errors
from sitebook.records.columns import meanings
from sitebook.records.find import Determination, Find
from sitebook.records.kinds import KINDS
from sitebook.records.results.listing import Listing, Shown
from sitebook.records.standing import Row
from sitebook.records.weather import WeatherStation
from sitebook.store import photo_rows, rows
from sitebook.store.book import Book
from sitebook.store.names import standing_determinations
from sitebook.work.answer import Answer
from sitebook.work.bring_in.names import Names, names_in
from sitebook.work.dangers import NOTHING_NOTED, dangers_of, remarks_on_taxon
from sitebook.work.naming import pick
from sitebook.work.weather import days_of

_MOST_DIGITS = 19
"""No row has so long a key, and the book's file could not hold it."""

_NOT_SHOWN = ("created_at", "changed_at", "entered_by", "batch_id", "withdrawn_at", "content")
_HANGS_ON: dict[str, tuple[tuple[str, str], ...]] = {
    "site": (
        ("host_tree", "site_id"),
        ("visit", "site_id"),
        ("permission_site", "site_id"),
        ("lab_test", "site_id"),
    ),
    "host_tree": (("look", "host_tree_id"), ("find_host", "host_tree_id"), ("lab_test", "host_tree_id")),
    "visit": (("find", "visit_id"), ("look", "visit_id"), ("visit_person", "visit_id")),
    "find": (("determination", "find_id"), ("find_host", "find_id"), ("lab_test", "find_id")),
    "spraying": (("spraying_active", "spraying_id"), ("lab_test", "spraying_id")),
    "lab_test": (("lab_result", "lab_test_id"),),
    "photo": (("photo_link", "photo_id"), ("photo_tag", "photo_id")),
    "taxon": (
        ("vernacular_name", "taxon_id"),
        ("taxon_trait", "taxon_id"),
        ("look_alike", "taxon_id"),
        ("determination", "taxon_id"),
    ),
    "person": (("find", "collector_id"),),
    "permission": (("permission_site", "permission_id"), ("permission_closed_day", "permission_id")),
    "weather_station": (),
    "import_batch": (("refused_line", "batch_id"),),
}


def list_kind(book: Book, kind: str, *, withdrawn: bool = False) -> Answer[Listing]:
    """Answer all standing records of a kind, or those that were withdrawn.

    Raises
    ------
    BadArgument
        When there is no such kind.
    """
    record = require_kind(kind)
    table = rows.table_for(record)
    if not withdrawn:
        found = rows.records(book, record)
    elif "withdrawn_at" in table.c:
        found = rows.records(book, record, table.c.withdrawn_at.is_not(None), withdrawn=True)
    else:
        found = []
    return Answer(_listing(book, kind, found, names_in(book)))


def require_kind(kind: str) -> type[Row]:
    """Give the record kind of a table.

    Raises
    ------
    BadArgument
        When there is no such kind.
    """
    if kind not in KINDS:
        raise errors.BadArgument(
            f"there is no kind of record '{kind}'", remedy=f"There are: {', '.join(KINDS)}."
        )
    return KINDS[kind]


def show(book: Book, kind: str, name: str) -> Answer[Shown]:
    """Answer one record with what hangs on it.

    Raises
    ------
    RecordMissing, NameAmbiguous
        When none, or several, bear the name.
    """
    record_kind = require_kind(kind)
    names = names_in(book)
    key = _key_of(book, kind, name, names)
    (record,) = rows.records(book, record_kind, rows.table_for(record_kind).c.id == key, withdrawn=True)
    (values,) = _listing(book, kind, [record], names).rows
    if (ended := getattr(record, "withdrawn_at", None)) is not None:
        values = {**values, "withdrawn_at": ended}
    parts = []
    for part, column in _HANGS_ON.get(kind, ()):
        part_kind = KINDS[part]
        hanging = rows.records(book, part_kind, rows.table_for(part_kind).c[column] == key)
        if hanging:
            parts.append(_listing(book, part, hanging, names))
    if kind in photo_rows.SHOWN and (shown := photo_rows.photos_of(book, kind, key)):
        parts.append(_listing(book, "photo", shown, names))
    called = names.shown.get(kind, {}).get(key, name)
    days = days_of(book, record) if isinstance(record, WeatherStation) else None
    return Answer(Shown(kind, called, values, tuple(parts), days, _remarks(book, kind, key)))


def _remarks(book: Book, kind: str, key: int) -> tuple[str, ...]:
    if kind == "taxon":
        return remarks_on_taxon(book, key)
    if kind != "find":
        return ()
    named = next((d for d in standing_determinations(book) if d.find_id == key), None)
    if named is None:
        return ("Not named yet.",)
    said = dangers_of(book).words(named.taxon_id) if named.taxon_id is not None else ""
    return (f"{said[0].upper()}{said[1:]}.",) if said else (NOTHING_NOTED,)


def _key_of(book: Book, kind: str, name: str, names: Names) -> int:
    record = KINDS[kind]
    if "uuid" in meanings(record) and (found := rows.by_uuid(book, record, [name])):
        return found[name].id or 0
    table = rows.table_for(record)
    if (
        name.isdecimal()
        and len(name) < _MOST_DIGITS
        and rows.records(book, record, table.c.id == int(name), withdrawn=True)
    ):
        return int(name)
    return pick(book, kind, name, names)


def _listing(book: Book, kind: str, found: Iterable[Row], names: Names) -> Listing:
    said = meanings(KINDS[kind])
    columns = tuple(name for name in said if name not in _NOT_SHOWN)
    found_names = find_names(book) if kind == "find" else {}
    shown = []
    for record in found:
        values = _with_names(record, columns, names)
        if kind == "find":
            values["name"] = found_names.get(record.id or 0, "not named yet")
        shown.append(values)
    return Listing(kind, (*columns, "name") if kind == "find" else columns, tuple(shown))


def _with_names(record: Row, columns: Iterable[str], names: Names) -> dict[str, object]:
    said = meanings(type(record))
    values: dict[str, object] = {}
    for column in columns:
        value, refers = getattr(record, column), said[column].refers
        if refers is not None and isinstance(value, int):
            value = names.shown.get(refers, {}).get(value, value)
        values[column.removesuffix("_id") if refers else column] = value
    return values


def find_names(book: Book) -> Mapping[int, str]:
    """Give each find's standing name in words, its qualifier with it."""
    return {d.find_id: name_words(d) for d in standing_determinations(book)}


def name_words(determination: Determination) -> str:
    """Give a determination's name with its qualifier where the name as given does not hold it."""
    name, qualifier = determination.verbatim_name, determination.qualifier
    if qualifier is None or qualifier in name:
        return name
    genus, _, rest = name.partition(" ")
    return f"{genus} {qualifier} {rest}" if qualifier in ("cf.", "aff.") and rest else f"{name} {qualifier}"


def find_label(find: Find, names: Names) -> str:
    """Give what a find is called: its tag, or that it is a draft."""
    return names.shown.get("find", {}).get(find.id or 0, "draft")
