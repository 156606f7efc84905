"""Reads instants and zones, and tells which local day an instant falls on."""

from __future__ import annotations

import datetime
import re
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from sitebook.citations import Cited
from sitebook.errors import BadArgument
from sitebook.intake.cells import CellError

FIRST_YEAR = Cited(1980.0, "1", "ours", "our choice")
"""Satellite time begins in January 1980; a receiver that says less had not set its clock."""

LAST_YEAR = Cited(2200.0, "1", "ours", "our choice")
"""Last year that is taken for a possible one."""

INSTANT = re.compile(
    r"([0-9]{4}-[0-9]{2}-[0-9]{2})[T ]([0-9]{2}:[0-9]{2}:[0-9]{2})(?:[.,]([0-9]+))?"
    r"(Z|[+-][0-9]{2}:?[0-9]{2})?",
    re.IGNORECASE,
)


def zone_named(name: str) -> ZoneInfo:
    """Give the time zone of an IANA name.

    Raises
    ------
    BadArgument
        When no zone is called so.
    """
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError) as reason:
        raise BadArgument(
            f"there is no time zone called {name!r}", remedy="Name one as in Atlantic/Azores or UTC."
        ) from reason


def instant_utc(text: str) -> tuple[datetime.datetime | None, bool]:
    """Read an instant written as in XML Schema, 2026-10-03T14:05:00Z.

    Parameters
    ----------
    text
        The instant; one without a zone is taken as UTC.

    Returns
    -------
    instant
        Aware, UTC; None for empty text.
    zone_given
        Whether the text named its zone.

    Raises
    ------
    CellError
        When the text is no instant, or lies after the last possible year.
    """
    bare = text.strip()
    if not bare:
        return None, True
    parts = INSTANT.fullmatch(bare)
    if parts is None:
        raise CellError(f"{bare!r} is not a time written as 2026-10-03T14:05:00Z")
    date, clock, fraction, offset = parts.groups()
    zone = "+00:00" if offset in {None, "Z", "z"} else offset
    try:
        read = datetime.datetime.fromisoformat(f"{date}T{clock}.{(fraction or '0')[:6]:0<6}{zone}")
        instant = read.astimezone(datetime.UTC)
    except (ValueError, OverflowError) as reason:
        raise CellError(f"the time {bare} does not exist") from reason
    if instant.year > LAST_YEAR.value:
        raise CellError(f"the time {bare} lies after the year {LAST_YEAR.value:.0f}")
    return instant, offset is not None


def clock_was_set(instant: datetime.datetime) -> bool:
    """Whether an instant is late enough to come from a receiver whose clock was set."""
    return instant.year >= FIRST_YEAR.value


def local_day(instant: datetime.datetime, zone: ZoneInfo) -> datetime.date:
    """Give the calendar date on which an instant falls in a zone."""
    return instant.astimezone(zone).date()
