"""Reads the fields of a record that are to be changed, under the same rules as a line of its table."""

from __future__ import annotations

import dataclasses
import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from sitebook.intake.cells import CellError
from sitebook.intake.instants import zone_named
from sitebook.intake.table.columns import TableColumn
from sitebook.intake.table.counts import COUNTED
from sitebook.intake.table.dates import Interval
from sitebook.intake.table.drafts import COMPLETED, FOLLOWED
from sitebook.intake.table.entry import Entry, read_entry
from sitebook.intake.table.finds import date_fits_hour
from sitebook.intake.table.identity import visit_name
from sitebook.intake.table.kinds import CHANGEABLE, Layout
from sitebook.intake.table.making import Making, begin
from sitebook.intake.table.values import Surroundings
from sitebook.records.incoming import Draft

PLACE = ("lon", "lat", "outline_wkt")
OF_VISIT = ("site", "local_date", "started_at")
"""Fields of a look or find that say which visit it belongs to."""


@dataclass(frozen=True)
class Changed:
    """What a record becomes.

    Parameters
    ----------
    values
        Column to its new value; None empties it.
    refers
        Column to the name of the record it refers to from now on.
    hanging
        Rows that hang on the record from now on, of the lists that were given.
    """

    values: Mapping[str, object]
    refers: Mapping[str, str]
    hanging: tuple[Draft, ...] = ()


def read_changed(
    kind: str, cells: Mapping[str, str], standing: Mapping[str, object], *, zone: str
) -> Changed:
    """Read changed fields beside those that stay as they are.

    Parameters
    ----------
    kind
        A kind of table.
    cells
        Text by field; an empty text empties the field.
    standing
        What the record's own columns hold, and of a look or find the fields of its visit; a reference
        as any text.
    zone
        IANA time zone of local dates and of hours that name none.

    Returns
    -------
    Changed
        The columns that the fields reach.

    Raises
    ------
    CellError
        When a field must not be empty, cannot be read, or does not go with the rest of the record.
    """
    layout, around = CHANGEABLE[kind], Surroundings(zone_named(zone), comma_parts_cells=False)
    _require_fillable(layout, cells)
    eased = dataclasses.replace(layout, columns=tuple(_eased(c) for c in layout.columns))
    new, problems = read_entry(eased, 1, _filled(layout, cells, standing), around)
    if problems:
        raise CellError("; ".join(problems))
    entry = Entry(1, _stays(layout, standing, cells) | dict(new.values))
    making = begin(layout, entry)
    if kind == "find":
        date_fits_hour(making, around.zone)
        _name_visit(making, entry, cells)
    elif kind in COMPLETED:
        COMPLETED[kind](making, entry)
    reached = [name for header in cells for name in _columns_of(layout, header)]
    hanging = FOLLOWED[kind](Draft(kind, kind, {}), entry)[1:] if kind in ("visit", "permission") else []
    return Changed(
        {name: making.values.get(name) for name in reached if name not in making.refers},
        {name: making.refers[name] for name in reached if name in making.refers},
        tuple(hanging),
    )


def _filled(layout: Layout, cells: Mapping[str, str], standing: Mapping[str, object]) -> dict[str, str]:
    """Give the cells that hold anything, and the record's day for an hour alone."""
    filled = {header: text for header, text in cells.items() if text.strip()}
    day = standing.get(layout.day or "")
    if isinstance(day, datetime.date) and layout.day not in cells and not standing.get(f"{layout.day}_end"):
        filled[str(layout.day)] = day.isoformat()
    return filled


def _name_visit(making: Making, entry: Entry, cells: Mapping[str, str]) -> None:
    """Let a find whose site or hour is given belong to the visit of that site and its day."""
    if not {"site", "started_at"} & set(cells):
        return
    making.refers.pop("visit_id", None)
    site, day = entry.text("site"), making.values.get("found_on")
    if site is not None and not isinstance(day, datetime.date):
        raise CellError("a find at a site needs found_on; an interval such as 1994 will do")
    if site is not None and isinstance(day, datetime.date):
        making.refers["visit_id"] = visit_name(site, day, entry.instant("started_at"))


def _require_fillable(layout: Layout, cells: Mapping[str, str]) -> None:
    for header, text in cells.items():
        column = layout.by_header[header]
        lasting = column.required or (column.null or "").startswith("taken as")
        if not text.strip() and lasting and not column.geometry:
            raise CellError(f"{header} must not be empty ({column.doc})")


def _eased(column: TableColumn) -> TableColumn:
    return column if column.null is not None else dataclasses.replace(column, null="stays as it is")


def _stays(layout: Layout, standing: Mapping[str, object], cells: Mapping[str, str]) -> dict[str, object]:
    """Give the values, by header, that no changed field touches."""
    values: dict[str, object] = {}
    for column in layout.columns:
        value = standing.get(column.record_field or column.header)
        if value is None or column.header in cells or _goes_with(column.header) & set(cells):
            continue
        if column.reads_as == "interval" and isinstance(value, datetime.date):
            end = None if f"{column.header}_end" in cells else standing.get(f"{column.record_field}_end")
            values[column.header] = Interval(value, end if isinstance(end, datetime.date) else value)
        else:
            values[column.header] = value
    if not set(cells) & _place_headers(layout):
        return values | _place(standing.get("geom"))
    if {"outline_wkt", "site"} & set(cells) & _place_headers(layout):
        return values
    half = {header: value for header, value in _place(standing.get("geom")).items() if header in PLACE[:2]}
    return values | {header: value for header, value in half.items() if header not in cells}


def _goes_with(header: str) -> set[str]:
    """Give the fields whose change makes one of these void, as an end's beginning."""
    if header.endswith("_end"):
        return {header.removesuffix("_end")}
    if header in COUNTED:
        return {"vehicles_per_day"}
    return GOES_WITH.get(header, set())


GOES_WITH: dict[str, set[str]] = {
    "taxon_rank": {"scientific_name"},
    "started_at": {"site", "local_date"},
    "vehicles_per_day": set(COUNTED),
}
"""Field to the fields whose change makes it void."""


def _place_headers(layout: Layout) -> set[str]:
    """Give the fields that tell the place of a record of a kind."""
    return {column.header for column in layout.columns if column.geometry}


def _place(shape: object) -> dict[str, object]:
    if not isinstance(shape, BaseGeometry):
        return {}
    if isinstance(shape, shapely.Point):
        return {"lon": shape.x, "lat": shape.y}
    return {"outline_wkt": shapely.to_wkt(shape, rounding_precision=-1)}


def _columns_of(layout: Layout, header: str) -> Sequence[str]:
    """Give the record's columns that a field reaches."""
    column = layout.by_header[header]
    if column.geometry:
        return ("geom",)
    if column.record_field is None:
        return ("visit_id",) if header in OF_VISIT else ()
    more: tuple[str, ...] = ("taxon_rank",) if header == "scientific_name" else ()
    if layout.kind == "traffic_count" and header in ("vehicles_per_day", *COUNTED):
        more = ("vehicles_per_day", *COUNTED)
    end = (f"{column.record_field}_end",) if column.reads_as == "interval" else ()
    return (column.record_field, *end, *more)
