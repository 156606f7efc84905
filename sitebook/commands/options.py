"""Options that several commands share, each named once."""

from __future__ import annotations

import datetime
import math
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import click

F = TypeVar("F", bound=Callable[..., Any])

DEFAULT_BOOK = "sitebook.gpkg"
BOOK_IN_USE = "book in use"
FIRST_YEAR, LAST_YEAR = 1900, 2100
"""Years a day on the command line may lie in."""


def read_date(_: click.Context, __: click.Parameter, text: str | None) -> datetime.date | None:
    """Read a date as 2025-09-14, or say how one is written."""
    if text is None:
        return None
    try:
        day = datetime.date.fromisoformat(text)
    except ValueError as error:
        raise click.BadParameter(f"'{text}' is no date; write it as 2025-09-14.") from error
    if not FIRST_YEAR <= day.year <= LAST_YEAR:
        raise click.BadParameter(f"'{text}' is too far off; name a day from {FIRST_YEAR} to {LAST_YEAR}.")
    return day


def read_position(_: click.Context, __: click.Parameter, text: str | None) -> tuple[float, float] | None:
    """Read a position as LON,LAT in degrees, or say how one is written."""
    if text is None:
        return None
    try:
        lon, lat = (float(part) for part in text.split(","))
    except ValueError as error:
        raise click.BadParameter(
            f"'{text}' is no position; write it as LON,LAT, as in -19.4,48.6."
        ) from error
    return lon, lat


def read_metres(_: click.Context, __: click.Parameter, text: str | None) -> float | None:
    """Read a finite number of metres, 0 or more, or say how one is written."""
    if text is None:
        return None
    try:
        metres = float(text)
    except ValueError:
        metres = math.nan
    if not (math.isfinite(metres) and metres >= 0.0):
        raise click.BadParameter(f"'{text}' is no distance; give metres, 0 or more, as in 25.")
    return metres


def read_kind(_: click.Context, __: click.Parameter, word: str | None) -> str | None:
    """Give the kind that a word means, as lab_test for labtest."""
    from sitebook.records.kinds import kind_meant

    return None if word is None else kind_meant(word)


def kind_argument(command: F) -> F:
    """Add the KIND of record."""
    return click.argument("kind", callback=read_kind)(command)


def book_option(command: F) -> F:
    """Add --book."""
    return click.option(
        "--book",
        "book_path",
        type=click.Path(path_type=Path),
        envvar="SITEBOOK_BOOK",
        default=DEFAULT_BOOK,
        show_default=True,
        callback=_remember,
        help="The book; SITEBOOK_BOOK stands in for it.",
    )(command)


def _remember(context: click.Context, _: click.Parameter, path: Path) -> Path:
    """Note which book a command works on, so that the details of a fault can lie beside it."""
    context.ensure_object(dict)[BOOK_IN_USE] = path
    return path


def json_option(command: F) -> F:
    """Add --json."""
    return click.option("--json", "as_json", is_flag=True, help="Print the answer as JSON.")(command)


def date_option(command: F) -> F:
    """Add --on."""
    return click.option(
        "--on", "on", callback=read_date, metavar="DATE", help="Answer as on this date instead of today."
    )(command)


def page_option(command: F) -> F:
    """Add --to for a page that is named after the question."""
    return click.option(
        "--to",
        "to",
        type=click.Path(path_type=Path),
        default=None,
        help="Where the page goes; else beside the book, named after the question, over the last one.",
    )(command)


def now() -> datetime.datetime:
    """Give this instant, UTC; commands alone read the clock."""
    return datetime.datetime.now(datetime.UTC)


def parted(fields: tuple[str, ...]) -> dict[str, str]:
    """Part FIELD=VALUE words into text by field; a word without = is refused."""
    cells = {}
    for field in fields:
        name, equals, value = field.partition("=")
        if not equals:
            raise click.UsageError(f"'{field}' is no FIELD=VALUE.")
        cells[name.strip()] = value
    return cells


def page_name(subject: str, *parts: str | None) -> str:
    """Name a page after what it shows, so that a narrower one does not write over the full one.

    Parameters
    ----------
    subject
        What it is, as "calendar".
    parts
        What it was narrowed to; empty ones count nothing.
    """
    words = "-".join(filter(None, (subject, *parts)))
    signs = "".join(sign if sign.isalnum() else "-" for sign in words.casefold())
    return "-".join(filter(None, [*signs.split("-"), "private.html"]))
