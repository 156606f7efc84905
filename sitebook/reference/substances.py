"""Gives how long an active substance lasts in soil and on leaves, by any of its names."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from sitebook.citations import Cited, Mark
from sitebook.reference.reader import SOURCE_COLUMNS, cited, mark_of, rows

NOT_KNOWN = "no half-life known to the book"
"""What is said of a substance that the table does not hold; no other substance stands in for it."""


@dataclass(frozen=True)
class Substance:
    """One active substance.

    Parameters
    ----------
    name
        Common name.
    also_called
        Other names of it.
    element
        Whether it is an element, or a salt that leaves one: it does not decay.
    soil_dt50
        Time in which half of it is gone from soil [d]; None where it is not known, or does not decay.
    soil_dt50_low, soil_dt50_high
        Shortest and longest such time that was reported [d]; None where none was.
    foliage_half_life
        The same on leaves [d].
    wash_off
        Share that one rain takes off leaves, 0 to 1.
    measured_as
        What a laboratory measures of it, by the names of this table.
    used_as
        What it is used for, in a few words.
    source_key, locator, mark
        Where its use is written, and how well that is known.
    """

    name: str
    also_called: tuple[str, ...]
    element: bool
    soil_dt50: Cited | None
    soil_dt50_low: Cited | None
    soil_dt50_high: Cited | None
    foliage_half_life: Cited | None
    wash_off: Cited | None
    measured_as: tuple[str, ...]
    used_as: str
    source_key: str
    locator: str
    mark: Mark


@cache
def substances() -> tuple[Substance, ...]:
    """Give every substance, in the order of the table."""
    return tuple(_substance(row) for row in rows("substances"))


def substance(name: str) -> Substance | None:
    """Find a substance by its name or another name of it.

    Small and capital letters, spaces and marks make no difference: "2,4-d" and "2.4 D" are one. What is not
    in the table is None, never a substance like it.
    """
    return _by_letters().get(letters_of(name))


def letters_of(name: str) -> str:
    """Give the letters and digits of a name, by which names are compared."""
    return "".join(sign for sign in name.casefold() if sign.isalnum())


@cache
def _by_letters() -> dict[str, Substance]:
    found: dict[str, Substance] = {}
    for one in substances():
        for name in (one.name, *one.also_called):
            if found.setdefault(letters_of(name), one) is not one:
                raise ValueError(f"table of substances: {name!r} is the name of two of them")
    return found


def _substance(row: Mapping[str, str]) -> Substance:
    names = tuple(name.strip() for name in row["also_called"].split("|") if name.strip())
    parts = tuple(name.strip() for name in row["measured_as"].split("|") if name.strip())
    return Substance(
        row["name"],
        names,
        row["kind"] == "element",
        _number(row, "soil_dt50_d", "soil", "d"),
        _number(row, "soil_dt50_low_d", "soil_range", "d"),
        _number(row, "soil_dt50_high_d", "soil_range", "d"),
        _number(row, "foliage_half_life_d", "foliage", "d"),
        _number(row, "wash_off", "foliage", "1"),
        parts or (row["name"],),
        row["used_as"],
        row["source_key"],
        row["locator"],
        mark_of(row),
    )


def _number(row: Mapping[str, str], column: str, group: str, unit: str) -> Cited | None:
    """Read a number whose source stands in the columns of its group."""
    if not row[column]:
        return None
    of_group = {name: row[f"{group}_{name}"] for name in SOURCE_COLUMNS if name != "unit"}
    return cited({**of_group, "unit": unit, "value": row[column]})
