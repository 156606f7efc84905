"""Reads when a photo was taken from what its camera and its satellite receiver wrote."""

from __future__ import annotations

import datetime
import re
from collections.abc import Mapping
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from sitebook.citations import Cited
from sitebook.intake.instants import LAST_YEAR, clock_was_set
from sitebook.intake.photo.tags import Gps, Tag, TagError, Tags, numbers, text

CLOCKS_DIFFER_S = Cited(300.0, "s", "ours", "our choice")
"""From here on it is said that a camera's clock and its satellite receiver disagree."""

WRITTEN = re.compile(r"(\d{4})[:/-](\d{2})[:/-](\d{2})[ T](\d{2}):(\d{2}):(\d{2})(.*)", re.ASCII)
OFFSET = re.compile(r"([+-])(\d{2}):?(\d{2})", re.ASCII)
DATES = (
    (Tag.DATE_TIME_ORIGINAL, Tag.OFFSET_TIME_ORIGINAL),
    (Tag.DATE_TIME_DIGITIZED, Tag.OFFSET_TIME_DIGITIZED),
)


@dataclass(frozen=True)
class Taken:
    """When a photo was taken.

    Parameters
    ----------
    at
        The instant, UTC.
    zone_assumed
        Whether the camera did not write the zone of its clock, so that the book's was taken.
    """

    at: datetime.datetime
    zone_assumed: bool


def read_taken(tags: Tags, zone: ZoneInfo) -> Taken | None:
    """Read the instant by the camera's clock, else by the satellites; None where none is written.

    Raises
    ------
    TagError
        When a time is written and cannot be used.
    """
    for date_tag, offset_tag in DATES:
        written = text(tags.exif.get(date_tag))
        if written.strip(" :0"):
            offset = text(tags.exif.get(offset_tag)) or text(tags.exif.get(Tag.OFFSET_TIME))
            return _by_clock(written, offset, text(tags.exif.get(Tag.SUBSEC_TIME_ORIGINAL)), zone)
    by_satellite = read_satellite_instant(tags.gps)
    return Taken(by_satellite, zone_assumed=False) if by_satellite else None


def _by_clock(written: str, offset: str, fraction: str, zone: ZoneInfo) -> Taken:
    parts = WRITTEN.match(written)
    if parts is None:
        raise TagError(f"the time {written!r} is not written as 2026:10:03 14:05:00")
    micros = int(f"{fraction[:6]:0<6}") if fraction.isascii() and fraction.isdigit() else 0
    given = _offset(offset) or _offset(parts[7])
    try:
        clock = datetime.datetime.fromisoformat("{}-{}-{}T{}:{}:{}".format(*parts.groups()[:6]))
        at = clock.replace(microsecond=micros, tzinfo=given or zone).astimezone(datetime.UTC)
    except (ValueError, OverflowError) as reason:
        raise TagError(f"the time {written!r} does not exist") from reason
    return Taken(_possible(at), zone_assumed=given is None)


def _offset(said: str) -> datetime.tzinfo | None:
    if said.strip().upper() == "Z":
        return datetime.UTC
    parts = OFFSET.search(said)
    if parts is None or int(parts[2]) > 14 or int(parts[3]) > 59:
        return None
    ahead = datetime.timedelta(hours=int(parts[2]), minutes=int(parts[3]))
    return datetime.timezone(-ahead if parts[1] == "-" else ahead)


def _possible(at: datetime.datetime) -> datetime.datetime:
    if not clock_was_set(at):
        raise TagError(f"the clock said {at:%Y-%m-%d}: it was not set")
    if at.year > LAST_YEAR.value:
        raise TagError(f"the time {at:%Y-%m-%d} lies after the year {LAST_YEAR.value:.0f}")
    return at


def read_satellite_instant(gps: Mapping[int, object]) -> datetime.datetime | None:
    """Read the instant the satellites gave, UTC; None where date or time is not written.

    Raises
    ------
    TagError
        When it cannot be used.
    """
    day = re.fullmatch(r"(\d{4})[:/-](\d{2})[:/-](\d{2})", text(gps.get(Gps.DATE_STAMP)), re.ASCII)
    if day is None or Gps.TIME_STAMP not in gps:
        return None
    hours, minutes, seconds = numbers(
        gps[Gps.TIME_STAMP], 3, "the satellite time", "hours, minutes and seconds"
    )
    try:
        midnight = datetime.datetime(int(day[1]), int(day[2]), int(day[3]), tzinfo=datetime.UTC)
        at = midnight + datetime.timedelta(hours=hours, minutes=minutes, seconds=seconds)
    except (ValueError, OverflowError) as reason:
        raise TagError(f"the satellite date {day[0]} does not exist") from reason
    return _possible(at)


def clocks_differ(taken: Taken, gps: Mapping[int, object]) -> str | None:
    """Say so where the camera's clock and its satellite receiver disagree; None where they agree."""
    by_satellite = read_satellite_instant(gps)
    if by_satellite is None:
        return None
    ahead_s = (taken.at - by_satellite).total_seconds()
    if abs(ahead_s) < CLOCKS_DIFFER_S.value:
        return None
    zone = " in the zone of the book" if taken.zone_assumed else ""
    return (
        f"the clock{zone} is {abs(ahead_s):,.0f} s {'ahead of' if ahead_s > 0 else 'behind'} the satellite "
        "time beside it; the clock was taken"
    )
