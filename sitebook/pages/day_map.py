"""Draws the map of a planned day: its way over the ground, its stops in order, and their times."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from string import ascii_lowercase
from typing import Literal

import numpy as np
import shapely
from markupsafe import Markup, escape

from sitebook.ground.projection import Window
from sitebook.pages.contamination_map_labels import road_names
from sitebook.pages.day_marks import Mark, marks_svg
from sitebook.pages.day_words import count
from sitebook.pages.ground_picture import GroundPicture, ground_picture
from sitebook.pages.label_room import Box, Room
from sitebook.pages.scale_bar import north_mark, scale_bar
from sitebook.pages.sheet import Sheet, sheet_round
from sitebook.pages.svg_shapes import path_data, tidy
from sitebook.quantities import clock
from sitebook.records.results.day_plan import DayPlan
from sitebook.records.results.map_view import GroundMap
from sitebook.records.results.route import LegPart, RunnerUp

WIDE = 640.0
HIGH = (360.0, 620.0)
EDGE = 48.0
LEAST_M = 500.0

MOST_RUNNERS = 12
"""Stops left out that are told."""

NARROW = 1.75
"""How much larger signs are drawn for a narrow screen, where the whole map is drawn smaller."""


@dataclass(frozen=True)
class DayMap:
    """A drawing with what its key needs.

    Parameters
    ----------
    svg
        The drawing.
    layers
        Which layers of ground are on it.
    ways
        Which ways of travel are on it: "foot", "bicycle", "car", "unmapped".
    purposes
        Which kinds of marks are on it.
    is_uncovered, is_sparse
        As in `GroundPicture`.
    """

    svg: Markup
    layers: frozenset[str]
    ways: frozenset[str]
    purposes: frozenset[str]
    is_uncovered: bool
    is_sparse: bool


def windows_of(plan: DayPlan) -> tuple[Window, ...]:
    """Give the ground the map of a day shows, WGS 84, so that no more than that need be loaded."""
    return sheet_of(plan).windows


def sheet_of(plan: DayPlan) -> Sheet:
    """Fit the way of a day, its stops, its start and its end onto a drawing."""
    spots = [plan.start, plan.end, *(at for part in _parts(plan) for at in part.lonlat)]
    spots += [(plan.places[key].lon, plan.places[key].lat) for key in plan.plan.route.keys]
    return sheet_round(spots, wide=WIDE, high=HIGH, edge=EDGE, least_m=LEAST_M)


def told_runners(plan: DayPlan) -> list[RunnerUp]:
    """Give the stops left out that would add something, those that would add most first."""
    return [runner for runner in plan.plan.runners_up if runner.would_add > 0.0][:MOST_RUNNERS]


def letters_of(plan: DayPlan) -> dict[str, str]:
    """Give each stop left out that is told a letter, by its key."""
    names = [runner.key for runner in told_runners(plan)]
    return dict(zip(names, ascii_lowercase, strict=False))


def day_map(plan: DayPlan, ground: GroundMap) -> DayMap:
    """Draw the map of a day.

    Parameters
    ----------
    plan
        The day.
    ground
        Land and ways below; it may reach far beyond the day.
    """
    sheet = sheet_of(plan)
    lines = [(part, line) for part in _parts(plan) for line in _line(part, sheet)]
    route = shapely.MultiLineString([line for _, line in lines])
    below = ground_picture(ground, sheet, route)
    marks = list(_marks(plan, sheet))
    parts = [
        str(below.svg),
        *(f'<path class="route-halo" d="{path_data(line)}"/>' for _, line in lines),
        *(f'<path class="route {_way(part)}" d="{path_data(line)}"/>' for part, line in lines),
        f'<g class="for-wide">{_signs(marks, lines, sheet, 1.0, below)}</g>',
        f'<g class="for-narrow">{_signs(marks, lines, sheet, NARROW, None)}</g>',
        f'<path class="rim" d="M.5 .5H{tidy(WIDE - 0.5)}V{tidy(sheet.high - 0.5)}H.5z"/>',
    ]
    return DayMap(
        _svg(_heard(plan), sheet, parts),
        below.layers,
        frozenset(_way(part) for part, _ in lines),
        frozenset(mark.kind for mark in marks),
        below.is_uncovered,
        below.is_sparse,
    )


def _signs(
    marks: list[Mark],
    lines: list[tuple[LegPart, shapely.LineString]],
    sheet: Sheet,
    scale: float,
    below: GroundPicture | None,
) -> str:
    """Draw the signs at a scale, and on a wide drawing the names of ways where room is left."""
    wide, high = sheet.wide / scale, sheet.high / scale
    room = Room(sheet.wide, sheet.high)
    for x, y, across, tall in ((100.0, high - 19.0, 200.0, 38.0), (wide - 17.0, 23.0, 34.0, 46.0)):
        room.take(Box(x * scale, y * scale, across * scale, tall * scale))
    ways = [line for _, line in lines]
    signs = str(marks_svg(marks, ways, scale, room))
    names = "".join(road_names(room, list(below.names))) if below is not None else ""
    corners = scale_bar(wide, high, sheet.units_per_m / scale) + north_mark(wide)
    return f'{names}<g transform="scale({scale:g})">{corners}</g>{signs}'


def _parts(plan: DayPlan) -> Iterator[LegPart]:
    return (part for leg in plan.legs for part in leg.parts if len(part.lonlat) > 1)


def _line(part: LegPart, sheet: Sheet) -> Iterator[shapely.LineString]:
    places = sheet.places(np.asarray(part.lonlat, dtype=np.float64))
    line = shapely.LineString(places)
    if line.length > 0.0:
        yield line


def _way(part: LegPart) -> str:
    return "unmapped" if part.unmapped else part.mode


def _marks(plan: DayPlan, sheet: Sheet) -> Iterator[Mark]:
    """Give the stops, then start and end, then the places left out that lie on the map."""
    route = plan.plan.route
    for turn, stop in enumerate(route.stops, start=1):
        place = plan.places[stop.key]
        at, name = clock(stop.arrives_min), place.spot.site_name
        kind: Literal["gather", "look"] = "gather" if place.purpose == "gather" else "look"
        said = (f"{at} {name}", at)
        yield Mark(kind, str(turn), *sheet.place(place.lon, place.lat), said, f"stop-{turn}")
    begins, ends = clock(route.starts_min), clock(route.ends_min)
    if plan.start == plan.end:
        yield Mark("end", "S", *sheet.place(*plan.start), (f"Start {begins}, end {ends}", "Start"))
    else:
        yield Mark("end", "S", *sheet.place(*plan.start), (f"Start {begins}", "Start"))
        yield Mark("end", "E", *sheet.place(*plan.end), (f"End {ends}", "End"))
    for key, letter in letters_of(plan).items():
        place = plan.places[key]
        x, y = sheet.place(place.lon, place.lat)
        if sheet.holds(x, y):
            yield Mark("left", letter, x, y, (), "left-out")


def _heard(plan: DayPlan) -> str:
    stops = [plan.places[key].spot.site_name for key in plan.plan.route.keys]
    order = ", ".join(f"{turn} {name}" for turn, name in enumerate(stops, start=1)) or "no stop"
    how_many = count(len(stops), "stop", "stops")
    return f"Map of the day, north up, with {how_many}: {order}. The tables tell the same."


def _svg(heard: str, sheet: Sheet, parts: list[str]) -> Markup:
    return Markup(  # noqa: S704 (numbers, and names that were escaped)
        f'<svg class="day-map" viewBox="0 0 {sheet.wide:g} {sheet.high:g}" role="group" '
        f'aria-label="{escape(heard)}">{"".join(parts)}</svg>'
    )
