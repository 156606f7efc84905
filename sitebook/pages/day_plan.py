"""Draws the page of a planned day."""

from __future__ import annotations

from collections.abc import Iterator

from sitebook.pages import day_words, frame
from sitebook.pages.day_choice import choice
from sitebook.pages.day_map import DayMap, day_map
from sitebook.pages.day_names import names_to_heed
from sitebook.pages.day_photos import LinkPhoto, photos_of
from sitebook.pages.day_stop import stop_part, stop_times
from sitebook.pages.day_stop_map import stop_map
from sitebook.pages.day_words import count, lasting
from sitebook.pages.own_parts import rendered, text_of
from sitebook.pages.revisit import capital
from sitebook.pages.station_words import weather_lines
from sitebook.quantities import clock
from sitebook.records.results.day_plan import DayPlan
from sitebook.records.results.map_view import GroundMap
from sitebook.records.results.route import Leg, RouteStop

WAY_WORDS = {
    "foot": "on foot",
    "bicycle": "by bicycle",
    "car": "by car",
    "unmapped": "no way mapped: a straight line, the time with a detour",
}
LAYER_WORDS = {
    "main": "main road",
    "street": "street",
    "lane": "lane",
    "path": "path",
    "wood": "wood",
    "water": "water",
}
MARK_WORDS = {"gather": "stop to gather", "look": "stop only to look", "left": "place left out, see below"}


def draw_day_plan(
    plan: DayPlan,
    *,
    title: str,
    ground: GroundMap,
    poison_centre: str = "",
    link_photo: LinkPhoto | None = None,
) -> str:
    """Draw a planned day as one self-contained page that works without scripts and prints on A4.

    Parameters
    ----------
    plan
        The day.
    title
        Heading of the page.
    ground
        Land, ways and what extracts cover, at least in `day_map.windows_of(plan)`; an empty one draws the
        way on blank ground and says so.
    poison_centre
        Telephone of the poison centre; empty where none is set.
    link_photo
        From the SHA-256 of a photo to its small picture as a data URI, empty for none; None for a page
        without photos.

    Raises
    ------
    PageNotSelfContained
        If anything in the page would be loaded from outside.
    """
    route = plan.plan.route
    stops = [plan.places[stop.key] for stop in route.stops]
    photos = photos_of([tree for place in stops for tree in place.trees], link_photo)
    names = names_to_heed(stops)
    body = rendered(
        "day_plan.html.j2",
        lead=_lead(plan),
        facts=list(_facts(plan)),
        daylight=plan.daylight.said,
        limits=[line.words for line in plan.limits],
        weather=[*([plan.weather_said] if plan.weather_said else []), *_stations(plan)],
        map=day_map(plan, ground),
        key=key_of_map,
        attribution=_attribution(ground),
        rows=_timetable(plan),
        starts=clock(route.starts_min),
        home=_home(plan),
        stops=[
            stop_part(plan, turn, stop_map(place, ground, plan.legs), photos, names)
            for turn, place in enumerate(stops, start=1)
        ],
        photos_said=photos.said,
        names=list(names.values()),
        choice=choice(plan),
        travel=plan.travel_said,
    )
    return frame.page(
        title=title,
        subtitle=f"{day_words.day_in_words(plan.on)}, {day_words.BY.get(plan.mode, plan.mode)}",
        body=body,
        style=text_of("day_map.css") + text_of("day_plan.css") + text_of("day_stop.css"),
        poison_centre=poison_centre,
    )


def _lead(plan: DayPlan) -> str:
    """Say the day in one sentence."""
    route = plan.plan.route
    if not route.stops:
        return (
            "No stop is planned: none that may be gone to can be reached, visited and left in these hours, "
            "or none is worth anything."
        )
    looks = sum(plan.places[key].purpose != "gather" for key in route.keys)
    only = f", {looks} of them only to look" if looks else ""
    back = "back" if plan.start == plan.end else "at the end"
    return (
        f"{count(len(route.stops), 'stop', 'stops')}{only}, from {clock(route.starts_min)}, {back} at "
        f"{clock(route.ends_min)}; asked for by {clock(plan.latest_end_min)}."
    )


def _facts(plan: DayPlan) -> Iterator[tuple[str, str]]:
    """Give what the day takes, each with its name."""
    route = plan.plan.route
    yield "At the stops", lasting(route.stay_min)
    waits = f", {lasting(route.wait_min)} waiting" if route.wait_min >= 1.0 else ""
    yield "On the way", f"{lasting(route.travel_min)}{waits}"
    if length := day_words.day_length(plan.legs):
        yield "How far", length
    yield "Who goes", count(plan.searchers, "person", "people")
    yield "How good", day_words.how_good(plan.plan)


def _stations(plan: DayPlan) -> list[str]:
    route = {plan.places[key].spot.site_id for key in plan.plan.route.keys}
    used = [station for site_id, station in plan.stations.items() if site_id in route]
    return [said for said, _ in weather_lines(used)]


def key_of_map(drawn: DayMap) -> list[tuple[str, str, str]]:
    """Give the key of a map: what kind of sign, which, and its meaning."""
    marks = [("mark", kind, words) for kind, words in MARK_WORDS.items() if kind in drawn.purposes]
    ways = [("way", kind, words) for kind, words in WAY_WORDS.items() if kind in drawn.ways]
    layers = [("layer", kind, words) for kind, words in LAYER_WORDS.items() if kind in drawn.layers]
    return marks + ways + layers


def _attribution(ground: GroundMap) -> str:
    if not ground.attributions:
        return ""
    dated = f" of {ground.data_date.isoformat()}" if ground.data_date else ""
    return f"Map data{dated}: {'; '.join(ground.attributions)}."


def _legs(plan: DayPlan) -> tuple[Leg, ...]:
    """Give the ways of a day where there is one to each stop and one home, else none."""
    return plan.legs if len(plan.legs) == len(plan.plan.route.stops) + 1 else ()


def _timetable(plan: DayPlan) -> list[dict[str, object]]:
    legs = _legs(plan)
    rows: list[dict[str, object]] = []
    for turn, stop in enumerate(plan.plan.route.stops, start=1):
        place = plan.places[stop.key]
        rows.append(
            {
                "turn": turn,
                "name": place.spot.site_name,
                "kind": "gather" if place.purpose == "gather" else "look",
                "purpose": capital(place.purpose),
                "purpose_said": place.purpose_said,
                "way": day_words.leg_words(legs[turn - 1]) if legs else lasting(stop.travel_min),
                "waits": lasting(stop.begins_min - stop.arrives_min) if _waits(stop) else "",
                **stop_times(stop),
            }
        )
    return rows


def _waits(stop: RouteStop) -> bool:
    return stop.begins_min - stop.arrives_min >= 1.0


def _home(plan: DayPlan) -> dict[str, str]:
    route, legs = plan.plan.route, _legs(plan)
    last = route.stops[-1].leaves_min if route.stops else route.starts_min
    way = day_words.leg_words(legs[-1]) if legs else lasting(route.ends_min - last)
    return {"way": way, "arrives": clock(route.ends_min), "same": "yes" if plan.start == plan.end else ""}
