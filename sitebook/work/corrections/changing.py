"""Changes fields of one record, each read as its table would read it."""

from __future__ import annotations

import dataclasses
import datetime
from collections.abc import Mapping, Sequence

from sitebook import errors
from sitebook.intake.cells import CellError
from sitebook.intake.table.changed import Changed as Read
from sitebook.intake.table.changed import read_changed
from sitebook.intake.table.kinds import CHANGEABLE, own_headers
from sitebook.records.columns import meanings
from sitebook.records.find import Find
from sitebook.records.incoming import Draft
from sitebook.records.kinds import table_name
from sitebook.records.outing import Look
from sitebook.records.results.corrections import Changed, ColumnChange
from sitebook.records.settings import Settings
from sitebook.records.standing import Row
from sitebook.store import history, rows
from sitebook.store.book import Book
from sitebook.store.history import Act, acting
from sitebook.work.answer import Answer
from sitebook.work.bring_in.days_ahead import day_ahead, local_day
from sitebook.work.bring_in.distances import refuse_far
from sitebook.work.bring_in.gathering import Arrival, Gathered
from sitebook.work.bring_in.grounds import ground_at, target_of
from sitebook.work.bring_in.names import Names, names_in
from sitebook.work.corrections import consistency
from sitebook.work.corrections.finding import called, standing_record, value_words, visit_at, words
from sitebook.work.corrections.hanging_lists import LISTS, set_lists
from sitebook.work.naming import pick
from sitebook.work.opening import book_row
from sitebook.work.photos.words import after_change
from sitebook.work.settings import settings_of


def change(
    book: Book,
    kind: str,
    name: str,
    cells: Mapping[str, str],
    *,
    now: datetime.datetime,
    far: bool = False,
    settings: Settings | None = None,
) -> Answer[Changed]:
    """Change fields of one record; an empty text empties a field.

    Parameters
    ----------
    book
        The open book.
    kind, name
        The record.
    cells
        Text by field, fields as in the kind's table.
    now
        Instant of the change, UTC.
    far
        Believe a position far from everything in the book.
    settings
        Values in force; None reads them from the book.

    Raises
    ------
    BadArgument
        When there is no such kind or field, or the field is not changed this way.
    RecordMissing, NameAmbiguous
        When no record, or several, bear a name.
    ValueImpossible
        When a value cannot be, or does not go with the rest of the record.
    """
    names = names_in(book)
    record = standing_record(book, kind, name, names)
    cells = _under_own_headers(kind, cells)
    _require_fields(kind, cells)
    read = _read(book, record, cells, names)
    values = dict(read.values) | {c: _meant(book, kind, c, said, names) for c, said in read.refers.items()}
    ahead = day_ahead(kind, rows.values_of(record) | values, local_day(book_row(book).zone, now))
    if ahead is not None:
        raise errors.ValueImpossible(ahead, remedy="Nothing was changed.")
    consistency.require(book, record, values, names)
    if not far:
        _require_near(book, kind, values, settings)
    told = _told(record, values, names)
    with acting(book, Act(f"change {kind}", now)):
        history.amend(book, record, values)
        photo_remarks = after_change(book, record, values, now=now) if kind == "photo" else ()
        told += set_lists(book, record, [h for h in cells if h in LISTS], read.hanging, names)
    remarks = (*consistency.remarks(book, record, values), *photo_remarks)
    return Answer(Changed(kind, called(dataclasses.replace(record, **values), names), told, remarks))  # type: ignore[arg-type]


def _meant(book: Book, kind: str, column: str, said: str, names: Names) -> object:
    """Give the key that a name means; for a place the ground of the site that bears the name."""
    key = pick(book, target_of(kind, column), said, names)
    return ground_at(book, key) if column == "geom" else key


def _under_own_headers(kind: str, cells: Mapping[str, str]) -> dict[str, str]:
    try:
        return own_headers(kind, cells)
    except CellError as reason:
        raise errors.ValueImpossible(str(reason), remedy="Nothing was changed.") from reason


def _require_fields(kind: str, cells: Mapping[str, str]) -> None:
    if kind == "determination":
        raise errors.BadArgument(
            "a name once given stays as it was given",
            remedy="Withdraw it with `sitebook withdraw determination ID` (see `sitebook show find`) "
            "and add the right one with `sitebook add determination`.",
        )
    if kind not in CHANGEABLE:
        raise errors.BadArgument(
            f"a {words(kind)} is not changed by hand", remedy=f"There are: {', '.join(CHANGEABLE)}."
        )
    fields = {c.header: c for c in CHANGEABLE[kind].columns if c.header != "uuid"}
    for header in cells:
        if header not in fields:
            raise errors.BadArgument(
                f"a {words(kind)} has no field '{header}'", remedy=f"Its fields: {', '.join(sorted(fields))}."
            )
        if (remedy := _other_way(kind, header)) is not None:
            raise errors.BadArgument(f"{header} is not changed as a field of a {words(kind)}", remedy=remedy)
    if not cells:
        raise errors.BadArgument("no field is named", remedy="Write FIELD=VALUE; FIELD= empties a field.")


HUNG = {
    ("spraying", "actives"): ("spraying_active", "spraying"),
    ("lab_test", "results"): ("lab_result", "lab_test"),
}
"""Field of a kind whose parts are records of their own, to these and the field that names it there."""


def _other_way(kind: str, header: str) -> str | None:
    """Say how a field is corrected that belongs to another record, or to two at once."""
    if (kind, header) in HUNG:
        part, owner = HUNG[kind, header]
        return (
            f"Add one with `sitebook add {part} {owner}=...`; correct one with `sitebook change {part} ID`."
        )
    if kind == "look_alike" and header in ("taxon", "other"):
        return "Withdraw this pair and add the right one."
    return _other_way_of_find(header) if kind == "find" else None


def _other_way_of_find(header: str) -> str | None:
    if header in {"habitat", "occurrence_status"}:
        return "Change substrate or note."
    if header.startswith("host_"):
        return "Add the right one with `sitebook add find_host`, then `sitebook withdraw find_host ID`."
    if header in ("name", "qualifier", "verification_level", "source_used") or header.startswith("determin"):
        return 'Add a name with `sitebook add determination find="AC 12" verbatim_name="..."`.'
    return None


def _read(book: Book, record: Row, cells: Mapping[str, str], names: Names) -> Read:
    kind = table_name(type(record))
    standing = _in_words(record, names) | _of_visit(book, record, names)
    try:
        return read_changed(kind, cells, standing, zone=book_row(book).zone)
    except CellError as reason:
        raise errors.ValueImpossible(str(reason), remedy="Nothing was changed.") from reason


def _in_words(record: Row, names: Names) -> dict[str, object]:
    values = rows.values_of(record)
    for column, meaning in meanings(type(record)).items():
        if meaning.refers and values[column] is not None:
            values[column] = value_words(table_name(type(record)), column, values[column], names)
    return values


def _of_visit(book: Book, record: Row, names: Names) -> dict[str, object]:
    """Give the fields of a find or look that say which visit it belongs to."""
    if not isinstance(record, Find | Look) or record.visit_id is None:
        return {}
    visit = visit_at(book, record.visit_id)
    site = names.shown.get("site", {}).get(visit.site_id or 0)
    if isinstance(record, Find):
        return {"site": site}
    return {"site": site, "local_date": visit.local_date, "started_at": visit.started_at}


def _require_near(book: Book, kind: str, values: Mapping[str, object], settings: Settings | None) -> None:
    if values.get("geom") is None:
        return
    gathered = Gathered([])
    gathered.arrivals[kind] = [Arrival(Draft(kind, kind, {"geom": values["geom"]}), "", 0)]
    refuse_far(book, gathered, (settings or settings_of(book)).far_km)
    if lines := gathered.sorted_lines.get(0):
        raise errors.ValueImpossible(lines[0].reason, remedy="Nothing was changed.")


def _told(record: Row, values: Mapping[str, object], names: Names) -> tuple[ColumnChange, ...]:
    kind = table_name(type(record))
    return tuple(
        ColumnChange(c, *(value_words(kind, c, v, names) for v in (getattr(record, c), new)))
        for c, new in values.items()
        if history.as_text(getattr(record, c)) != history.as_text(new)
    )


def field_names(kind: str) -> Sequence[str]:
    """Give the fields of a kind that can be changed."""
    return [
        c.header for c in CHANGEABLE[kind].columns if c.header != "uuid" and not _other_way(kind, c.header)
    ]
