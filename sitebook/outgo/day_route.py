"""Writes the route of a planned day as GPX 1.1."""

from __future__ import annotations

from collections.abc import Iterator
from xml.etree import ElementTree as ET

import shapely

from sitebook.citations import Cited
from sitebook.outgo.gpx import as_file, degrees, root_element, text_in
from sitebook.quantities import clock
from sitebook.records.results.day_plan import PLANNED_STOP, DayPlan
from sitebook.records.results.route import RouteStop

SIMPLER_BY_DEG = Cited(0.00002, "deg", "ours", "our choice")
"""How far the route of the file may lie from the way planned: about two metres."""

DECIMALS = 6
"""Of a degree: about a tenth of a metre."""

LonLat = tuple[float, float]


def day_gpx(plan: DayPlan, *, name: str = "") -> bytes:
    """Give the day as a GPX 1.1 file: its stops as waypoints, and its way as one route.

    It is a route and no track, since it was planned and not walked. A stop bears a type by which our reader
    knows that nothing was found at it.

    Parameters
    ----------
    plan
        The day.
    name
        What the route is called; "" for its date.

    References
    ----------
    GPX 1.1 schema, Topografix: metadata, then waypoints, then routes.
    """
    root = root_element()
    called = name or f"Planned {plan.on.isoformat()}"
    text_in(ET.SubElement(root, "metadata"), "name", called)
    for lonlat, title, said in _waypoints(plan):
        _point(root, "wpt", lonlat, title, said)
    route = ET.SubElement(root, "rte")
    text_in(route, "name", called)
    for lonlat, title in _route(plan):
        _point(route, "rtept", lonlat, title)
    return as_file(root)


def _point(parent: ET.Element, kind: str, lonlat: LonLat, name: str, said: str = "") -> None:
    lon, lat = (round(value, DECIMALS) for value in lonlat)
    element = ET.SubElement(parent, kind, {"lat": degrees(lat), "lon": degrees(lon)})
    text_in(element, "name", name)
    text_in(element, "desc", said)
    if kind == "wpt":
        text_in(element, "type", PLANNED_STOP)


def _waypoints(plan: DayPlan) -> Iterator[tuple[LonLat, str, str]]:
    route = plan.plan.route
    begins, ends = f"leave at {clock(route.starts_min)}", f"arrive at {clock(route.ends_min)}"
    is_round = plan.start == plan.end
    yield plan.start, "Start and end" if is_round else "Start", f"{begins}; {ends}" if is_round else begins
    for turn, stop in enumerate(route.stops, start=1):
        place = plan.places[stop.key]
        yield (place.lon, place.lat), _name(plan, turn, stop), _said(plan, stop)
    if not is_round:
        yield plan.end, "End", ends


def _name(plan: DayPlan, turn: int, stop: RouteStop) -> str:
    return f"{turn} {plan.places[stop.key].spot.site_name}"


def _said(plan: DayPlan, stop: RouteStop) -> str:
    place = plan.places[stop.key]
    waits = f", begin {clock(stop.begins_min)}" if stop.begins_min - stop.arrives_min >= 1.0 else ""
    times = f"arrive {clock(stop.arrives_min)}{waits}, leave {clock(stop.leaves_min)}"
    return "; ".join(part for part in (times, place.purpose, place.purpose_said) if part)


def _route(plan: DayPlan) -> Iterator[tuple[LonLat, str]]:
    """Give the points of the way in order, with a name at the start, at each stop and at the end."""
    stops = plan.plan.route.stops
    yield plan.start, "Start"
    for turn, stop in enumerate(stops, start=1):
        yield from _between(plan, turn - 1)
        place = plan.places[stop.key]
        yield (place.lon, place.lat), _name(plan, turn, stop)
    yield from _between(plan, len(stops))
    yield plan.end, "End"


def _between(plan: DayPlan, at: int) -> Iterator[tuple[LonLat, str]]:
    """Give the points of one way without the places it joins."""
    leg = plan.legs[at] if at < len(plan.legs) else None
    line = [lonlat for part in (leg.parts if leg else ()) for lonlat in part.lonlat]
    if len(line) < 2:
        return
    simple = shapely.simplify(shapely.LineString(line), SIMPLER_BY_DEG.value)
    for lon, lat in shapely.get_coordinates(simple)[1:-1].tolist():
        yield (lon, lat), ""
