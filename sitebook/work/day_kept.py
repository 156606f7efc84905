"""Keeps a planned day as a foray with its stops, and reads back what was asked of it."""

from __future__ import annotations

import dataclasses
import datetime
from collections.abc import Mapping

import shapely

from sitebook.records.foray import Foray, ForayStop
from sitebook.records.results.day_plan import DayPlace, DayPlan
from sitebook.records.results.route import RouteStop
from sitebook.records.settings import Settings
from sitebook.store import history, rows
from sitebook.store.book import Book
from sitebook.store.history import Act, acting
from sitebook.work.day_asked import DayAsked, LonLat, kept_time, minute_of, mode_named
from sitebook.work.identity_keys import uuid_of

REPLACED = "It stands in place of the plan kept for this day before; `sitebook undo` brings that back."


def keep_day(book: Book, plan: DayPlan, asked: DayAsked, *, now: datetime.datetime) -> tuple[str, str]:
    """Keep a planned day; gives the UUID of its foray, and words where it replaces another.

    A plan kept before for the same day, on which nothing was visited yet, is withdrawn. Where some of it
    was done already, its stops at the sites named as done are taken over in front.
    """
    with acting(book, Act("plan", now)):
        before = _replaceable(book, asked)
        taken_over = [stop for one in before for stop in stops_of(book, one) if stop.site_id in asked.done]
        for foray in before:
            history.amend(book, foray, {"withdrawn_at": now})
        uuid = uuid_of("foray", f"{asked.on.isoformat()}|{now.isoformat()}")
        (foray_id,) = rows.insert(book, [_foray(plan, asked, uuid, now)])
        kept = [*_again(taken_over, foray_id, now), *_planned(plan, asked, (foray_id, len(taken_over)), now)]
        rows.insert(book, kept)
        history.note_made(book, rows.records(book, Foray, rows.table_for(Foray).c.id == foray_id))
        history.note_made(
            book, rows.records(book, ForayStop, rows.table_for(ForayStop).c.foray_id == foray_id)
        )
    return uuid, REPLACED if before else ""


def _replaceable(book: Book, asked: DayAsked) -> list[Foray]:
    """Give the forays of the day of which no stop was visited, or all of them when it is planned anew."""
    of_day = rows.records(book, Foray, rows.table_for(Foray).c.local_date == asked.on)
    return [
        foray
        for foray in of_day
        if asked.done or all(stop.visit_id is None for stop in stops_of(book, foray))
    ]


def stops_of(book: Book, foray: Foray) -> list[ForayStop]:
    """Give the stops of a foray: planned ones in order, then the others."""
    found = rows.records(book, ForayStop, rows.table_for(ForayStop).c.foray_id == foray.id)
    return sorted(found, key=lambda stop: (stop.turn is None, stop.turn or 0, stop.id or 0))


def _foray(plan: DayPlan, asked: DayAsked, uuid: str, now: datetime.datetime) -> Foray:
    end = asked.end or (None, None)
    return Foray(
        uuid=uuid,
        created_at=now,
        changed_at=now,
        local_date=asked.on,
        starts_at=kept_time(plan.starts_min),
        ends_at=kept_time(plan.latest_end_min),
        mode=asked.mode,
        searchers=asked.searchers,
        seed=asked.seed,
        end_lon=end[0],
        end_lat=end[1],
        car_lon=asked.car_at[0] if asked.car_at else None,
        car_lat=asked.car_at[1] if asked.car_at else None,
        geom=shapely.Point(*asked.start),
    )


def _again(before: list[ForayStop], foray_id: int, now: datetime.datetime) -> list[ForayStop]:
    """Give the stops done already as stops of the new foray."""
    return [
        ForayStop(
            uuid=uuid_of("foray_stop", f"{foray_id}|{stop.site_id}|{now.isoformat()}"),
            created_at=now,
            changed_at=now,
            foray_id=foray_id,
            site_id=stop.site_id,
            visit_id=stop.visit_id,
            turn=turn,
            purpose=stop.purpose,
            arrives_at=stop.arrives_at,
            stay_minutes=stop.stay_minutes,
            chance=stop.chance,
            note=stop.note,
            done_before=True,
        )
        for turn, stop in enumerate(before, 1)
    ]


def _planned(
    plan: DayPlan, asked: DayAsked, kept: tuple[int, int], now: datetime.datetime
) -> list[ForayStop]:
    """Give the stops of the route for a foray's id, after so many stops taken over."""
    foray_id, after = kept
    return [
        dataclasses.replace(
            _stop(plan.places[stop.key], stop, foray_id, turn, now),
            begins_at=_pinned(asked, plan.places[stop.key].spot.site_id),
        )
        for turn, stop in enumerate(plan.plan.route.stops, after + 1)
    ]


def _pinned(asked: DayAsked, site_id: int | None) -> str | None:
    minute = asked.at_min.get(site_id or 0)
    return None if minute is None else kept_time(minute)


def _stop(place: DayPlace, stop: RouteStop, foray_id: int, turn: int, now: datetime.datetime) -> ForayStop:
    told = [one.taxon_name for one in place.expected if one.weight * one.worthwhile > 0.0][:3]
    note = place.purpose_said or ", ".join(told) or "to look at what is little known"
    return ForayStop(
        uuid=uuid_of("foray_stop", f"{foray_id}|{place.key}|{now.isoformat()}"),
        created_at=now,
        changed_at=now,
        foray_id=foray_id,
        site_id=place.spot.site_id or 0,
        turn=turn,
        purpose=place.purpose,
        arrives_at=kept_time(stop.arrives_min),
        stay_minutes=place.stay_min,
        chance=chance_at(place) if place.purpose == "gather" else None,
        note=note,
    )


def chance_at(place: DayPlace) -> float:
    """Give the chance of at least one worthwhile find at a site of any taxon that counts [1]."""
    missed = 1.0
    for one in place.expected:
        if one.weight > 0.0:
            missed *= 1.0 - one.worthwhile
    return 1.0 - missed


def asked_again(book: Book, foray: Foray, settings: Settings) -> DayAsked:
    """Give the question that has the stops of a kept foray in their order as its answer.

    Stops that were done before the day was planned anew are left away.
    """
    planned = [stop for stop in stops_of(book, foray) if stop.turn is not None and not stop.done_before]
    stays: Mapping[int, float] = {
        stop.site_id: stop.stay_minutes for stop in planned if stop.stay_minutes is not None
    }
    pinned = {stop.site_id: minute_of(stop.begins_at) for stop in planned if stop.begins_at is not None}
    return DayAsked(
        on=foray.local_date,
        start=(foray.geom.centroid.x, foray.geom.centroid.y),
        starts_min=minute_of(foray.starts_at),
        latest_end_min=minute_of(foray.ends_at),
        mode=mode_named(foray.mode),
        stay_min=settings.stay_min.value,
        scouting_share=settings.scouting_share.value,
        look_only_from=settings.look_only_from_class.value,
        end=_place(foray.end_lon, foray.end_lat),
        car_at=_place(foray.car_lon, foray.car_lat),
        at_min=pinned,
        searchers=foray.searchers,
        stays_min=stays,
        look_only=frozenset(stop.site_id for stop in planned if stop.purpose == "look only"),
        in_order=tuple(stop.site_id for stop in planned),
        seed=foray.seed,
        alternatives=0,
    )


def _place(lon: float | None, lat: float | None) -> LonLat | None:
    return None if lon is None or lat is None else (lon, lat)
