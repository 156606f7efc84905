"""Sets what was done at each stop of a foray beside what was planned there."""

from __future__ import annotations

import datetime

from sitebook.records.find import Find
from sitebook.records.foray import ForayStop
from sitebook.records.outing import Visit
from sitebook.records.person import Person
from sitebook.records.results.day_plan import StopDone
from sitebook.records.results.fruiting import Spot
from sitebook.store import rows
from sitebook.store.book import Book
from sitebook.work.asking import name_words
from sitebook.work.dangers import Dangers, dangers_of
from sitebook.work.day_asked import minute_of
from sitebook.work.foray_day import ForayDay

ON_TIME_MIN = 5.0
"""Minutes by which a planned time may differ before it is told."""


def stops_done(book: Book, day: ForayDay) -> tuple[StopDone, ...]:
    """Give every stop, visited ones in the order of the day, those not reached last."""
    people = {p.id or 0: p.initials for p in rows.records(book, Person, withdrawn=True)}
    dangers = dangers_of(book)
    kept = [stop for stop in day.stops if stop.turn is not None or day.visits.get(stop.site_id)]
    kept.sort(key=lambda stop: _turn(day, stop))
    return tuple(_stop(day, stop, people, dangers) for stop in kept)


def _turn(day: ForayDay, stop: ForayStop) -> tuple[int, str, int]:
    visits = day.visits.get(stop.site_id, [])
    begun = next((visit.started_at for visit in visits if visit.started_at), None)
    rank = 0 if begun else 1 if visits else 2
    return rank, begun.isoformat() if begun else "", stop.turn or 10_000


def _stop(day: ForayDay, stop: ForayStop, people: dict[int, str], dangers: Dangers) -> StopDone:
    visits = day.visits.get(stop.site_id, [])
    site = day.sites.get(stop.site_id)
    finds = [find for visit in visits for find in day.finds.get(visit.id or 0, [])]
    looks, empty = looks_of(day, visits)
    begun = next((visit.started_at for visit in visits if visit.started_at), None)
    timed = [visit.search_minutes for visit in visits if visit.search_minutes is not None]
    return StopDone(
        spot=Spot(stop.site_id, None, site.name if site else "", irrigated=site.irrigated if site else None),
        turn=stop.turn,
        planned_at=stop.arrives_at or "",
        planned_min=stop.stay_minutes,
        chance=stop.chance,
        arrived_at=day.clock(begun) if begun else "",
        search_min=sum(timed) if timed else None,
        finds=tuple(_find_words(day, find, people, dangers) for find in finds),
        looks=looks,
        looks_empty=empty,
        said=_said(day, stop, begun, sum(timed) if timed else None),
    )


def looks_of(day: ForayDay, visits: list[Visit]) -> tuple[int, int]:
    """Count the looks of visits, and those that saw nothing.

    The rest of a site is one look more where all was looked for and none is written of it; so is a visit
    of which no look is written.
    """
    looks = empty = 0
    for visit in visits:
        written = day.looks.get(visit.id or 0, [])
        looks += len(written)
        empty += sum(look.outcome == "not seen" for look in written)
        has_rest = any(look.host_tree_id is None and look.taxon_id is None for look in written)
        if not written or (visit.looked_for_all and not has_rest):
            trees = {look.host_tree_id for look in written} - {None}
            finds = day.finds.get(visit.id or 0, [])
            looks += 1
            empty += all(day.trees.get(find.id or 0, set()) & trees for find in finds)
    return looks, empty


def _find_words(day: ForayDay, find: Find, people: dict[int, str], dangers: Dangers) -> str:
    label = "draft"
    if find.collection_number is not None:
        label = f"{people.get(find.collector_id, '')} {find.collection_number}".strip()
    name = day.names.get(find.id or 0)
    called = "not named"
    if name is not None:
        called = name_words(name)
    many = "" if find.individual_count is None else f", {_counted(find.individual_count, find.count_of)}"
    poison = dangers.words(name.taxon_id) if name is not None and name.taxon_id is not None else ""
    return f"{label}: {called}{many}{'; ' + poison if poison else ''}"


def _counted(count: int, words: str) -> str:
    """Write how many there were, one of them in the singular."""
    one = {"bodies": "body"}.get(words, words.removesuffix("s"))
    return f"{count} {one if count == 1 else words}"


def _said(day: ForayDay, stop: ForayStop, begun: datetime.datetime | None, spent: float | None) -> str:
    if not day.visits.get(stop.site_id):
        return "Planned, not visited."
    if stop.turn is None:
        return "Not planned, visited all the same."
    parts = [part for part in (_when(day, stop, begun), _how_long(stop, spent)) if part]
    return f"{', '.join(parts)}.".capitalize() if parts else "Visited as planned."


def _when(day: ForayDay, stop: ForayStop, begun: datetime.datetime | None) -> str:
    if begun is None:
        return "visited, the hour was not noted"
    if stop.arrives_at is None:
        return ""
    late = minute_of(day.clock(begun)) - minute_of(stop.arrives_at)
    if abs(late) <= ON_TIME_MIN:
        return ""
    return f"begun {_long(late)} {'later' if late > 0 else 'earlier'} than planned"


def _how_long(stop: ForayStop, spent: float | None) -> str:
    if spent is None:
        return "the search was not timed"
    if stop.stay_minutes is None or abs(spent - stop.stay_minutes) <= ON_TIME_MIN:
        return ""
    longer = spent - stop.stay_minutes
    return f"searched {_long(longer)} {'longer' if longer > 0 else 'less'} than planned"


def _long(minutes: float) -> str:
    hours, rest = divmod(round(abs(minutes)), 60)
    return f"{hours} h {rest:02d} min" if hours else f"{rest} min"
