"""Turns one read line into the columns, the references and the geometry of its record."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, field

from shapely.geometry.base import BaseGeometry

from sitebook.ground.outline import circle
from sitebook.intake.cells import CellError
from sitebook.intake.table import places
from sitebook.intake.table.columns import TableColumn
from sitebook.intake.table.dates import Interval
from sitebook.intake.table.entry import Entry
from sitebook.intake.table.kinds import Layout
from sitebook.records.columns import GeometryKind

REFERENCES = frozenset({"reference", "name"})
PAIRS_IN_ORDER = (
    ("local_date", "local_date_end"),
    ("found_on", "found_on_end"),
    ("valid_from", "valid_to"),
    ("applied_on", "applied_on_end"),
    ("applied_on", "closed_on"),
    ("depth_from_cm", "depth_to_cm"),
    ("low", "high"),
)
"""Columns of which the second is never less than the first."""
ROUND_THE_YEAR = "month"
"""Unit of a range that may run over the turn of the year, as 10 to 4."""


@dataclass
class Making:
    """A record on its way: its columns so far, and the names it refers to."""

    kind: str
    values: dict[str, object] = field(default_factory=dict)
    refers: dict[str, str] = field(default_factory=dict)


def begin(layout: Layout, entry: Entry) -> Making:
    """Fill the columns of a record from the cells of its line.

    Raises
    ------
    CellError
        When cells contradict each other, or the place is given by halves.
    """
    making = Making(layout.kind)
    if own_uuid := entry.text("uuid"):
        making.values["uuid"] = own_uuid
    for column in layout.columns:
        if column.header in entry.values and column.record_field:
            _put(making, column.record_field, column, entry.values[column.header])
    _set_place(layout, making, entry)
    for low, high in PAIRS_IN_ORDER:
        _require_order(making, low, high)
    return making


def _put(making: Making, name: str, column: TableColumn, value: object) -> None:
    if column.reads_as in REFERENCES:
        making.refers[name] = str(value)
    elif isinstance(value, Interval):
        making.values[name] = value.first
        if value.last_if_other is not None:
            making.values[f"{name}_end"] = value.last
    elif name not in making.values:
        making.values[name] = value
    elif making.values[name] != value:
        raise CellError(f"{name}: {making.values[name]} stands in the interval already, {value} beside it")


def _require_order(making: Making, low: str, high: str) -> None:
    first, last = making.values.get(low), making.values.get(high)
    round_the_year = making.values.get("unit") == ROUND_THE_YEAR
    both_numbers = isinstance(first, float) and isinstance(last, float) and not round_the_year
    both_dates = isinstance(first, datetime.date) and isinstance(last, datetime.date)
    if (both_numbers or both_dates) and last < first:  # type: ignore[operator]
        raise CellError(f"{high} {last} comes before {low} {first}")


def _set_place(layout: Layout, making: Making, entry: Entry) -> None:
    kinds = [c.geometry for c in layout.columns if c.geometry]
    if not kinds:
        return
    shape = _place(layout, kinds[0], entry)
    if shape is not None:
        making.values["geom"] = shape
    if (whole := whole_site(layout, entry)) is None:
        return
    if shape is not None:
        raise CellError("give site for the whole of it, or lon and lat, or outline_wkt, not two of them")
    making.refers["geom"] = whole


def whole_site(layout: Layout, entry: Entry) -> str | None:
    """Give the site whose whole ground is the place, where the kind can be placed so."""
    column = layout.by_header.get("site")
    return entry.text("site") if column is not None and column.geometry else None


def _place(layout: Layout, kind: GeometryKind, entry: Entry) -> BaseGeometry | None:
    lon, lat = entry.values.get("lon"), entry.values.get("lat")
    outline = entry.text("outline_wkt")
    if (lon is None) != (lat is None):
        raise CellError("lon and lat go together: fill both, or neither")
    if outline and lon is not None:
        raise CellError("give lon and lat, or outline_wkt, not both")
    if (radius_m := _radius_of_ground(layout, entry)) is not None:
        if not (isinstance(lon, float) and isinstance(lat, float)):
            raise CellError("radius_m goes with lon and lat")
        places.point(lon, lat)
        return circle(lon, lat, radius_m)
    if outline:
        return places.read_outline(outline, kind, areas_only=layout.kind in {"site", "permission"})
    if isinstance(lon, float) and isinstance(lat, float):
        return places.point(lon, lat)
    return None


def _radius_of_ground(layout: Layout, entry: Entry) -> float | None:
    """Give the metres round lon and lat where they become an outline, as they do not for a site."""
    column = layout.by_header.get("radius_m")
    radius_m = entry.values.get("radius_m")
    return radius_m if column is not None and column.geometry and isinstance(radius_m, float) else None
