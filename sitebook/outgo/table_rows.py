"""Writes the filled table of a record kind, so that its reader gives the same records back."""

from __future__ import annotations

import csv
import datetime
import io
from collections.abc import Iterable, Mapping, Sequence

from sitebook.intake.guard import guarded
from sitebook.intake.table.kinds import LAYOUTS
from sitebook.outgo.table import WEATHER, WEATHER_COLUMNS

EXPORT_NOTE = (
    "# sitebook export: each line is a record as the book keeps it; exact places, keep it to yourself"
)
PHOTO_COLUMNS = (
    "file_name",
    "sha256",
    "media_type",
    "camera",
    "taken_at",
    "lon",
    "lat",
    "tag_number",
    "shows",
)
"""What a list of photos tells; it is for reading, photos themselves come back by their files."""


def headers_of(kind: str) -> tuple[str, ...]:
    """Give every column that a table of a kind may have."""
    if kind == "photo":
        return PHOTO_COLUMNS
    columns = WEATHER_COLUMNS if kind == WEATHER else LAYOUTS[kind].columns
    return tuple(column.header for column in columns)


def filled_table(kind: str, rows: Sequence[Mapping[str, object]]) -> str:
    """Give the table of some records.

    Parameters
    ----------
    kind
        A kind of table, or photo for the list of photos.
    rows
        Value by header; a header that no row has is left out of the table.

    Returns
    -------
    str
        Kind, note, header, then one line a row; lines end in a line feed.
    """
    headers = [header for header in headers_of(kind) if any(header in row for row in rows)]
    text = io.StringIO()
    text.write(f"# sitebook table: {kind}\n{EXPORT_NOTE}\n")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(headers)
    writer.writerows(_cells(headers, row) for row in rows)
    return text.getvalue()


def _cells(headers: Iterable[str], row: Mapping[str, object]) -> list[str]:
    return [cell(row.get(header)) for header in headers]


def cell(value: object) -> str:
    """Write one value so that the reader of its column gives exactly it back."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return repr(value).removesuffix(".0")
    if isinstance(value, datetime.datetime):
        return value.astimezone(datetime.UTC).isoformat().replace("+00:00", "Z")
    if isinstance(value, datetime.date):
        return value.isoformat()
    return guarded(value) if isinstance(value, str) else str(value)
