"""Says which tag of a map extract becomes which kind of road, ground, point, tree or hazard."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Literal, TypeVar, get_args

from sitebook.citations import Cited
from sitebook.reference.reader import cited, rows

Shape = Literal["point", "line", "area"]
Table = Literal["way", "land_cover", "map_point", "mapped_tree", "hazard"]

SHAPES: tuple[Shape, ...] = get_args(Shape)
TABLES: tuple[Table, ...] = get_args(Table)

Word = TypeVar("Word", bound=str)

ANY_VALUE = "*"
CONDITION = re.compile(r"(?P<key>[^=!<]+)(?P<sign>!=|=|<)(?P<value>.+)")
YEAR = re.compile(r"[0-9]{4}")
CENTURY = re.compile(r"C([0-9]{1,2})")


@dataclass(frozen=True)
class Condition:
    """One further condition on the tags of an element.

    Parameters
    ----------
    key
        Key of the tag.
    sign
        "=" holds when the tag has the value, "!=" when it is missing or has another, "<" when the first
        year or number in it is below the value.
    value
        What it is compared with.
    """

    key: str
    sign: str
    value: str

    def holds(self, tags: Mapping[str, str]) -> bool:
        """Tell whether the tags of an element meet it."""
        found = tags.get(self.key)
        if self.sign == "!=":
            return found != self.value
        if found is None:
            return False
        if self.sign == "=":
            return found == self.value
        year = first_year(found)
        return year is not None and year < int(self.value)


@dataclass(frozen=True)
class TagRow:
    """One row of the table: a tag and what it becomes.

    Parameters
    ----------
    key, value
        The tag; the value "*" is any value but "no".
    also
        Further conditions, all of which must hold.
    shapes
        Shapes of element it is taken from.
    lands_in
        Table it becomes a row of.
    kind
        Kind it is there; the road class for a way.
    past_use
        What the ground was used for before, where the tag itself says so; "" where it does not.
    note
        What a reader of the map should know; "" for nothing.
    source_key, locator, mark
        Where the meaning of the tag is written, and how well that is known.
    """

    key: str
    value: str
    also: tuple[Condition, ...]
    shapes: tuple[Shape, ...]
    lands_in: Table
    kind: str
    past_use: str
    note: str
    source_key: str
    locator: str
    mark: str

    def fits(self, tags: Mapping[str, str]) -> bool:
        """Tell whether an element with these tags is of this row, whatever its shape."""
        values = [value.strip() for value in tags.get(self.key, "").split(";")]
        named = values not in ([""], ["no"]) if self.value == ANY_VALUE else self.value in values
        return named and all(condition.holds(tags) for condition in self.also)


@dataclass(frozen=True)
class HazardKind:
    """One kind of pollution source.

    Parameters
    ----------
    kind
        Word the hazard record holds.
    title
        As a page prints it.
    what
        What may be in the ground there.
    source_key, locator, mark
        Where that is written, and how well it is known.
    distance_m
        Published or agreed distance [m]; None where there is none.
    length_scale_m
        Length over which its effect falls by 1/e [m].
    reach_m
        Distance within which it is named at all [m].
    hard_rule
        Whether the advice inside it, or on it, is to leave everything.
    asks_spraying
        Whether its spray history is unknown until somebody tells it.
    hard_on_it
        Whether the hard rule holds for what grows on the thing itself alone, as on treated timber.
    hard_may_be
        Whether the hard rule holds only if the ground is what it may be, as an orchard that may be old.
    """

    kind: str
    title: str
    what: str
    source_key: str
    locator: str
    mark: str
    distance_m: Cited | None
    length_scale_m: Cited
    reach_m: Cited
    hard_rule: bool
    asks_spraying: bool
    hard_on_it: bool
    hard_may_be: bool


@cache
def tag_rows() -> tuple[TagRow, ...]:
    """Give the rows of the table of map tags, in its order: earlier rows go before later ones."""
    return tuple(_tag_row(row) for row in rows("osm_tags"))


@cache
def hazard_kinds() -> dict[str, HazardKind]:
    """Give every kind of hazard by its word, in the order of the table."""
    return {row["kind"]: _hazard_kind(row) for row in rows("hazard_kinds")}


def kinds_of(table: Table) -> tuple[str, ...]:
    """Name the kinds that a table may hold, in the order of the table of map tags."""
    return tuple(dict.fromkeys(row.kind for row in tag_rows() if row.lands_in == table))


def rows_that_fit(tags: Mapping[str, str]) -> tuple[TagRow, ...]:
    """Give the rows that an element's tags meet, whatever its shape, in the order of the table."""
    looked_at = _keys_looked_at()
    return _rows_for(tuple((key, text) for key, text in tags.items() if key in looked_at))


@lru_cache(maxsize=20_000)
def _rows_for(tags: tuple[tuple[str, str], ...]) -> tuple[TagRow, ...]:
    """Do the same for the tags that matter; thousands of elements of one map share them."""
    by_key, said = _numbered_by_key(), dict(tags)
    candidates = [numbered for key in said for numbered in by_key.get(key, ())]
    return tuple(row for _, row in sorted(candidates, key=lambda pair: pair[0]) if row.fits(said))


@cache
def _keys_looked_at() -> frozenset[str]:
    conditions = {condition.key for row in tag_rows() for condition in row.also}
    return frozenset(_numbered_by_key()) | conditions


def keys_read() -> tuple[str, ...]:
    """Name the keys that the table of map tags looks at, each once."""
    return tuple(_numbered_by_key())


def first_year(text: str) -> int | None:
    """Read the first year of a date as mappers write it.

    "1936", "1936-05", "before 1940" and "~1950" give their year; "C19" (the nineteenth century) gives the
    last year of the century; anything else gives None.
    """
    year = YEAR.search(text)
    if year:
        return int(year.group())
    century = CENTURY.search(text)
    return int(century.group(1)) * 100 if century else None


@cache
def _numbered_by_key() -> dict[str, tuple[tuple[int, TagRow], ...]]:
    by_key: dict[str, tuple[tuple[int, TagRow], ...]] = {}
    for number, row in enumerate(tag_rows()):
        by_key[row.key] = (*by_key.get(row.key, ()), (number, row))
    return by_key


def _tag_row(row: Mapping[str, str]) -> TagRow:
    return TagRow(
        row["osm_key"],
        row["osm_value"],
        tuple(_condition(text) for text in row["also"].split()),
        tuple(_one_of(SHAPES, text) for text in row["geometry"].split()),
        _one_of(TABLES, row["lands_in"]),
        row["kind"],
        row["past_use"],
        row["note"],
        row["source_key"],
        row["locator"],
        row["mark"],
    )


def _condition(text: str) -> Condition:
    parts = CONDITION.fullmatch(text)
    if parts is None:
        raise ValueError(f"table of map tags: {text!r} is no condition")
    return Condition(parts["key"], parts["sign"], parts["value"])


def _one_of(words: tuple[Word, ...], text: str) -> Word:
    found = next((word for word in words if word == text), None)
    if found is None:
        raise ValueError(f"table of map tags: {text!r} is none of {', '.join(words)}")
    return found


def _hazard_kind(row: Mapping[str, str]) -> HazardKind:
    return HazardKind(
        row["kind"],
        row["title"],
        row["what"],
        row["source_key"],
        row["locator"],
        row["mark"],
        cited(row, "distance_m") if row["distance_m"] else None,
        cited(row, "length_scale_m"),
        cited(row, "reach_m"),
        row["hard_rule"] != "no",
        row["asks_spraying"] == "yes",
        row["hard_rule"] == "on it",
        row["hard_rule"] == "may be",
    )
