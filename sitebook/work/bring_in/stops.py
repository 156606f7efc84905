"""Joins the visits of a day to the stops of its foray, and makes a stop of a site nobody had planned."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from sitebook.records.columns import meanings
from sitebook.records.foray import Foray, ForayStop
from sitebook.records.outing import Visit
from sitebook.records.site import Site
from sitebook.records.standing import Standing
from sitebook.store import history, rows
from sitebook.store.book import Book
from sitebook.work.bring_in.meeting import Gone, meet
from sitebook.work.identity_keys import uuid_of

UNPLANNED_PURPOSE = "look only"
"""Purpose of a stop nobody planned: that nothing was to be taken there is all that can be said."""
NOTHING_GONE: Gone = (frozenset(), frozenset())
_LAST = datetime.datetime.max.replace(tzinfo=datetime.UTC)


@dataclass(frozen=True)
class Joined:
    """What a day's visits gave its forays.

    Parameters
    ----------
    stops
        Stops of which the book now knows the visit.
    unplanned
        How many of them nobody had planned.
    """

    stops: int = 0
    unplanned: int = 0

    @property
    def remarks(self) -> list[str]:
        """Say it in a sentence; nothing where no stop was joined."""
        if not self.stops:
            return []
        own = f", {self.unplanned} of them not planned" if self.unplanned else ""
        called = "1 stop" if self.stops == 1 else f"{self.stops} stops"
        return [f"Visits joined to the foray: {called}{own}. See `sitebook foray`."]


def join_stops(
    book: Book, *, now: datetime.datetime, batch_ids: Iterable[int] = (), gone: Gone = NOTHING_GONE
) -> Joined:
    """Join every visit that stands to the stop of its foray; run again it changes nothing.

    A foray of the day that planned the site has the visit; where none did, the one planned last gets a
    stop without a turn. Of several visits of one site and day the earliest stands for all. A visit that the
    book held before the day was planned is none of what became of the plan.

    Parameters
    ----------
    book
        The book, held by an act.
    now
        Instant of the act.
    batch_ids
        Imports of the act: a join belongs to that which brought the visit, else to the first of them.
    gone
        Acts and imports that were taken back; a stop that only these withdrew stands again.
    """
    forays = rows.records(book, Foray)
    if not forays:
        return Joined()
    act = _Act(book, now, tuple(sorted(batch_ids)), gone)
    table = rows.table_for(Visit)
    days = {foray.local_date for foray in forays}
    there = rows.records(book, Visit, table.c.local_date.in_(days), table.c.local_date_end.is_(None))
    stops = rows.records(book, ForayStop)
    joined = [0, 0]
    for day in sorted({visit.local_date for visit in there}):
        of_day = [foray for foray in forays if foray.local_date == day]
        here = [visit for visit in there if visit.local_date == day]
        for foray in of_day:
            own = [stop for stop in stops if stop.foray_id == foray.id]
            joined[0] += _join_known(act, own, _earliest_by_site(foray, here))
        latest = max(of_day, key=lambda foray: (foray.created_at, foray.id or 0))
        first = _earliest_by_site(latest, here)
        ids = {foray.id for foray in of_day}
        missing = set(first) - {stop.site_id for stop in stops if stop.foray_id in ids}
        new = _make(act, latest, [first[site_id] for site_id in sorted(missing)])
        joined = [joined[0] + new, joined[1] + new]
    return Joined(*joined)


@dataclass(frozen=True)
class _Act:
    """What holds for all stops of one act."""

    book: Book
    now: datetime.datetime
    imports: tuple[int, ...]
    gone: Gone

    def import_of(self, visit: Visit) -> int | None:
        """Give the import that a join belongs to; None where the visit was typed."""
        return visit.batch_id if visit.batch_id in self.imports else next(iter(self.imports), None)


def _earliest_by_site(foray: Foray, visits: Iterable[Visit]) -> dict[int, Visit]:
    """Give the earliest visit of each site, of those that came into the book after the day was planned."""
    first: dict[int, Visit] = {}
    for visit in sorted(visits, key=lambda one: (one.started_at or _LAST, one.uuid)):
        if visit.site_id is not None and visit.created_at > foray.created_at:
            first.setdefault(visit.site_id, visit)
    return first


def _join_known(act: _Act, stops: Sequence[ForayStop], first: Mapping[int, Visit]) -> int:
    """Set the visit of stops that have another or none; gives how many differed."""
    differing = 0
    for stop in stops:
        visit = first.get(stop.site_id)
        if visit is not None and stop.visit_id != visit.id:
            wanted = {"visit_id": visit.id}
            differing += history.amend(act.book, stop, wanted, batch_id=act.import_of(visit))
    return differing


def _make(act: _Act, foray: Foray, visits: Sequence[Visit]) -> int:
    """Make a stop without a turn for each visit; one that was taken back stands again."""
    sites = {site.id: site.uuid for site in rows.records(act.book, Site, withdrawn=True)}
    new = [_stop(act, foray, visit, sites[visit.site_id]) for visit in visits]
    known = rows.by_uuid(act.book, ForayStop, [stop.uuid for stop in new])
    fresh = [stop for stop in new if stop.uuid not in known]
    rows.insert(act.book, fresh)
    history.note_made(act.book, [stop for stop in fresh if stop.batch_id is None])
    return len(fresh) + sum(_comes_back(act, known[stop.uuid], stop) for stop in new if stop.uuid in known)


def _comes_back(act: _Act, there: ForayStop, stop: ForayStop) -> bool:
    own = {n: v for n, v in rows.values_of(stop).items() if n not in meanings(Standing)}
    met = meet(act.book, there, own, batch_id=stop.batch_id, gone=act.gone)
    return met.became == "back"


def _stop(act: _Act, foray: Foray, visit: Visit, site_uuid: str) -> ForayStop:
    return ForayStop(
        uuid=uuid_of("foray_stop", f"{foray.uuid}|{site_uuid}|not planned"),
        created_at=act.now,
        changed_at=act.now,
        batch_id=act.import_of(visit),
        foray_id=foray.id or 0,
        site_id=visit.site_id or 0,
        visit_id=visit.id,
        purpose=UNPLANNED_PURPOSE,
    )
