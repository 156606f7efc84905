"""Reads one line of a table into values by header, with a sentence for each cell that will not do."""

from __future__ import annotations

import dataclasses
import datetime
from collections.abc import Mapping
from dataclasses import dataclass

from sitebook.intake.cells import CellError
from sitebook.intake.table.dates import Interval
from sitebook.intake.table.kinds import Layout
from sitebook.intake.table.times import is_stamp, read_instant
from sitebook.intake.table.values import Surroundings, read_value

DATES = frozenset({"day", "interval"})


@dataclass(frozen=True)
class Entry:
    """One line of a table.

    Parameters
    ----------
    line_number
        Line in the file, from 1.
    values
        Final value by header; headers of empty cells are absent.
    at_its_word
        Whether it is a record as a book keeps it, so that nothing is read out of it or filled in.
    """

    line_number: int
    values: Mapping[str, object]
    at_its_word: bool = False

    def text(self, header: str) -> str | None:
        """Give a value that is text, or None where the cell is empty."""
        value = self.values.get(header)
        return value if isinstance(value, str) else None

    def first_day(self, header: str) -> datetime.date | None:
        """Give a date, of an interval the first, or None where the cell is empty."""
        value = self.values.get(header)
        if isinstance(value, Interval):
            return value.first
        return value if isinstance(value, datetime.date) else None

    def instant(self, header: str) -> datetime.datetime | None:
        """Give an instant in UTC, or None where the cell is empty."""
        value = self.values.get(header)
        return value if isinstance(value, datetime.datetime) else None


def read_entry(
    layout: Layout, line_number: int, cells: Mapping[str, str], around: Surroundings
) -> tuple[Entry, tuple[str, ...]]:
    """Read the cells of one line.

    Parameters
    ----------
    layout
        Kind of the table.
    line_number
        Line in the file, from 1.
    cells
        Text by header; empty cells may be absent.
    around
        Zone and delimiter; its day is set here.

    Returns
    -------
    tuple
        The line, and a sentence for each cell that will not do.
    """
    filled = _dates_parted(layout, {h: t for h, t in cells.items() if t.strip()}, around.zone)
    values: dict[str, object] = {}
    problems = [
        f"{c.header} is empty; it must be filled ({c.doc})"
        for c in layout.columns
        if c.required and c.header not in filled and c.unless not in filled
    ]
    columns = [c for c in layout.columns if c.header in filled]
    for column in sorted(columns, key=lambda c: c.reads_as == "instant"):
        line = dataclasses.replace(around, day=_single_day(values.get(layout.day or "")))
        try:
            value = read_value(column, filled[column.header], line)
        except CellError as reason:
            problems.append(f"{column.header}: {reason}")
        else:
            if value is not None:
                values[column.header] = value
    return Entry(line_number, values, around.at_its_word), tuple(problems)


def _dates_parted(layout: Layout, filled: dict[str, str], zone: datetime.tzinfo) -> dict[str, str]:
    """Put the hour that stands with a find's date into its own cell, and leave the date alone.

    Midnight is what programs write for "no hour", so it is not taken for one.
    """
    parted = dict(filled)
    for column in layout.columns:
        text = filled.get(column.header, "")
        if column.reads_as not in DATES or not is_stamp(text):
            continue
        try:
            instant = read_instant(text, None, zone)
        except CellError:
            continue
        local = instant.astimezone(zone)
        parted[column.header] = local.date().isoformat()
        if column.header == "found_on" and local.time() != datetime.time():
            parted.setdefault("found_at", text)
    return parted


def _single_day(value: object) -> datetime.date | None:
    if isinstance(value, Interval):
        return value.first if value.first == value.last else None
    return value if isinstance(value, datetime.date) else None
