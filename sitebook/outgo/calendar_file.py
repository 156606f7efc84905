"""Writes events as a calendar file that any calendar program reads (RFC 5545)."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

PRODUCT = "-//sitebook//sitebook//EN"
LINE_OCTETS = 75
"""Most octets of a line, its line end not counted (RFC 5545, section 3.1)."""
ONE_DAY = datetime.timedelta(days=1)


@dataclass(frozen=True)
class Event:
    """One event, of whole days or between two instants.

    Parameters
    ----------
    uid
        What tells it from every other event, for ever; the same event written again bears the same.
    starts, ends
        First and last whole day, or the instants it begins and ends, aware.
    summary
        Its title.
    description
        What else is said of it; "" for nothing.
    location
        Where, in words; "" for nothing.
    lonlat
        Where, WGS 84 [deg]; None for nowhere in particular.
    """

    uid: str
    starts: datetime.date | datetime.datetime
    ends: datetime.date | datetime.datetime
    summary: str
    description: str = ""
    location: str = ""
    lonlat: tuple[float, float] | None = None


def calendar_file(events: Iterable[Event], *, now: datetime.datetime) -> bytes:
    """Give a calendar file as bytes, UTF-8 with line ends of carriage return and line feed.

    Parameters
    ----------
    events
        The events, in any order.
    now
        Instant the file is made, aware.

    Raises
    ------
    ValueError
        When an event between instants does not end after it begins, one of whole days ends before, or an
        instant has no zone.

    References
    ----------
    RFC 5545: folding 3.1, escapes 3.3.11, whole days 3.3.4, end that is not included 3.6.1, end
    after the beginning 3.8.2.2, stamp 3.8.7.2.
    """
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", f"PRODID:{PRODUCT}", "CALSCALE:GREGORIAN"]
    for event in events:
        lines += _event(event, now)
    lines.append("END:VCALENDAR")
    return b"".join(_folded(line) for line in lines)


def _event(event: Event, now: datetime.datetime) -> Iterator[str]:
    yield "BEGIN:VEVENT"
    yield f"UID:{_escaped(event.uid)}"
    yield f"DTSTAMP:{_instant(now)}"
    yield from _span(event)
    yield f"SUMMARY:{_escaped(event.summary)}"
    if event.description:
        yield f"DESCRIPTION:{_escaped(event.description)}"
    if event.location:
        yield f"LOCATION:{_escaped(event.location)}"
    if event.lonlat is not None:
        lon, lat = event.lonlat
        yield f"GEO:{lat:.6f};{lon:.6f}"
    yield "TRANSP:TRANSPARENT"
    yield "END:VEVENT"


def _span(event: Event) -> Iterator[str]:
    starts, ends = event.starts, event.ends
    if isinstance(starts, datetime.datetime) and isinstance(ends, datetime.datetime):
        if ends <= starts:
            raise ValueError("an event ends after it begins")
        yield f"DTSTART:{_instant(starts)}"
        yield f"DTEND:{_instant(ends)}"
        return
    if isinstance(starts, datetime.datetime) or isinstance(ends, datetime.datetime) or ends < starts:
        raise ValueError("an event is of whole days or between two instants, and ends after it begins")
    yield f"DTSTART;VALUE=DATE:{starts:%Y%m%d}"
    yield f"DTEND;VALUE=DATE:{ends + ONE_DAY:%Y%m%d}"


def _instant(when: datetime.datetime) -> str:
    if when.tzinfo is None:
        raise ValueError("an instant needs its zone")
    return f"{when.astimezone(datetime.UTC):%Y%m%dT%H%M%SZ}"


def _escaped(text: str) -> str:
    """Escape what has a meaning in a text value, and take away signs that may not stand in one."""
    unix = text.replace("\r\n", "\n").replace("\r", "\n")
    kept = "".join(sign for sign in unix if (sign >= " " and sign != "\x7f") or sign in "\t\n")
    for sign, escape in (("\\", "\\\\"), (";", "\\;"), (",", "\\,"), ("\n", "\\n")):
        kept = kept.replace(sign, escape)
    return kept


def _folded(line: str) -> bytes:
    """Cut a line into pieces of at most 75 octets, never within a letter."""
    pieces: list[bytes] = []
    piece = b""
    for sign in line:
        octets = sign.encode("utf-8")
        if len(piece) + len(octets) > LINE_OCTETS:
            pieces.append(piece)
            piece = b" "
        piece += octets
    return b"\r\n".join([*pieces, piece]) + b"\r\n"
