"""The one reader of the cited tables that come with the package."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from functools import cache
from importlib.resources import files

from sitebook.citations import MARKS, Cited, Mark

SOURCE_COLUMNS = ("unit", "source_key", "locator", "mark")
"""Columns that say where the numbers of a row come from."""


def tables() -> tuple[str, ...]:
    """Name every cited table, in alphabetical order."""
    folder = files("sitebook.reference") / "tables"
    names = [entry.name for entry in folder.iterdir()]
    return tuple(sorted(name.removesuffix(".csv") for name in names if name.endswith(".csv")))


def rows(table: str) -> tuple[dict[str, str], ...]:
    """Give the rows of a cited table as written.

    Parameters
    ----------
    table
        Name of the table without its ending, as "roads_model".

    Returns
    -------
    tuple of dict
        One dict a row, column to text; spaces at the ends are cut, an empty cell is "".

    Raises
    ------
    KeyError
        When no such table comes with the package.
    ValueError
        When a row has more or fewer cells than the header.
    """
    return tuple(dict(row) for row in _read(table))


def cited(row: Mapping[str, str], column: str = "value") -> Cited:
    """Turn one cell of a row into a number with its source.

    A cell may bring a unit, source, locator or mark of its own in columns named after it, as
    `width_m_mark` beside `width_m`; where it brings none, those of the row hold.

    Raises
    ------
    ValueError
        When the cell holds no number, or its source and mark do not fit together.
    """
    unit, source_key, locator, mark = (_of_cell(row, column, name) for name in SOURCE_COLUMNS)
    return Cited(float(row[column]), unit or "1", source_key, _mark(mark), locator)


def mark_of(row: Mapping[str, str]) -> Mark:
    """Give how well a row is known.

    Raises
    ------
    ValueError
        When its mark is none of the set.
    """
    return _mark(row["mark"])


def parameters(table: str, column: str = "value") -> dict[str, Cited]:
    """Give the cited numbers of a table by the `name` of their row."""
    return {row["name"]: cited(row, column) for row in _read(table)}


@cache
def _read(table: str) -> tuple[Mapping[str, str], ...]:
    path = files("sitebook.reference") / "tables" / f"{table}.csv"
    if not path.is_file():
        raise KeyError(f"no cited table {table!r}")
    text = path.read_text(encoding="utf-8")
    lines = [line for line in text.splitlines() if line.strip() and not line.startswith("#")]
    found = [[cell.strip() for cell in line] for line in csv.reader(lines)]
    header, body = found[0], found[1:]
    for cells in body:
        if len(cells) != len(header):
            raise ValueError(f"table {table!r}: row {cells[0]!r} has {len(cells)} cells, not {len(header)}")
    return tuple(dict(zip(header, cells, strict=True)) for cells in body)


def _of_cell(row: Mapping[str, str], column: str, name: str) -> str:
    own = f"{column}_{name}"
    return row[own] if own in row else row.get(name, "")


def _mark(text: str) -> Mark:
    found = next((mark for mark in MARKS if mark == text), None)
    if found is None:
        raise ValueError(f"unknown mark {text!r}")
    return found
