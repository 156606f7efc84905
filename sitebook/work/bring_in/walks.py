"""Turns recorded tracks into visits: each track is cut at the outlines of the sites it crosses."""

from __future__ import annotations

import datetime
import zoneinfo
from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np
import shapely

from sitebook.analysis.outing.crossing import Crossing, crossings
from sitebook.citations import Cited
from sitebook.ground.outline import outline_m
from sitebook.ground.projection import LocalMetres
from sitebook.records.columns import meanings
from sitebook.records.find import Find
from sitebook.records.outing import Track, Visit
from sitebook.records.site import Site
from sitebook.records.standing import Standing
from sitebook.store import history, rows
from sitebook.work.bring_in.keeping import Keeping
from sitebook.work.bring_in.meeting import meet
from sitebook.work.identity_keys import uuid_of

JOINED = "find joined to a visit"
SHORTEST_VISIT_MIN = Cited(1.0, "min", "ours", "our choice")
"""A crossing with less search than this is passing through, not a visit."""


@dataclass
class Walked:
    """What the tracks gave.

    Parameters
    ----------
    counts
        Rows made, by table.
    remarks
        What she should know, in words.
    """

    counts: dict[str, int] = field(default_factory=dict)
    remarks: list[str] = field(default_factory=list)


def match_walks(keeping: Keeping, zone: str, walking_limit_kmh: Cited) -> Walked:
    """Match every new track with all sites, and every new site with all tracks.

    A visit of the same site and day takes the track, and its minutes where it had none; else a visit
    is made. Such a visit has its effort assumed and says of no taxon that it was looked for, so it
    enters no rate until she says what she looked for. Draft finds inside the outline join the visit.
    A track that comes with a UUID of its own is left alone: it comes beside its visits from another book.
    """
    arrived = keeping.gathered.arrivals.get("track", [])
    with_visits = {arrival.uuid for arrival in arrived if "uuid" in arrival.draft.values}
    tracks = [
        t
        for t in rows.records(keeping.book, Track)
        if t.point_seconds and t.started_at and t.uuid not in with_visits
    ]
    sites = rows.records(keeping.book, Site)
    new = set(keeping.batch_ids.values())
    walked = Walked()
    for track in tracks:
        near = [s for s in sites if track.batch_id in new or s.batch_id in new]
        near = [s for s in near if shapely.distance(s.geom, track.geom) < _NEAR_DEG]
        for crossing in _crossings(track, near, walking_limit_kmh):
            if crossing.search_minutes >= SHORTEST_VISIT_MIN.value:
                stay = _stay(track, near[crossing.outline_index], crossing, zone)
                _keep_stay(keeping, stay, walked)
    _tell(walked)
    return walked


_NEAR_DEG = 0.05
"""Sites farther than this from a track are not looked at: no site is kilometres wide."""


def _crossings(track: Track, sites: list[Site], walking_limit_kmh: Cited) -> tuple[Crossing, ...]:
    if not sites:
        return ()
    lonlat = shapely.get_coordinates(track.geom)
    sheet = LocalMetres(*map(float, np.mean(lonlat, axis=0)))
    outlines = [outline_m(site, sheet) for site in sites]
    seconds = [float(s) if s else np.nan for s in (track.point_seconds or "").split(",")]
    points_m = sheet.to_metres(lonlat)
    return crossings(points_m, np.array(seconds), outlines, walking_limit_kmh=walking_limit_kmh)


@dataclass(frozen=True)
class _Stay:
    """One track inside one site."""

    track: Track
    site: Site
    began: datetime.datetime
    local_date: datetime.date
    minutes: float


def _stay(track: Track, site: Site, crossing: Crossing, zone: str) -> _Stay:
    start = track.started_at or datetime.datetime.min.replace(tzinfo=datetime.UTC)
    began = start + datetime.timedelta(seconds=round(crossing.first_s))
    local_date = began.astimezone(zoneinfo.ZoneInfo(zone)).date()
    return _Stay(track, site, began, local_date, round(crossing.search_minutes, 1))


def _keep_stay(keeping: Keeping, stay: _Stay, walked: Walked) -> None:
    visit = _visit_of_day(keeping, stay)
    if visit is None:
        visit_id = _make_visit(keeping, stay)
        if visit_id is None:
            return
        walked.counts["visit"] = walked.counts.get("visit", 0) + 1
    else:
        visit_id = visit.id or 0
        _give_track(keeping, visit, stay)
    joined = list(_lone_finds(keeping, stay.site, stay.local_date))
    at_visit: dict[str, object] = {"visit_id": visit_id}
    history.amend_all(keeping.book, [(find, at_visit) for find in joined], batch_id=_new_of(keeping, stay))
    walked.counts[JOINED] = walked.counts.get(JOINED, 0) + len(joined)


def _visit_of_day(keeping: Keeping, stay: _Stay) -> Visit | None:
    table = rows.table_for(Visit)
    same_day = rows.records(
        keeping.book,
        Visit,
        table.c.site_id == stay.site.id,
        table.c.local_date == stay.local_date,
        table.c.local_date_end.is_(None),
    )

    def away(visit: Visit) -> tuple[float, int]:
        seconds = (visit.started_at - stay.began).total_seconds() if visit.started_at else 0.0
        return abs(seconds), visit.id or 0

    return min(same_day, key=away, default=None)


def _new_of(keeping: Keeping, stay: _Stay) -> int | None:
    """Give the import that brought the two together: the track's where that is new, else the site's."""
    new = set(keeping.batch_ids.values())
    return stay.track.batch_id if stay.track.batch_id in new else stay.site.batch_id


def _make_visit(keeping: Keeping, stay: _Stay) -> int | None:
    """Keep the visit of a stay; None where the book knows it already and she withdrew or moved it."""
    visit = Visit(
        uuid=uuid_of("visit", f"{stay.track.uuid}:{stay.site.uuid}:{stay.began.isoformat()}"),
        created_at=keeping.now,
        changed_at=keeping.now,
        batch_id=_new_of(keeping, stay),
        site_id=stay.site.id,
        track_id=stay.track.id,
        local_date=stay.local_date,
        started_at=stay.began,
        search_minutes=stay.minutes,
        reason="passing",
        looked_for_all=False,
        effort_assumed=True,
    )
    known = rows.by_uuid(keeping.book, Visit, [visit.uuid]).get(visit.uuid)
    if known is None:
        (visit_id,) = rows.insert(keeping.book, [visit])
        return visit_id
    own = {n: v for n, v in rows.values_of(visit).items() if n not in meanings(Standing)}
    if known.withdrawn_at is not None:
        met = meet(keeping.book, known, own, batch_id=visit.batch_id, gone=keeping.gone)
        return known.id if met.became == "back" else None
    return None


def _give_track(keeping: Keeping, visit: Visit, stay: _Stay) -> None:
    given: dict[str, object] = {}
    if visit.track_id is None:
        given["track_id"] = stay.track.id
    if visit.started_at is None:
        given["started_at"] = stay.began
    if visit.search_minutes is None:
        given["search_minutes"] = stay.minutes
    if given:
        history.amend(keeping.book, visit, given, batch_id=_new_of(keeping, stay))


def _lone_finds(keeping: Keeping, site: Site, local_date: datetime.date) -> Iterator[Find]:
    table = rows.table_for(Find)
    finds = rows.records(keeping.book, Find, table.c.visit_id.is_(None), table.c.found_on == local_date)
    for find in finds:
        if find.geom is not None:
            sheet = LocalMetres(find.geom.x, find.geom.y)  # type: ignore[attr-defined]
            if shapely.distance(outline_m(site, sheet), shapely.Point(0.0, 0.0)) == 0.0:
                yield find


def _tell(walked: Walked) -> None:
    if made := walked.counts.get("visit"):
        walked.remarks.append(
            f"Visits made from tracks: {made}. Their effort is assumed and they enter no rate "
            "until a table of visits says what was looked for."
        )
    if not walked.counts.get(JOINED):
        walked.counts.pop(JOINED, None)
