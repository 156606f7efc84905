"""Reads the text of one cell as its column wants it, or says in words what is allowed."""

from __future__ import annotations

import datetime
import difflib
import re
import uuid
from collections.abc import Callable
from dataclasses import dataclass

from sitebook.intake import cells
from sitebook.intake.cells import CellError
from sitebook.intake.names import QUALIFIER_SPELLINGS, parse_name
from sitebook.intake.table import dates, places, times
from sitebook.intake.table.columns import TableColumn
from sitebook.vocabulary import QUALIFIER, Words

LANGUAGE = re.compile(r"[A-Za-z]{2,3}(-[A-Za-z0-9]{2,8})*")
COUNTRY = re.compile(r"[A-Za-z]{2}")

LIMITS: dict[str, tuple[float, float]] = {
    "elevation_m": (-500.0, 9000.0),
    "host_bearing_deg": (0.0, 360.0),
    "bearing_deg": (0.0, 360.0),
    "heavy_share": (0.0, 1.0),
    "rain_day_offset_d": (-1.0, 1.0),
    "searchers": (1.0, 1000.0),
    "individual_count": (1.0, 1_000_000.0),
    "collection_number": (1.0, 1e9),
    "radius_m": (1.0, 100_000.0),
    "girth_cm": (1.0, 5000.0),
    "crown_radius_m": (0.1, 100.0),
    "body_mass_kg": (1.0, 500.0),
    "search_minutes": (0.0, 1440.0),
    "minutes": (0.0, 1440.0),
    "counted_minutes": (1.0, 1440.0),
    "counted_hour": (0.0, 23.0),
    "applications": (1.0, 100.0),
    "increments": (1.0, 10_000.0),
    "dry_matter_fraction": (0.0, 1.0),
    "depth_from_cm": (0.0, 1000.0),
    "depth_to_cm": (0.0, 1000.0),
    "low": (-1e9, 1e9),
    "high": (-1e9, 1e9),
}
"""Lowest and highest number a column takes; any other column takes none below 0."""

LARGEST, LARGEST_WHOLE = 1e15, 1e9
"""No number in a table of hers is larger, and the book's file could not hold every one that is."""


@dataclass(frozen=True)
class Surroundings:
    """What the cells of one line are read under.

    Parameters
    ----------
    zone
        Time zone of hours that name none.
    comma_parts_cells
        Whether the comma stands between cells, so that it cannot be a decimal comma.
    day
        Local date of the line, for an hour alone.
    at_its_word
        Whether the lines are records as a book keeps them, which an export writes.
    """

    zone: datetime.tzinfo
    comma_parts_cells: bool = True
    day: datetime.date | None = None
    at_its_word: bool = False


def read_value(column: TableColumn, text: str, around: Surroundings) -> object:
    """Read a filled cell.

    Parameters
    ----------
    column
        Its column.
    text
        Its text, not empty.
    around
        What the line is read under.

    Returns
    -------
    object
        The final value: for `interval` a `dates.Interval`, for `name` and `reference` text; None for
        a date that says itself that it is not known.

    Raises
    ------
    CellError
        In words that name what is allowed.
    """
    cells.plain_text(text)
    if column.reads_as == "instant":
        return times.read_instant(text, around.day, around.zone)
    if column.reads_as in {"number", "whole", "longitude", "latitude"}:
        return _read_number(column, text, around)
    if column.words is not None:
        return _read_word(column.words, text)
    return READERS[column.reads_as](text)


def _read_number(column: TableColumn, text: str, around: Surroundings) -> float | int | None:
    if around.comma_parts_cells and "," in text:
        raise CellError(
            f"{text!r}: a decimal comma is taken only where semicolons part the cells; write a point"
        )
    if column.reads_as == "longitude":
        return places.read_degrees(text, places.LON_LIMIT_DEG, "longitude")
    if column.reads_as == "latitude":
        return places.read_degrees(text, places.LAT_LIMIT_DEG, "latitude")
    value = cells.whole(text) if column.reads_as == "whole" else cells.number(text)
    most = LARGEST_WHOLE if column.reads_as == "whole" else LARGEST
    low, high = LIMITS.get(column.header, (0.0, most))
    if value is not None and not low <= value <= high:
        raise CellError(f"{text!r} must be at least {low:g} and at most {high:g}")
    return value


def _read_word(words: Words, text: str) -> str:
    by_folded = {word.casefold(): word for word in words.all}
    if words is QUALIFIER:
        by_folded = QUALIFIER_SPELLINGS | by_folded
    folded = " ".join(text.split()).casefold()
    if folded not in by_folded:
        raise CellError(_not_allowed(words, text, folded))
    return by_folded[folded]


MANY_WORDS = 20
"""A longer list is not written out in a line about one cell."""


def _not_allowed(words: Words, text: str, folded: str) -> str:
    """Name all words of a short list; of a long one the nearest, by spelling or by a word they share."""
    if len(words.all) <= MANY_WORDS:
        return f"{text!r} is not one of: {', '.join(words.all)}"
    parts = {part for part in folded.split() if len(part) > 2}
    near = dict.fromkeys(difflib.get_close_matches(folded, words.all, n=3, cutoff=0.5))
    near |= dict.fromkeys(word for word in words.all if parts & set(word.casefold().split()))
    told = f"nearest: {', '.join(near)}" if near else "none is near"
    return f"{text!r} is none of the {len(words.all)} words for {words.name}; {told} (the template has all)"


def _matching(pattern: re.Pattern[str], allowed: str) -> Callable[[str], str]:
    def read(text: str) -> str:
        if not pattern.fullmatch(text):
            raise CellError(f"{text!r} is not {allowed}")
        return text

    return read


def _uuid(text: str) -> str:
    try:
        return str(uuid.UUID(text))
    except ValueError as reason:
        raise CellError(f"{text!r} is not a UUID; leave the cell empty") from reason


def _country(text: str) -> str:
    return _matching(COUNTRY, "a country code of two letters")(text).upper()


def _hour(text: str) -> str:
    return f"{times.read_hour(text):%H:%M}"


def _name(text: str) -> str:
    return parse_name(text).bare


def _as_it_stands(text: str) -> str:
    return text


READERS: dict[str, Callable[[str], object]] = {
    "text": _as_it_stands,
    "reference": lambda text: " ".join(text.split()),
    "outline": _as_it_stands,
    "list": _as_it_stands,
    "yes_no": cells.yes_no,
    "day": dates.read_day,
    "interval": dates.read_interval,
    "hour": _hour,
    "zone": times.read_zone,
    "country": _country,
    "language": _matching(LANGUAGE, "a language code such as en or pt-BR"),
    "uuid": _uuid,
    "name": _name,
}
"""Reader of a filled cell by the way its column is read."""
