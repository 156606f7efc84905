"""Turns the text of one cell into a number, a yes or no, or a date."""

from __future__ import annotations

import datetime
import math
import re

NUMBER = re.compile(r"[+-]?(?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)(?:[eE][+-]?[0-9]{1,3})?")
DATE = re.compile(r"([0-9]{4})-([0-9]{2})-([0-9]{2})")
YES = frozenset({"yes", "y", "true", "1"})
NO = frozenset({"no", "n", "false", "0"})


LONGEST_TEXT = 10_000
"""More signs than this are no name and no note."""

LONGEST_SHORT_TEXT = 200
"""More signs than this are no code and no name of a station."""

CONTROL_SIGNS = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f]")
LONGEST_SAID = 1000


class CellError(ValueError):
    """The text of a cell does not say what its column wants; the message says so in words."""

    def __str__(self) -> str:
        said = super().__str__()
        if len(said) <= LONGEST_SAID:
            return said
        return f"{said[: LONGEST_SAID // 2]} ... {said[-LONGEST_SAID // 2 :]}"


def plain_text(text: str, most: int = LONGEST_TEXT) -> str:
    """Give a text back that no control sign stands in and that is no longer than it may be.

    Raises
    ------
    CellError
        When it holds control signs, which terminals obey, or more signs than the most.
    """
    if len(text) > most or CONTROL_SIGNS.search(text):
        raise CellError(f"holds control signs or more than {most} signs")
    return text


def short_text(text: str) -> str:
    """Give a code or a short name back, its blanks made single; raises as `plain_text` does."""
    return plain_text(" ".join(text.split()), LONGEST_SHORT_TEXT)


def number(text: str) -> float | None:
    """Read a number with decimal point or decimal comma.

    Thousands separators are not taken: "1,234" is one and a bit, "1,234.5" is refused.

    Parameters
    ----------
    text
        The cell.

    Returns
    -------
    float or None
        The number; None for an empty cell.

    Raises
    ------
    CellError
        When the text is no finite number.
    """
    bare = text.strip().replace("\u2212", "-")
    if not bare:
        return None
    value = float(bare.replace(",", ".")) if NUMBER.fullmatch(bare) else math.nan
    if not math.isfinite(value):
        raise CellError(f"{text.strip()!r} is not a number")
    return value


def whole(text: str) -> int | None:
    """Read a whole number, or None for an empty cell; "3.0" is three, "3.5" raises CellError."""
    value = number(text)
    if value is None:
        return None
    if value != round(value):
        raise CellError(f"{text.strip()!r} is not a whole number")
    return round(value)


def yes_no(text: str) -> bool | None:
    """Read yes or no (also true or false, 1 or 0), or None for an empty cell."""
    bare = text.strip().casefold()
    if not bare:
        return None
    if bare in YES:
        return True
    if bare in NO:
        return False
    raise CellError(f"{text.strip()!r} is neither yes nor no")


def iso_date(text: str) -> datetime.date | None:
    """Read a date written year-month-day, or None for an empty cell.

    Raises
    ------
    CellError
        When the date is written otherwise, or does not exist.
    """
    bare = text.strip()
    if not bare:
        return None
    parts = DATE.fullmatch(bare)
    if parts is None:
        raise CellError(f"{bare!r} is not a date written as 2026-10-03")
    try:
        return datetime.date(*(int(part) for part in parts.groups()))
    except ValueError as reason:
        raise CellError(f"the date {bare} does not exist") from reason
