"""Draws the small map of a place: roads at their true width, sources, sprayings and trees."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from string import ascii_uppercase

import numpy as np
import shapely
from markupsafe import Markup, escape
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from sitebook.pages.contamination_map_labels import ground_letter, road_names, tree_tags
from sitebook.pages.contamination_numbers import count, metres
from sitebook.pages.label_room import Box, Room
from sitebook.pages.scale_bar import north_mark, scale_bar
from sitebook.pages.svg_shapes import path_data, points_of, tidy
from sitebook.records.results.review import DrawnGround, DrawnLine, Surroundings

SIDE = 380.0
THINNEST = 1.6
SLIVER = 20.0
"""Area below which a gap in the covered ground is no gap but rounding [square drawing units]."""

GROUND_HATCHES: tuple[tuple[str, int, str], ...] = (
    ("source", 9, "M0 9L9 0M-2 2L2 -2M7 11L11 7"),
    ("spraying", 10, "M0.5 2.5H4.5M5.5 7.5H9.5"),
)
"""Hatch of a source and of a spraying: name, width of a tile, path."""


@dataclass(frozen=True)
class Keyed:
    """A piece of ground with the letter it bears on the map.

    Parameters
    ----------
    letter
        The letter.
    kind, title
        As in `DrawnGround`.
    """

    letter: str
    kind: str
    title: str


@dataclass(frozen=True)
class SmallMap:
    """A drawing with what its legend needs.

    Parameters
    ----------
    svg
        The drawing.
    grounds
        Lettered ground.
    has_roads, has_tunnels, has_trees, has_uncovered
        What is on it.
    side_m
        Side of the square [m].
    """

    svg: Markup
    grounds: tuple[Keyed, ...]
    has_roads: bool
    has_tunnels: bool
    has_trees: bool
    has_uncovered: bool
    side_m: float


def small_map(name: str, drawn: Surroundings) -> SmallMap:
    """Draw the surroundings of a place.

    Parameters
    ----------
    name
        The place, for those who hear the page.
    drawn
        What lies round it.
    """
    scale = SIDE / (2.0 * drawn.half_side_m)
    place = partial(_drawing_units, scale=scale)
    lines = [(road, _clipped(place(road.shape_m))) for road in drawn.roads]
    roads = [(road, shape) for road, shape in lines if not shape.is_empty]
    grounds = _lettered(drawn.grounds, scale)
    missing = _not_covered(drawn.grounds, scale)
    worst = _units(drawn.worst_m, scale)
    room = Room(SIDE, SIDE)
    for corner in (Box(60.0, SIDE - 19.0, 120.0, 38.0), Box(SIDE - 17.0, 23.0, 34.0, 46.0)):
        room.take(corner)
    room.take(Box(worst[0], worst[1], 20.0, 20.0))
    trees = [(tag, *_units((east, north), scale)) for tag, east, north in drawn.trees]
    parts = [
        _uncovered(missing),
        *(_ground(keyed.kind, shape) for keyed, shape in grounds),
        *_road_parts(roads, scale),
        _outline(_clipped(place(drawn.outline_m))),
        *(ground_letter(room, keyed.letter, shape) for keyed, shape in grounds),
        *tree_tags(room, trees),
        *road_names(room, [(road.name, shape) for road, shape in roads]),
        _worst(worst),
        str(scale_bar(SIDE, SIDE, scale)),
        str(north_mark(SIDE)),
        f'<path class="rim" d="M.5 .5H{tidy(SIDE - 0.5)}V{tidy(SIDE - 0.5)}H.5z"/>',
    ]
    return SmallMap(
        svg=_svg(_heard(name, drawn, len(roads), len(grounds)), parts),
        grounds=tuple(keyed for keyed, _ in grounds),
        has_roads=any(not road.underground for road, _ in roads),
        has_tunnels=any(road.underground for road, _ in roads),
        has_trees=bool(drawn.trees),
        has_uncovered=not missing.is_empty,
        side_m=2.0 * drawn.half_side_m,
    )


def _svg(heard: str, parts: Sequence[str]) -> Markup:
    return Markup(  # noqa: S704 (numbers, and names that were escaped)
        f'<svg class="small-map" viewBox="0 0 {SIDE:g} {SIDE:g}" role="img" aria-label="{escape(heard)}">'
        f"{''.join(parts)}</svg>"
    )


def _heard(name: str, drawn: Surroundings, roads: int, grounds: int) -> str:
    side = metres(2.0 * drawn.half_side_m)
    return (
        f"Map of {side} by {side} round {name}, north up: {count(roads, 'road', 'roads')}, "
        f"{count(grounds, 'other source or spraying', 'other sources and sprayings')}, "
        f"{count(len(drawn.trees), 'host tree', 'host trees')}. The tables on this page tell the same."
    )


def _units(at_m: tuple[float, float], scale: float) -> tuple[float, float]:
    return SIDE / 2.0 + at_m[0] * scale, SIDE / 2.0 - at_m[1] * scale


def _drawing_units(shape_m: BaseGeometry, scale: float) -> BaseGeometry:
    def turn(xy: NDArray[np.float64]) -> NDArray[np.float64]:
        turned: NDArray[np.float64] = xy[:, :2] * np.array([scale, -scale]) + SIDE / 2.0
        return turned

    return shapely.transform(shapely.force_2d(shape_m), turn)


def _clipped(shape: BaseGeometry, beyond: float = 8.0) -> BaseGeometry:
    """Cut a shape to the square and a little more, so that no cut edge shows."""
    whole = shape if shape.is_valid else shapely.make_valid(shape)
    return whole.intersection(shapely.box(-beyond, -beyond, SIDE + beyond, SIDE + beyond))


def _lettered(grounds: Sequence[DrawnGround], scale: float) -> list[tuple[Keyed, BaseGeometry]]:
    drawn = [(ground, _clipped(_drawing_units(ground.shape_m, scale))) for ground in grounds]
    seen = [(g, shape) for g, shape in drawn if g.kind != "covered" and _in_square(shape)]
    return [(Keyed(_letters(at), g.kind, g.title), shape) for at, (g, shape) in enumerate(seen)]


def _in_square(shape: BaseGeometry) -> bool:
    return bool(shape.intersects(shapely.box(0.0, 0.0, SIDE, SIDE)))


def _letters(at: int) -> str:
    """Give A to Z, then AA, AB and so on."""
    rest, own = divmod(at, len(ascii_uppercase))
    return (_letters(rest - 1) if rest else "") + ascii_uppercase[own]


def _not_covered(grounds: Sequence[DrawnGround], scale: float) -> BaseGeometry:
    """Give the part of the square that no map data covers; empty where nothing is said of that."""
    covered = [_clipped(_drawing_units(g.shape_m, scale)) for g in grounds if g.kind == "covered"]
    if not covered:
        return shapely.Point()
    missing = shapely.box(0.0, 0.0, SIDE, SIDE).difference(shapely.union_all(covered))
    return missing if missing.area > SLIVER else shapely.Point()


def _uncovered(missing: BaseGeometry) -> str:
    """Shade what no map data covers, with a broken line where the data end; the rim is no such end."""
    if missing.is_empty:
        return ""
    end = missing.boundary.intersection(shapely.box(1.0, 1.0, SIDE - 1.0, SIDE - 1.0))
    return f'<path class="uncovered" d="{path_data(missing)}"/><path class="map-end" d="{path_data(end)}"/>'


def _ground(kind: str, shape: BaseGeometry) -> str:
    name = "spraying" if kind == "spraying" else "source"
    dots = "".join(
        f'<circle class="ground {name}" cx="{tidy(x)}" cy="{tidy(y)}" r="7"/>' for x, y in points_of(shape)
    )
    data = path_data(shape)
    line = " ground-line" if shape.geom_type in {"LineString", "MultiLineString"} else ""
    return dots + (f'<path class="ground {name}{line}" d="{data}"/>' if data else "")


def _road_parts(roads: Sequence[tuple[DrawnLine, BaseGeometry]], scale: float) -> Iterator[str]:
    """Draw tunnels, then all casings, then all roads, so that crossings stay open."""
    open_air = [(road, path_data(shape)) for road, shape in roads if not road.underground]
    for road, shape in roads:
        if road.underground:
            yield f'<path class="tunnel" d="{path_data(shape)}"/>'
    for kind, more in (("casing", 1.8), ("road", 0.0)):
        for road, data in open_air:
            wide = tidy(max(road.width_m * scale, THINNEST) + more)
            yield f'<path class="{kind}" stroke-width="{wide}" d="{data}"/>'


def _outline(shape: BaseGeometry) -> str:
    data = path_data(shape)
    return f'<path class="place-halo" d="{data}"/><path class="place" d="{data}"/>' if data else ""


def _worst(at: tuple[float, float]) -> str:
    x, y = (tidy(value) for value in at)
    cross = f"M{x} {y}m-10 0h6m8 0h6m-10 -10v6m0 8v6"
    return (
        f'<path class="worst-halo" d="{cross}"/><circle class="worst-halo" cx="{x}" cy="{y}" r="5.5"/>'
        f'<path class="worst" d="{cross}"/><circle class="worst" cx="{x}" cy="{y}" r="5.5"/>'
    )
