"""Says which columns a table of a record kind has, drawn from the meanings of the record itself."""

from __future__ import annotations

import dataclasses
import datetime
from typing import Literal

from sitebook.records.columns import GeometryKind, Meaning, column_types, meanings
from sitebook.records.kinds import KINDS
from sitebook.records.standing import Row, Standing
from sitebook.vocabulary import Words

ReadsAs = Literal[
    "text", "words", "number", "whole", "yes_no", "day", "interval", "instant", "hour", "zone", "country",
    "language", "uuid", "reference", "name", "longitude", "latitude", "outline", "list",
]  # fmt: skip
"""How the cells of a column are read."""

BY_TYPE: dict[type, ReadsAs] = {
    str: "text",
    int: "whole",
    float: "number",
    bool: "yes_no",
    datetime.date: "day",
    datetime.datetime: "instant",
}
BY_FIELD: dict[str, ReadsAs] = {
    "opens_at": "hour",
    "closes_at": "hour",
    "zone": "zone",
    "country_code": "country",
    "language": "language",
}
STANDING_FIELDS = frozenset(meanings(Standing)) | {"batch_id", "entered_by"}


@dataclasses.dataclass(frozen=True)
class TableColumn:
    """One column of a table.

    Parameters
    ----------
    header
        Its name in the first line.
    doc
        What stands in it, in a few words.
    reads_as
        How its cells are read.
    null
        What an empty cell says; None where the cell must be filled.
    record_field
        Column of the record it becomes; None for a column that becomes something else.
    unit
        Unit of the number.
    words
        The controlled list its cells are taken from.
    refers
        Record kind whose name stands in it.
    geometry
        Geometry kind it helps to give.
    unless
        Column that tells the same; where that one is filled, this one may be empty.
    by_export
        Whether exports alone write it: templates leave it away.
    """

    header: str
    doc: str
    reads_as: ReadsAs
    null: str | None = None
    record_field: str | None = None
    unit: str | None = None
    words: Words | None = None
    refers: str | None = None
    geometry: GeometryKind | None = None
    unless: str | None = None
    by_export: bool = False

    @property
    def required(self) -> bool:
        """Whether an empty cell is refused."""
        return self.null is None


UUID = TableColumn("uuid", "key of a record that already has one", "uuid", "made from the row")


def header_of(field_name: str, meaning: Meaning) -> str:
    """Give the header of a record's column: a reference loses its _id."""
    return field_name.removesuffix("_id") if meaning.refers else field_name


def columns_of(kind: str, without: frozenset[str] = frozenset()) -> tuple[TableColumn, ...]:
    """Give the columns of a record kind that a person may fill, in the order of the record.

    Parameters
    ----------
    kind
        Key of `KINDS`.
    without
        Columns of the record that no person types.
    """
    record = KINDS[kind]
    kept = [n for n in meanings(record) if n not in STANDING_FIELDS and n not in without]
    plain = [_column(record, n) for n in kept if meanings(record)[n].geometry is None]
    drawn = [c for n in kept if meanings(record)[n].geometry for c in _place_columns(record, n)]
    return (*plain, *drawn)


def borrowed(kind: str, field_name: str, header: str, *, null: str | None = None) -> TableColumn:
    """Give a column of another record kind under a header of its own, as `host_role` for a find's host."""
    column = _column(KINDS[kind], field_name)
    return dataclasses.replace(column, header=header, record_field=None, null=null or column.null)


def _column(record: type[Row], name: str) -> TableColumn:
    meaning, types = meanings(record)[name], column_types(record)
    return TableColumn(
        header_of(name, meaning),
        meaning.doc,
        _reads_as(name, meaning, types[name].python, has_end=f"{name}_end" in types),
        meaning.null or _null_of_default(record, name),
        name,
        meaning.unit,
        meaning.words,
        meaning.refers,
    )


def _reads_as(name: str, meaning: Meaning, python: type, *, has_end: bool) -> ReadsAs:
    if meaning.refers:
        return "name" if meaning.refers == "taxon" else "reference"
    if meaning.words:
        return "words"
    if name in BY_FIELD:
        return BY_FIELD[name]
    return "interval" if has_end and python is datetime.date else BY_TYPE[python]


def _null_of_default(record: type[Row], name: str) -> str | None:
    (default,) = (f.default for f in dataclasses.fields(record) if f.name == name)
    if default is dataclasses.MISSING:
        return None
    said = {True: "yes", False: "no"}.get(default, default) if isinstance(default, bool) else default
    return f"taken as {said}"


def _place_columns(record: type[Row], name: str) -> tuple[TableColumn, ...]:
    meaning = meanings(record)[name]
    drawn = meaning.geometry != "POINT"
    null = meaning.null or ("given as outline_wkt" if drawn else None)
    lon = TableColumn(
        "lon",
        "longitude in decimal degrees, west negative, WGS 84",
        "longitude",
        null,
        geometry=meaning.geometry,
    )
    lat = dataclasses.replace(
        lon, header="lat", doc="latitude in decimal degrees, south negative, WGS 84", reads_as="latitude"
    )
    if not drawn:
        return lon, lat
    outline = TableColumn(
        "outline_wkt",
        "outline as well-known text, lon before lat, as POLYGON ((-19.42 48.61, ...))",
        "outline",
        meaning.null or "given as lon and lat",
        geometry=meaning.geometry,
    )
    return lon, lat, outline
