"""Plans a day out: which sites, in which order, when and why, and what was left out."""

from __future__ import annotations

import datetime
import itertools
import zoneinfo
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from sitebook import errors
from sitebook.analysis.foray.daylight import sun_times
from sitebook.analysis.foray.route import plan_route
from sitebook.analysis.foray.stops import Wishes
from sitebook.analysis.foray.ways_graph import WaysGraph
from sitebook.ground.projection import refuse_impossible
from sitebook.outgo.calendar_file import calendar_file
from sitebook.outgo.day_events import day_events
from sitebook.outgo.day_route import day_gpx
from sitebook.pages.day_map import windows_of
from sitebook.pages.day_plan import draw_day_plan
from sitebook.quantities import MINUTES_A_DAY, clock
from sitebook.records.foray import Foray
from sitebook.records.results.day_plan import Daylight, DayPlan, Excluded, TakenLine
from sitebook.records.results.outlook import StationUsed
from sitebook.records.results.route import Leg, RoutePlan
from sitebook.records.settings import ENDS
from sitebook.store.book import Book
from sitebook.work.answer import Answer, Progress, silent
from sitebook.work.day_asked import DayAsked
from sitebook.work.day_ground import ground_in
from sitebook.work.day_kept import asked_again, keep_day
from sitebook.work.day_known import DayKnown, day_known
from sitebook.work.day_places import DayPlaces, places_of
from sitebook.work.opening import book_row
from sitebook.work.photos.showing import photo_link
from sitebook.work.seasons import Seasons, seasons_of
from sitebook.work.settings import settings_of
from sitebook.work.ways import Journeys, travel_of, travel_said, ways_of
from sitebook.work.weather_page import weather_in_words

MOST_SEARCHERS = 50


@dataclass(frozen=True)
class _Way:
    route: RoutePlan
    legs: tuple[Leg, ...]
    said: tuple[str, ...]


def plan(
    book: Book,
    asked: DayAsked,
    *,
    now: datetime.datetime,
    keep: bool = True,
    seasons: Seasons | None = None,
    progress: Progress = silent,
) -> Answer[DayPlan]:
    """Plan a day, and keep it as a foray.

    Parameters
    ----------
    book
        The book.
    asked
        What is asked of the day.
    now
        Instant noted for what is kept, UTC.
    keep
        Whether the plan is kept.
    seasons
        What was loaded and fitted already; None to do it here.
    progress
        Hears how far it is.

    Raises
    ------
    BadArgument
        When the day is none, or a wish cannot be kept.
    PositionImpossible
        When a position is not on the globe.
    NothingToShow
        When the book holds no site, or no site is left to propose.
    """
    _require_possible(asked)
    found = _planned(book, asked, now=now, seasons=seasons, progress=progress)
    if not found.places:
        reasons = f" {found.excluded[0].spot.where}: {found.excluded[0].reason}" if found.excluded else ""
        raise errors.NothingToShow(
            f"no site is left to propose on {asked.on.isoformat()}.{reasons}".rstrip("."),
            where=str(book.path),
            remedy="Ask for another day, note looks and finds, or name a site with --force.",
        )
    if not keep:
        return Answer(found)
    uuid, said = keep_day(book, found, asked, now=now)
    return Answer(replace(found, foray_uuid=uuid), remarks=(said,) if said else ())


def planned(
    book: Book,
    foray: Foray,
    *,
    now: datetime.datetime | None = None,
    seasons: Seasons | None = None,
    progress: Progress = silent,
) -> DayPlan:
    """Give a kept foray again: the same stops in the same order, with what is known of them by now.

    A stop that is closed by now stands among the excluded. The day may run past its end where ways or
    stays changed since.

    Raises
    ------
    NothingToShow
        When none of its stops is left.
    """
    asked = asked_again(book, foray, settings_of(book))
    if not asked.in_order:
        raise errors.NothingToShow(
            "this foray has no planned stop", where=str(book.path), remedy="Plan the day: `sitebook plan`."
        )
    try:
        found = _planned(book, asked, now=now, seasons=seasons, progress=progress)
    except errors.BadArgument:
        whole_day = replace(asked, latest_end_min=float(2 * MINUTES_A_DAY))
        found = _planned(book, whole_day, now=now, seasons=seasons, progress=progress)
        found = replace(found, latest_end_min=asked.latest_end_min)
    return replace(found, foray_uuid=foray.uuid)


@dataclass(frozen=True)
class DayFiles:
    """A planned day as files.

    Parameters
    ----------
    page
        The page, as HTML.
    gpx
        The route, as GPX.
    ics
        The stops as events of a calendar.
    """

    page: str
    gpx: bytes
    ics: bytes


def files_of(book: Book, day: DayPlan, *, now: datetime.datetime) -> DayFiles:
    """Draw a planned day, and write it as files for other programs."""
    row = book_row(book)
    page = draw_day_plan(
        day,
        title=f"A day out, {day.on.isoformat()}: {row.title}",
        ground=ground_in(book, windows_of(day)),
        poison_centre=settings_of(book).poison_centre,
        link_photo=photo_link(book),
    )
    events = calendar_file(day_events(day, row.zone), now=now)
    return DayFiles(page, day_gpx(day, name=row.title), events)


def _require_possible(asked: DayAsked) -> None:
    for lonlat in (asked.start, asked.end, asked.car_at):
        if lonlat is not None:
            refuse_impossible(*lonlat)
    if not 0.0 <= asked.starts_min < asked.latest_end_min <= MINUTES_A_DAY:
        raise errors.BadArgument(
            f"a day from {clock(asked.starts_min)} to {clock(asked.latest_end_min)} is none",
            remedy="Give a start, and an end after it on the same day.",
        )
    if not 1 <= asked.searchers <= MOST_SEARCHERS:
        raise errors.BadArgument(
            f"a party of {asked.searchers} cannot be planned for", remedy=f"Give 1 to {MOST_SEARCHERS}."
        )
    least, most = ENDS["stay_min"]
    if not least <= asked.stay_min <= most:
        raise errors.BadArgument(
            f"{asked.stay_min:g} minutes at each site cannot be planned",
            remedy=f"Give {least:g} to {most:g} minutes.",
        )
    least, most = ENDS["scouting_share"]
    if not least <= asked.scouting_share <= most:
        raise errors.BadArgument(
            f"a share of {asked.scouting_share:g} cannot be",
            remedy=f"Give a share from {least:g} to {most:g}.",
        )


def _planned(
    book: Book,
    asked: DayAsked,
    *,
    now: datetime.datetime | None,
    seasons: Seasons | None,
    progress: Progress,
) -> DayPlan:
    eve = asked.on - datetime.timedelta(days=1)
    loaded = seasons or seasons_of(book, day=eve, now=now, progress=progress)
    known = day_known(book, loaded, on=asked.on, sites=asked.in_order, progress=progress)
    if not known.seasons.sites:
        raise errors.NothingToShow(
            "the book holds no site yet",
            where=str(book.path),
            remedy="Say `sitebook add site` or `sitebook import`.",
        )
    light, daylight = _daylight(asked, zoneinfo.ZoneInfo(book_row(book).zone))
    places = places_of(known, asked, light)
    if asked.in_order is None:
        _require_asked_for(known, asked, places)
    graph = ways_of(book, near=asked.start, now=now, progress=progress)
    way = _way(known, asked, places, graph)
    return DayPlan(
        foray_uuid="",
        on=asked.on,
        start=asked.start,
        end=asked.ends,
        mode=asked.mode,
        starts_min=asked.starts_min,
        latest_end_min=asked.latest_end_min,
        searchers=asked.searchers,
        places=places.places,
        plan=way.route,
        legs=way.legs,
        excluded=(*places.excluded, *_out_of_reach(places, way.route)),
        daylight=daylight,
        stations=_stations(known, places),
        weather_said=weather_in_words(book, known.seasons, asked.on),
        limits=_limits(known, places, way.route),
        travel_said=(*way.said, *known.wanted_said),
        scouting_share=asked.scouting_share,
        seed=asked.seed,
    )


def _way(known: DayKnown, asked: DayAsked, places: DayPlaces, graph: WaysGraph | None) -> _Way:
    """Find the travel between the sites, and the route over it."""
    lonlat = [(places.places[stop.key].lon, places.places[stop.key].lat) for stop in places.stops]
    travel = travel_of(graph, asked.mode, asked.start, lonlat, asked.ends, car_at=asked.car_at)
    names = {key: place.spot.site_name for key, place in places.places.items()}
    route = _in_names(names, lambda: _route(known, asked, places, travel))
    legs = _legs(route, [stop.key for stop in places.stops], travel)
    return _Way(route, legs, travel_said(graph, asked.mode, legs))


def _stations(known: DayKnown, places: DayPlaces) -> dict[int, StationUsed]:
    weather = known.seasons.weather
    sites = [place.spot.site_id or 0 for place in places.places.values()]
    return {key: weather[key].used for key in sites if key in weather}


def _daylight(asked: DayAsked, zone: zoneinfo.ZoneInfo) -> tuple[tuple[float, float] | None, Daylight]:
    """Give the minutes of the day between which the sun is up, and the same in words."""
    sun = sun_times(*asked.start, asked.on)
    if sun.polar is not None:
        if sun.polar == "night":
            return None, Daylight("", "", "The sun does not rise on this day.")
        return (0.0, float(MINUTES_A_DAY)), Daylight("", "", "The sun does not set on this day.")
    rises = 0.0 if sun.rises is None else _minute(sun.rises, asked.on, zone)
    sets = float(MINUTES_A_DAY) if sun.sets is None else _minute(sun.sets, asked.on, zone)
    up = "is up when the day begins" if sun.rises is None else f"rises at {clock(rises)}"
    down = "does not set" if sun.sets is None else f"sets at {clock(sets)}"
    said = f"The sun {up} and {down}; looks are planned between them."
    if asked.starts_min < rises:
        said += f" The start asked for, {clock(asked.starts_min)}, lies before sunrise."
    if asked.latest_end_min > sets:
        said += f" The end asked for, {clock(asked.latest_end_min)}, lies after sunset: take a lamp."
    told = "" if sun.rises is None else clock(rises), "" if sun.sets is None else clock(sets)
    return (rises, sets), Daylight(*told, said)


def _minute(instant: datetime.datetime, on: datetime.date, zone: zoneinfo.ZoneInfo) -> float:
    local = instant.astimezone(zone)
    days = (local.date() - on).days
    return days * MINUTES_A_DAY + local.hour * 60 + local.minute + local.second / 60.0


def _require_asked_for(known: DayKnown, asked: DayAsked, places: DayPlaces) -> None:
    """Refuse a wish for a site that is not proposed, with the reason."""
    there = {place.spot.site_id for place in places.places.values()}
    missing = sorted((asked.force | set(asked.at_min)) - there)
    if not missing:
        return
    name = known.seasons.sites[missing[0]].name
    why = next((out.reason for out in places.excluded if out.spot.site_id == missing[0]), "")
    raise errors.BadArgument(
        f"{name} cannot be planned: {why or 'it is not known'}".rstrip("."),
        remedy="Leave it out, or ask for another day; --look SITE goes there only to look.",
    )


def _in_names(names: Mapping[str, str], route: Callable[[], RoutePlan]) -> RoutePlan:
    """Plan a route; what cannot be is said with the names of sites."""
    try:
        return route()
    except errors.BadArgument as reason:
        what = reason.what
        for key, name in names.items():
            what = what.replace(key, name)
        raise errors.BadArgument(what, remedy=reason.remedy) from reason


def _route(known: DayKnown, asked: DayAsked, places: DayPlaces, travel: Journeys) -> RoutePlan:
    weights = {
        fitted.taxon_name: (1.0 - asked.scouting_share) * known.wanted[fitted.taxon_id].weight
        for fitted in known.seasons.fitted
        if fitted.taxon_id in known.wanted
    }
    return plan_route(
        places.stops,
        np.asarray(travel.minutes),
        weights,
        starts_min=asked.starts_min,
        latest_end_min=asked.latest_end_min,
        wishes=_wishes(asked, places),
        seed=asked.seed,
        alternatives=asked.alternatives,
    )


def _wishes(asked: DayAsked, places: DayPlaces) -> Wishes:
    key_of = {place.spot.site_id: key for key, place in places.places.items()}
    order = tuple(key_of[site_id] for site_id in asked.in_order or () if site_id in key_of)
    return Wishes(
        force=frozenset(key_of[site_id] for site_id in asked.force),
        in_order=order,
        at_min={key_of[site_id]: minute for site_id, minute in asked.at_min.items() if site_id in key_of},
    )


def _legs(route: RoutePlan, keys: Sequence[str], travel: Journeys) -> tuple[Leg, ...]:
    number = {key: at for at, key in enumerate(keys, 1)}
    passed = [0, *(number[stop.key] for stop in route.route.stops), len(keys) + 1]
    return tuple(travel.leg(one, other) for one, other in itertools.pairwise(passed))


def _out_of_reach(places: DayPlaces, route: RoutePlan) -> list[Excluded]:
    said = "It cannot be reached, visited and left again within the hours of this day."
    return [Excluded(places.places[key].spot, "out of reach", said) for key in route.unreachable]


def _limits(known: DayKnown, places: DayPlaces, route: RoutePlan) -> tuple[TakenLine, ...]:
    told: dict[str, TakenLine] = {}
    for stop in route.route.stops:
        place = places.places[stop.key]
        if place.purpose == "gather":
            for limit in known.limits_at(place.spot.site_id or 0):
                told.setdefault(limit.line.words, limit.line)
    return tuple(told.values())
