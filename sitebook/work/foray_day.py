"""Loads what the book holds of the day of a foray: its stops, visits, looks, finds and tracks."""

from __future__ import annotations

import datetime
import zoneinfo
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeVar

import numpy as np
import shapely

from sitebook.citations import Cited
from sitebook.ground.projection import LocalMetres
from sitebook.records.find import Determination, Find, FindHost
from sitebook.records.foray import Foray, ForayStop
from sitebook.records.outing import Look, Track, Visit
from sitebook.records.site import Site
from sitebook.store import rows
from sitebook.store.book import Book
from sitebook.store.names import standing_determinations
from sitebook.work.day_kept import stops_of
from sitebook.work.opening import book_row

R = TypeVar("R", Look, Find)

SAME_WALK = Cited(0.5, "1", "ours", "our choice")
"""A track of which this share of the time is on a longer one too is the same walk on another receiver."""


@dataclass(frozen=True)
class ForayDay:
    """A foray with everything the book holds of its day.

    Parameters
    ----------
    foray, stops
        The foray, and its stops: planned ones in order, then the others.
    visits
        Visits joined to its stops, and further visits of the day at the same sites, by site, in the
        order they were made.
    looks, finds
        Looks and finds of these visits, by the id of the visit.
    trees
        Trees that each find may stand with, by the find's id.
    names
        Standing name of each find, by the find's id.
    sites
        Sites of the stops, by id.
    tracks
        Tracks of the day.
    zone
        Zone of the book's dates.
    """

    foray: Foray
    stops: tuple[ForayStop, ...]
    visits: dict[int, list[Visit]]
    looks: dict[int, list[Look]]
    finds: dict[int, list[Find]]
    trees: dict[int, set[int]]
    names: dict[int, Determination]
    sites: dict[int, Site]
    tracks: tuple[Track, ...]
    zone: zoneinfo.ZoneInfo

    @property
    def every_visit(self) -> list[Visit]:
        """Every visit of the foray."""
        return [visit for visits in self.visits.values() for visit in visits]

    @property
    def every_find(self) -> list[Find]:
        """Every find of the foray."""
        return [find for finds in self.finds.values() for find in finds]

    def clock(self, at: datetime.datetime) -> str:
        """Give an instant as local time, HH:MM."""
        return f"{at.astimezone(self.zone):%H:%M}"

    def instants(self) -> list[datetime.datetime]:
        """Give every instant that was noted on the day, the ends of timed searches among them."""
        found = [at for t in self.tracks for at in (t.started_at, t.ended_at) if at is not None]
        for visit in self.every_visit:
            if visit.started_at is not None:
                spent = datetime.timedelta(minutes=visit.search_minutes or 0.0)
                found += [visit.started_at, visit.started_at + spent]
        return found + [find.found_at for find in self.every_find if find.found_at is not None]


def foray_day(book: Book, foray: Foray) -> ForayDay:
    """Load the day of a foray."""
    zone = zoneinfo.ZoneInfo(book_row(book).zone)
    stops = stops_of(book, foray)
    visits = _visits(book, foray, stops)
    ids = [visit.id for own in visits.values() for visit in own]
    looks = rows.records(book, Look, rows.table_for(Look).c.visit_id.in_(ids))
    finds = rows.records(book, Find, rows.table_for(Find).c.visit_id.in_(ids))
    found_ids = {find.id for find in finds}
    site_ids = {stop.site_id for stop in stops}
    return ForayDay(
        foray,
        tuple(stops),
        visits,
        _by_visit(looks),
        _by_visit(sorted(finds, key=_in_order)),
        _trees(book, finds),
        {d.find_id: d for d in standing_determinations(book) if d.find_id in found_ids},
        {site.id or 0: site for site in rows.records(book, Site) if site.id in site_ids},
        tuple(t for t in rows.records(book, Track) if _local_date(t, zone) == foray.local_date),
        zone,
    )


def _visits(book: Book, foray: Foray, stops: Sequence[ForayStop]) -> dict[int, list[Visit]]:
    """Give the visits of the stops, and the others of the day at the same sites."""
    joined = {stop.site_id for stop in stops if stop.visit_id is not None}
    table = rows.table_for(Visit)
    of_day = (table.c.local_date == foray.local_date, table.c.local_date_end.is_(None))
    found: dict[int, list[Visit]] = {}
    never = datetime.datetime.max.replace(tzinfo=datetime.UTC)
    for visit in rows.records(book, Visit, table.c.site_id.in_(joined), *of_day):
        found.setdefault(visit.site_id or 0, []).append(visit)
    return {key: sorted(own, key=lambda v: (v.started_at or never, v.id or 0)) for key, own in found.items()}


def _trees(book: Book, finds: Sequence[Find]) -> dict[int, set[int]]:
    found: dict[int, set[int]] = {}
    of_finds = rows.table_for(FindHost).c.find_id.in_([find.id for find in finds])
    for host in rows.records(book, FindHost, of_finds):
        if host.host_tree_id is not None:
            found.setdefault(host.find_id, set()).add(host.host_tree_id)
    return found


def _by_visit(records: Sequence[R]) -> dict[int, list[R]]:
    found: dict[int, list[R]] = {}
    for record in records:
        found.setdefault(record.visit_id or 0, []).append(record)
    return found


def _in_order(find: Find) -> tuple[datetime.datetime, bool, int, int]:
    never = datetime.datetime.max.replace(tzinfo=datetime.UTC)
    number = find.collection_number
    return find.found_at or never, number is None, number or 0, find.id or 0


def _local_date(track: Track, zone: zoneinfo.ZoneInfo) -> datetime.date | None:
    return track.started_at.astimezone(zone).date() if track.started_at else None


def kilometres(tracks: Sequence[Track]) -> float | None:
    """Add up the tracks of a day [km], a walk that two receivers recorded once; None where there is none."""
    if not tracks:
        return None
    counted: list[Track] = []
    whole_m = 0.0
    for track in sorted(tracks, key=_seconds, reverse=True):
        if not any(_shared(track, other) > SAME_WALK.value for other in counted):
            counted.append(track)
            whole_m += _metres(track)
    return whole_m / 1000.0


def _metres(track: Track) -> float:
    lonlat = shapely.get_coordinates(track.geom)
    sheet = LocalMetres(*map(float, np.mean(lonlat, axis=0)))
    steps = np.diff(sheet.to_metres(lonlat), axis=0)
    return float(np.hypot(steps[:, 0], steps[:, 1]).sum())


def _seconds(track: Track) -> float:
    if track.started_at is None or track.ended_at is None:
        return 0.0
    return (track.ended_at - track.started_at).total_seconds()


def _shared(track: Track, other: Track) -> float:
    """Give the share of a track's time that lies within another's [1]."""
    if not (track.started_at and track.ended_at and other.started_at and other.ended_at):
        return 0.0
    both = min(track.ended_at, other.ended_at) - max(track.started_at, other.started_at)
    return both.total_seconds() / _seconds(track) if _seconds(track) else 0.0
