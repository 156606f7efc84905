"""Gives a planned day as events of a calendar."""

from __future__ import annotations

import datetime
import hashlib
import zoneinfo

from sitebook.outgo.calendar_file import Event
from sitebook.outgo.day_times import instant
from sitebook.quantities import clock
from sitebook.records.results.day_plan import DayPlace, DayPlan

LEAST = datetime.timedelta(minutes=1)
MOST_NAMES = 5
NO_WORD = "No word on whether a find may be eaten."


def day_events(plan: DayPlan, zone: str) -> list[Event]:
    """Give one event for each stop of a day, from its arrival to its leaving.

    An event of a kept plan bears the same key when it is written again, so that a calendar takes the newer
    times in the place of the older.

    Parameters
    ----------
    plan
        The day.
    zone
        IANA name of the zone its local times are told in.
    """
    local = zoneinfo.ZoneInfo(zone)
    events = []
    for turn, stop in enumerate(plan.plan.route.stops, start=1):
        place = plan.places[stop.key]
        starts = instant(plan.on, stop.arrives_min, local)
        ends = max(instant(plan.on, stop.leaves_min, local), starts + LEAST)
        events.append(
            Event(
                uid=_uid(plan, stop.key),
                starts=starts,
                ends=ends,
                summary=f"{turn} {place.spot.site_name} ({place.purpose})",
                description=_said(place, stop.begins_min if stop.begins_min > stop.arrives_min else None),
                location=place.spot.site_name,
                lonlat=(place.lon, place.lat),
            )
        )
    return events


def _uid(plan: DayPlan, key: str) -> str:
    of_day = plan.foray_uuid or plan.on.isoformat()
    return f"{hashlib.sha256(f'{of_day} {key}'.encode()).hexdigest()[:32]}@sitebook"


def _said(place: DayPlace, begins_min: float | None) -> str:
    """Say what the stop is for, what it may yield and what to heed there, a line each."""
    lines = [f"Only to look: {place.purpose_said}"] if place.purpose_said else []
    lines += [f"Begin at {clock(begins_min)}."] if begins_min is not None else []
    names = [f"{one.taxon_name} {_percent(one.chance.chance)}" for one in place.expected[:MOST_NAMES]]
    if names:
        lines.append(f"Chance of at least one find: {', '.join(names)}. {NO_WORD}")
    lines.append(f"Ground: {place.class_said}.")
    lines += [f"Permission: {line}" for line in place.permission or ("nobody was asked yet",)]
    return "\n".join([*lines, *place.cautions])


def _percent(chance: float) -> str:
    whole = round(100.0 * chance)
    return "under 1 %" if whole <= 0 else "over 99 %" if whole >= 100 else f"{whole} %"
