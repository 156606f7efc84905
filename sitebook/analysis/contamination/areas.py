"""The share of the endless plane's effect that many areas carry together to many places.

Areas are seen in two ways. One that lies far off compared with its own size is seen as one point with
moments (`multipoles`): the cost is that of one point, however many corners it has. One that lies near is
added up along its edges as in `kernel.area_weight`, with fewer nodes. What lies farther off than CUT
lengths is left out. The sum is then within 1e-6 of the exact one for up to a few hundred areas in reach.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray
from shapely.geometry.base import BaseGeometry

from sitebook.analysis.contamination import bessel
from sitebook.analysis.contamination.multipoles import Moments, moments_of, seen_as_point
from sitebook.analysis.contamination.nearby import pairs_nearby
from sitebook.analysis.contamination.outlines import Outlines, angles_at, outlines_of, straightened
from sitebook.analysis.contamination.panels import Rule, along_pieces
from sitebook.ground.overlay import united

Floats = NDArray[np.float64]
Indices = NDArray[np.int64]

CUT = 16.0
"""Distance of an area's box, in lengths, beyond which it is left out."""

QUICK = (Rule(3, 8.0, 0.6), Rule(5, 3.5, 1.2), Rule(8, 2.2, 3.0))
PANEL_NODES = 8
"""Nodes of the rules along edges; the sum over an outline is then within 1e-8."""

BLOCK_EDGES = 30_000
"""Pairs of place and edge that are worked on at once, few enough for a processor's cache."""


EDGE_CUT = 18.0
"""Distance of an edge, in lengths, beyond which it adds nothing that matters."""


@dataclass(frozen=True)
class _Sides:
    """The edges of areas, ready to be seen from places.

    Parameters
    ----------
    start
        Where each begins (n, 2) [lengths].
    along
        Its direction as a unit vector (n, 2) [1].
    length
        Its length (n,) [lengths].
    first, number
        For each area, its first edge and how many it has.
    """

    start: Floats
    along: Floats
    length: Floats
    first: Indices
    number: Indices


def dissolved(areas_m: Sequence[BaseGeometry]) -> list[BaseGeometry]:
    """Join areas that overlap or touch, so that no ground counts twice; gives polygons."""
    whole = united(areas_m)
    return [part for part in shapely.get_parts(whole) if part.geom_type == "Polygon"]


def area_terms(points_m: ArrayLike, areas_m: Sequence[BaseGeometry], length_scale_m: float) -> Floats:
    """Give the share that some areas carry together to each of many places.

    Parameters
    ----------
    points_m
        Places (n, 2) [m].
    areas_m
        Polygons and multipolygons. Ground that lies in two of them counts twice: see `dissolved`.
    length_scale_m
        Length of the kernel [m].

    Returns
    -------
    ndarray
        The sum of the shares (n,) [1], within 1e-6.

    Raises
    ------
    ValueError
        When a shape is no area or crosses itself, a place is not finite, or the length is not above 0.
    """
    points = np.asarray(points_m, dtype=np.float64).reshape(-1, 2)
    if not np.all(np.isfinite(points)):
        raise ValueError("a place is not a finite pair of metres")
    if not (np.isfinite(length_scale_m) and length_scale_m > 0.0):
        raise ValueError("a length scale is a finite number above 0")
    areas = np.asarray([area for area in areas_m if not area.is_empty], dtype=object)
    total = np.zeros(len(points))
    if not areas.size:
        return total
    edges = outlines_of(list(areas))
    scaled, sides = points / length_scale_m, _sides(edges, len(areas), length_scale_m)
    moments = moments_of(edges, len(areas), length_scale_m)
    for place, area in pairs_nearby(points, areas, CUT * length_scale_m):
        for where, share in _shares(scaled, place, area, moments, sides):
            total += np.bincount(where, share, minlength=len(points))
    return total


def _sides(edges: Outlines, areas: int, length_scale_m: float) -> _Sides:
    step = edges.end_m - edges.start_m
    length = np.hypot(step[:, 0], step[:, 1])
    return _Sides(
        edges.start_m / length_scale_m,
        step / length[:, None],
        length / length_scale_m,
        np.searchsorted(edges.owner, np.arange(areas)),
        np.bincount(edges.owner, minlength=areas),
    )


def _shares(
    points: Floats, place: Indices, area: Indices, moments: Moments, sides: _Sides
) -> Iterator[tuple[Indices, Floats]]:
    """Yield places and what an area adds there, first the areas far off, then the near ones by edges."""
    away = points[place] - moments.centre[area]
    squared = away[:, 0] ** 2 + away[:, 1] ** 2
    far = squared >= moments.far_from.take(area) ** 2
    yield place[far], seen_as_point(away[far, 0], away[far, 1], area[far], moments)
    place, area = place[~far], area[~far]
    edges_before = np.cumsum(sides.number.take(area))
    starts = np.arange(0, edges_before[-1] if area.size else 0, BLOCK_EDGES)
    cuts = np.unique(np.append(np.searchsorted(edges_before, starts), area.size))
    for first, last in pairwise(cuts):
        yield _by_edges(points, place[first:last], area[first:last], sides)


def _by_edges(points: Floats, place: Indices, area: Indices, sides: _Sides) -> tuple[Indices, Floats]:
    """Add up areas along their edges, as in `kernel.area_weight` with every turn left as it comes out."""
    number = sides.number.take(area)
    pair = np.repeat(np.arange(area.size), number)
    edge = np.arange(pair.size) + np.repeat(sides.first.take(area) - (np.cumsum(number) - number), number)
    start = sides.start[edge] - points[place[pair]]
    along = sides.along[edge]
    low, outward = (start * along).sum(axis=1), start[:, 0] * along[:, 1] - start[:, 1] * along[:, 0]
    high, outward = low + sides.length[edge], straightened(outward)
    total = angles_at(low, high, outward)
    beyond = np.maximum(np.maximum(low, -high), 0.0)
    heard = np.flatnonzero((outward != 0.0) & (outward * outward + beyond * beyond <= EDGE_CUT**2))
    low, high, beside = low[heard], high[heard], np.abs(outward[heard])
    carried = along_pieces(low, high, beside, _quick_edge, rules=QUICK, panel_nodes=PANEL_NODES)
    total[heard] -= np.copysign(carried, outward[heard])
    return place, np.bincount(pair, total, minlength=area.size) / (2.0 * np.pi)


def _quick_edge(r: Floats, distance: Floats) -> Floats:
    return np.asarray(distance * bessel.k1(r) / r)
