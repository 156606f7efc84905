"""Refuses what is told as done on a day that has not come yet."""

from __future__ import annotations

import datetime
import zoneinfo
from collections.abc import Mapping

from sitebook.records.incoming import SortedLine
from sitebook.work.bring_in.gathering import Gathered

PAST: dict[str, tuple[str, ...]] = {
    "lab_test": ("sampled_on",),
    "spraying": ("told_on", "closed_on", "applied_on"),
    "traffic_count": ("counted_on",),
}
"""Columns that hold a day which was; of a planned spraying the day of it lies ahead."""


def day_ahead(kind: str, values: Mapping[str, object], today: datetime.date) -> str | None:
    """Say which day of a record lies ahead though it must not; None where none does."""
    for column in PAST.get(kind, ()):
        day = values.get(column)
        if not isinstance(day, datetime.date) or day <= today:
            continue
        if column != "applied_on":
            return f"{column} {day} lies in the future"
        if values.get("state") == "done":
            return f"applied_on {day} lies in the future: a spraying to come is state=planned"
    return None


def refuse_ahead(gathered: Gathered, zone: str, now: datetime.datetime) -> None:
    """Sort out every row that tells as done what lies ahead.

    Parameters
    ----------
    gathered
        Rows on their way.
    zone
        Zone of the book's dates.
    now
        This instant, UTC.
    """
    today = local_day(zone, now)
    for kind in PAST:
        for arrival in list(gathered.arrivals.get(kind, ())):
            if (reason := day_ahead(kind, arrival.draft.values, today)) is not None:
                gathered.sort_out(arrival, SortedLine("refused", reason, arrival.draft.line_number))
                gathered.take_out(kind, arrival)


def local_day(zone: str, now: datetime.datetime) -> datetime.date:
    """Give the local date of an instant in a zone."""
    return now.astimezone(zoneinfo.ZoneInfo(zone)).date()
