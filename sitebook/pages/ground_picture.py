"""Draws land, water and ways as the ground below the marks of a small map that needs no script."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from markupsafe import Markup
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from sitebook.ground.projection import Window
from sitebook.pages.map_ground import GROUND_LAYERS, WAY_LAYERS, sorted_into
from sitebook.pages.sheet import Sheet
from sitebook.pages.svg_shapes import path_data
from sitebook.records.results.map_view import GroundMap, GroundShape

Shapes = NDArray[np.object_]

SPECK = 3.0
"""Areas smaller than this are not drawn [square drawing units]."""

SLIVER = 20.0
"""A gap in the covered ground smaller than this is no gap but rounding [square drawing units]."""

SPARSE_FROM_M: dict[str, float] = {"path": 10.0, "lane": 30.0}
"""From so many metres to the drawing unit on, ways of a layer are drawn near the route alone [m]."""

NEAR = 60.0
"""How near the route such a way must run [drawing units]."""

CASED = ("street", "main")
"""Layers of ways drawn with a rim."""


@dataclass(frozen=True)
class GroundPicture:
    """The ground of a small map.

    Parameters
    ----------
    svg
        Its paths.
    names
        Names of ways with their lines in drawing units.
    layers
        Which layers are on it.
    is_uncovered
        Whether map data cover only a part of it, or nothing.
    is_sparse
        Whether ways far from the route are left away.
    """

    svg: Markup
    names: tuple[tuple[str, BaseGeometry], ...]
    layers: frozenset[str]
    is_uncovered: bool
    is_sparse: bool


def ground_picture(ground: GroundMap, sheet: Sheet, route: BaseGeometry | None = None) -> GroundPicture:
    """Draw the part of a ground that a sheet shows.

    Parameters
    ----------
    ground
        Land, ways and what extracts cover; it may reach far beyond the sheet.
    sheet
        Where on the drawing a place lies.
    route
        The way travelled, in drawing units; on a small scale minor ways are drawn near it alone. None: all
        ways are drawn.
    """
    windows = sheet.windows
    missing = _missing(ground.covered, sheet)
    land = sorted_into(_within(ground.land, windows), GROUND_LAYERS, "built")
    ways = sorted_into(_within(ground.ways, windows), WAY_LAYERS, "path")
    areas = [(name, _areas(land[name], sheet)) for name in GROUND_LAYERS if land[name]]
    lines = {name: _lines(ways[name], sheet) for name in WAY_LAYERS if ways[name]}
    sparse = {name for name in lines if _is_sparse(name, sheet, route)}
    near = {name: _near(found, route) if name in sparse else found for name, found in lines.items()}
    parts = [f'<path class="map-{name}" d="{data}"/>' for name, shape in areas if (data := path_data(shape))]
    parts += [_uncovered(missing, sheet)] if not missing.is_empty else []
    parts += _way_parts(near)
    return GroundPicture(
        Markup("".join(parts)),  # noqa: S704 (numbers)
        tuple((one.name, line) for found in near.values() for one, line in found if one.name),
        frozenset(name for name, shape in areas if not shape.is_empty)
        | frozenset(name for name, found in near.items() if found),
        not missing.is_empty,
        any(len(near[name]) < len(lines[name]) for name in sparse),
    )


def _within(shapes: Sequence[GroundShape], windows: Iterable[Window]) -> list[GroundShape]:
    """Keep the shapes whose bounds touch one of some windows."""
    if not shapes:
        return []
    west, south, east, north = shapely.bounds([shape.geom for shape in shapes]).T
    touches = np.zeros(len(shapes), dtype=np.bool_)
    for window in windows:
        across = (east >= window.west) & (west <= window.east)
        touches |= across & (north >= window.south) & (south <= window.north)
    return [shape for shape, is_in in zip(shapes, touches, strict=True) if is_in]


def _areas(shapes: Sequence[GroundShape], sheet: Sheet) -> BaseGeometry:
    """Join the areas of a layer into one, so that no rim shows where two meet."""
    drawn = sheet.drawn([shape.geom for shape in shapes])
    return shapely.union_all(drawn[shapely.area(drawn) >= SPECK])


def _lines(shapes: Sequence[GroundShape], sheet: Sheet) -> list[tuple[GroundShape, BaseGeometry]]:
    drawn = sheet.drawn([shape.geom for shape in shapes])
    return [(one, line) for one, line in zip(shapes, drawn, strict=True) if line.length > 0.0]


def _is_sparse(layer: str, sheet: Sheet, route: BaseGeometry | None) -> bool:
    least = SPARSE_FROM_M.get(layer)
    return least is not None and route is not None and 1.0 / sheet.units_per_m >= least


def _near(
    lines: Sequence[tuple[GroundShape, BaseGeometry]], route: BaseGeometry | None
) -> list[tuple[GroundShape, BaseGeometry]]:
    if route is None:
        return list(lines)
    shapely.prepare(route)
    close = shapely.dwithin(route, [line for _, line in lines], NEAR)
    return [pair for pair, is_close in zip(lines, close, strict=True) if is_close]


def _way_parts(ways: dict[str, list[tuple[GroundShape, BaseGeometry]]]) -> list[str]:
    """Draw all rims of a layer before its ways, so that crossings stay open."""
    joined = {name: path_data(_joined([line for _, line in found])) for name, found in ways.items()}
    parts: list[str] = []
    for name, data in joined.items():
        if data:
            parts += [f'<path class="rim-of {name}" d="{data}"/>'] if name in CASED else []
            parts.append(f'<path class="way {name}" d="{data}"/>')
    return parts


def _joined(lines: Sequence[BaseGeometry]) -> BaseGeometry:
    """Join lines that go on in one another, so that they can be drawn with fewer points."""
    single = [part for part in shapely.get_parts(lines) if part.geom_type == "LineString"]
    return shapely.line_merge(shapely.MultiLineString(single))


def _missing(covered: BaseGeometry | None, sheet: Sheet) -> BaseGeometry:
    """Give the part of the sheet that no extract covers, in drawing units."""
    whole = shapely.box(0.0, 0.0, sheet.wide, sheet.high)
    if covered is None:
        return whole
    missing = whole.difference(sheet.drawn([covered])[0])
    return missing if missing.area > SLIVER else shapely.Polygon()


def _uncovered(missing: BaseGeometry, sheet: Sheet) -> str:
    inside = shapely.box(1.0, 1.0, sheet.wide - 1.0, sheet.high - 1.0)
    end = path_data(missing.boundary.intersection(inside))
    return f'<path class="uncovered" d="{path_data(missing)}"/>' + (
        f'<path class="map-end" d="{end}"/>' if end else ""
    )
