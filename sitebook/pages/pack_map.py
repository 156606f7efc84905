"""Draws the map that is carried along, fine enough to be enlarged, with signs and names for each size."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np
import shapely
from markupsafe import Markup, escape
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from sitebook.citations import Cited
from sitebook.pages.contamination_map_labels import road_names, tree_tags
from sitebook.pages.day_marks import Mark, marks_svg
from sitebook.pages.ground_picture import GroundPicture, ground_picture
from sitebook.pages.label_room import Box, Room
from sitebook.pages.scale_bar import north_mark, scale_bar
from sitebook.pages.sheet import Sheet, sheet_round
from sitebook.pages.svg_shapes import path_data
from sitebook.quantities import clock
from sitebook.records.results.day_plan import DayPlan
from sitebook.records.results.map_view import GroundMap
from sitebook.records.results.route import LegPart

PHONE_PX = 360.0
"""Width of the map on the screen it is drawn for [CSS px]."""

FINEST_M = Cited(0.4, "m", "ours", "our choice")
"""Smallest piece of ground a drawing unit stands for."""

MOST_BYTES = Cited(1_500_000.0, "bytes", "ours", "our choice")
"""Largest drawing: the page is to stay under 3 MB with its names, scripts and words."""

WIDEST = (6000.0, 4000.0, 2500.0, 1600.0, 1000.0, 640.0)
"""Widths of the drawing in units, the finest first; one too large in bytes gives way to the next."""

ENLARGED = (1, 2, 4, 8, 16)
"""How much larger than the whole day the map is shown, each with signs and names of its own."""

LEAST_M = 400.0
MARGIN = 0.1
DEGREE = 3
"""Degree of the polynomial by which the page's script turns places into positions and back."""


@dataclass(frozen=True)
class PackMap:
    """The drawing with what its key and its script need.

    Parameters
    ----------
    svg
        The drawing.
    layers, ways
        Which layers of ground and which ways of travel are on it.
    has_trees, is_uncovered, is_sparse
        Whether trees are on it, whether map data cover it only in part, and whether ways far from the
        route are left away.
    data
        What the script reads: size, drawing units to the metre, levels, and the two polynomials.
    """

    svg: Markup
    layers: frozenset[str]
    ways: frozenset[str]
    has_trees: bool
    is_uncovered: bool
    is_sparse: bool
    data: dict[str, object]


def pack_map(plan: DayPlan, ground: GroundMap, *, most_bytes: float = MOST_BYTES.value) -> PackMap:
    """Draw the map of a day, as fine as the bytes allow.

    Parameters
    ----------
    plan
        The day.
    ground
        Land and ways below; it may reach far beyond the day.
    most_bytes
        Largest drawing.
    """
    for wide in WIDEST:
        drawn = _drawn(plan, ground, sheet_of(plan, wide))
        if len(drawn.svg.encode("utf-8")) <= most_bytes:
            return drawn
    return _drawn(plan, GroundMap(covered=ground.covered), sheet_of(plan, WIDEST[-1]))


def sheet_of(plan: DayPlan, wide: float = WIDEST[0]) -> Sheet:
    """Fit start, end, ways, stops and trees of a day onto a drawing."""
    spots = [plan.start, plan.end, *(at for part in _parts(plan) for at in part.lonlat)]
    for key in plan.plan.route.keys:
        place = plan.places[key]
        spots += [(place.lon, place.lat), *((tree.lon, tree.lat) for tree in place.trees)]
    sheet = sheet_round(spots, wide=wide, high=(wide, 1.3 * wide), edge=MARGIN * wide, least_m=LEAST_M)
    finest = 1.0 / FINEST_M.value
    if sheet.units_per_m <= finest:
        return sheet
    smaller = wide * finest / sheet.units_per_m
    return sheet_round(
        spots, wide=smaller, high=(smaller, 1.3 * smaller), edge=MARGIN * smaller, least_m=LEAST_M
    )


def _drawn(plan: DayPlan, ground: GroundMap, sheet: Sheet) -> PackMap:
    lines = [(part, line) for part in _parts(plan) for line in _line(part, sheet)]
    below = ground_picture(ground, sheet, shapely.MultiLineString([line for _, line in lines]))
    trees = [
        (tree.spot.tag, *sheet.place(tree.lon, tree.lat))
        for key in plan.plan.route.keys
        for tree in plan.places[key].trees
    ]
    levels = _levels(sheet)
    whole = _Whole(plan, sheet, below, trees, [line for _, line in lines])
    parts = [
        f'<g class="ground-below">{below.svg}</g>',
        *(f'<path class="route-halo" d="{path_data(line)}"/>' for _, line in lines),
        *(f'<path class="route {_way(part)}" d="{path_data(line)}"/>' for part, line in lines),
        *(_level(whole, at, level) for at, level in enumerate(levels)),
    ]
    return PackMap(
        _svg(plan, sheet, parts),
        below.layers,
        frozenset(_way(part) for part, _ in lines),
        bool(trees),
        below.is_uncovered,
        below.is_sparse,
        _data(sheet, levels),
    )


def _levels(sheet: Sheet) -> list[int]:
    """Give the enlargements that still show more than the one before."""
    metres_per_px = sheet.wide / sheet.units_per_m / PHONE_PX
    return [level for level in ENLARGED if level == 1 or metres_per_px / level > FINEST_M.value]


@dataclass(frozen=True)
class _Whole:
    """What every enlargement shows of."""

    plan: DayPlan
    sheet: Sheet
    below: GroundPicture
    trees: Sequence[tuple[str, float, float]]
    lines: Sequence[BaseGeometry]


def _level(whole: _Whole, at: int, level: int) -> str:
    """Draw signs and names for one enlargement, in the pixels of a phone."""
    sheet = whole.sheet
    unit = sheet.wide / PHONE_PX / level
    wide, high = sheet.wide / unit, sheet.high / unit
    room = Room(wide, high)
    corners = ""
    if at == 0:
        for box in (Box(80.0, high - 19.0, 160.0, 38.0), Box(wide - 17.0, 23.0, 34.0, 46.0)):
            room.take(box)
        bar = scale_bar(wide, high, sheet.units_per_m / unit)
        corners = f'<g class="corners">{bar}{north_mark(wide)}</g>'
    small = [_shrunk(line, unit) for line in whole.lines]
    shown = [(tag, x / unit, y / unit) for tag, x, y in whole.trees] if level > 1 else []
    marks = marks_svg(list(_marks(whole.plan, sheet, unit)), small, 1.0, room)
    tags = "".join(tree_tags(room, shown))
    names = "".join(_names(room, whole.below, unit, level))
    return (
        f'<g class="level" data-level="{at}" transform="scale({unit:.4f})">{names}{tags}{marks}{corners}</g>'
    )


def _names(room: Room, below: GroundPicture, unit: float, level: int) -> Iterator[str]:
    """Write names of ways tile by tile, so that every part of an enlarged map has some."""
    if not below.names:
        return
    lines = [line for _, line in below.names]
    titles = [title for title, _ in below.names]
    small = np.asarray([_shrunk(line, unit) for line in lines], dtype=object)
    across, down = room.wide / level, room.high / level
    for column, row in product(range(level), range(level)):
        edges = (column * across, row * down, (column + 1) * across, (row + 1) * down)
        inside = shapely.clip_by_rect(small, *edges)
        here = [(titles[at], inside[at]) for at in np.flatnonzero(shapely.length(inside) > 0.0)]
        yield from road_names(room, here)


def _shrunk(shape: BaseGeometry, unit: float) -> BaseGeometry:
    def smaller(xy: NDArray[np.float64]) -> NDArray[np.float64]:
        return xy / unit

    return shapely.transform(shape, smaller)


def _parts(plan: DayPlan) -> Iterator[LegPart]:
    return (part for leg in plan.legs for part in leg.parts if len(part.lonlat) > 1)


def _line(part: LegPart, sheet: Sheet) -> Iterator[shapely.LineString]:
    line = shapely.LineString(sheet.places(np.asarray(part.lonlat, dtype=np.float64)))
    if line.length > 0.0:
        yield line


def _way(part: LegPart) -> str:
    return "unmapped" if part.unmapped else part.mode


def _marks(plan: DayPlan, sheet: Sheet, unit: float) -> Iterator[Mark]:
    """Give the stops, then start and end, in the pixels of a phone."""

    def at(lon: float, lat: float) -> tuple[float, float]:
        x, y = sheet.place(lon, lat)
        return x / unit, y / unit

    for turn, stop in enumerate(plan.plan.route.stops, start=1):
        place, time = plan.places[stop.key], clock(stop.arrives_min)
        x, y = at(place.lon, place.lat)
        said = (f"{time} {place.spot.site_name}", time)
        yield Mark("gather" if place.purpose == "gather" else "look", str(turn), x, y, said)
    if plan.start == plan.end:
        yield Mark("end", "S", *at(*plan.start), ("Start, end", "Start"))
    else:
        yield Mark("end", "S", *at(*plan.start), ("Start",))
        yield Mark("end", "E", *at(*plan.end), ("End",))


def _svg(plan: DayPlan, sheet: Sheet, parts: Sequence[str]) -> Markup:
    stops = [plan.places[key].spot.site_name for key in plan.plan.route.keys]
    order = ", ".join(f"{turn} {name}" for turn, name in enumerate(stops, start=1)) or "no stop"
    heard = escape(f"Map of the day, north up: {order}. The stops are told in words too.")
    return Markup(  # noqa: S704 (numbers, and names that were escaped)
        f'<svg class="pack-map" style="--r:{sheet.wide / sheet.high:.3f}" '
        f'viewBox="0 0 {sheet.wide:.1f} {sheet.high:.1f}" role="img" '
        f'aria-label="{heard}">{"".join(parts)}<g class="pick"></g></svg>'
    )


def _data(sheet: Sheet, levels: Sequence[int]) -> dict[str, object]:
    return {
        "size": [round(sheet.wide, 1), round(sheet.high, 1)],
        "units_per_m": round(sheet.units_per_m, 6),
        "levels": list(levels),
        "middle": [round(float(value), 7) for value in _middle(sheet)],
        "half": [round(float(value), 9) for value in _half_deg(sheet)],
        "to_degrees": _fitted(*_grid(sheet)),
        "to_places": _fitted(*reversed(_grid(sheet))),
    }


def _middle(sheet: Sheet) -> NDArray[np.float64]:
    middle: NDArray[np.float64] = sheet.metres.to_degrees([sheet.middle_m])[0]
    return middle


def _half_deg(sheet: Sheet) -> NDArray[np.float64]:
    """Give half the width and height of the drawing in degrees, about."""
    corner = np.array([sheet.wide, sheet.high]) / sheet.units_per_m / 2.0
    away = sheet.metres.to_degrees([np.asarray(sheet.middle_m) + corner])[0] - _middle(sheet)
    away[0] = (away[0] + 180.0) % 360.0 - 180.0
    half: NDArray[np.float64] = np.maximum(np.abs(away), 1e-9)
    return half


def _grid(sheet: Sheet) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Give places on the drawing and their positions, both as shares of half its size from its middle."""
    steps = np.linspace(-1.0, 1.0, 9)
    places = np.array(list(product(steps, steps)))
    half_m = np.array([sheet.wide, -sheet.high]) / sheet.units_per_m / 2.0
    degrees = sheet.metres.to_degrees(places * half_m + np.asarray(sheet.middle_m)) - _middle(sheet)
    degrees[:, 0] = (degrees[:, 0] + 180.0) % 360.0 - 180.0
    return places, degrees / _half_deg(sheet)


def _fitted(given: NDArray[np.float64], wanted: NDArray[np.float64]) -> list[list[float]]:
    """Fit two polynomials of x and y by least squares; terms in the order of `powers`."""
    terms = np.column_stack([given[:, 0] ** i * given[:, 1] ** j for i, j in powers()])
    found = np.linalg.lstsq(terms, wanted, rcond=None)[0]
    return [[float(f"{value:.9g}") for value in column] for column in found.T]


def powers() -> list[tuple[int, int]]:
    """Give the powers of x and y of each term, in the order of their coefficients."""
    return [(i, total - i) for total in range(DEGREE + 1) for i in range(total + 1)]
