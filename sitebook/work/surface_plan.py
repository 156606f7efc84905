"""Settles over which ground the road index is reckoned, from which roads, and under which hash."""

from __future__ import annotations

import datetime
import hashlib
import struct
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from sitebook.analysis.contamination import parameters
from sitebook.analysis.contamination.past_roads import KIND, old_roads
from sitebook.analysis.contamination.surface import CELL_M
from sitebook.analysis.contamination.surface_cells import FAINT, KEPT_BITS
from sitebook.analysis.contamination.traffic import Road, network
from sitebook.ground.grid import Grid, grid_over
from sitebook.ground.projection import LocalMetres, windows_round
from sitebook.records.map_data import Extract, Hazard, TrafficCount, Way
from sitebook.records.site import Site
from sitebook.store import map_data, rows
from sitebook.store.book import Book

Floats = NDArray[np.float64]

MOST_CELLS = 14_000_000
"""Cells of one ground, 350 km2 at 5 m: more would not fit into the memory of a small machine."""

WAY_OF_RECKONING = 1
"""Goes up when the same roads would give other cells."""

SAME_PLACE_M = 0.001
"""Places this near to each other count as one in the hash, so that no library's last digit changes it."""


@dataclass(frozen=True, eq=False)
class Plan:
    """One ground with the roads that reach it.

    Parameters
    ----------
    name
        What the surface is of.
    ground
        The ground, WGS 84 [deg].
    frame
        Metres round its middle.
    grid
        The cells over it.
    roads
        Roads on it and within the reach round it.
    """

    name: str
    ground: Polygon
    frame: LocalMetres
    grid: Grid
    roads: tuple[Road, ...]

    @property
    def lines_m(self) -> list[Floats]:
        """Centre lines [m]."""
        return [road.line_m for road in self.roads]

    @property
    def vehicles(self) -> Floats:
        """Central traffic of each road [vehicles a day]."""
        return np.array([road.traffic.central for road in self.roads])

    @property
    def half_widths_m(self) -> Floats:
        """Half the width of each road [m]."""
        return np.array([road.half_width_m for road in self.roads])

    @cached_property
    def input_hash(self) -> str:
        """SHA-256 over ground, cells, numbers of the model, and every road with traffic and width."""
        model = sorted((name, cited.value) for name, cited in parameters.model().items())
        grid = self.grid
        told = (WAY_OF_RECKONING, KEPT_BITS, FAINT, model, self.frame.lon, self.frame.lat, grid)
        digest = hashlib.sha256(repr(told).encode())
        digest.update(shapely.to_wkb(self.ground.normalize()))
        for road in sorted(_as_bytes(road) for road in self.roads):
            digest.update(road)
        return digest.hexdigest()

    def degrees(self, shape_m: BaseGeometry) -> BaseGeometry:
        """Turn an area in metres into one in degrees."""
        return shapely.transform(shape_m, self.frame.to_degrees)


def plans_of(book: Book, today: datetime.date) -> tuple[list[Plan], float]:
    """Give a plan for each connected covered ground, the largest first, and what is left out [km2]."""
    extracts = [e for e in rows.records(book, Extract) if e.superseded_by is None]
    covered = shapely.union_all([extract.geom for extract in extracts])
    grounds = [part for part in shapely.get_parts(covered) if isinstance(part, Polygon)]
    wanted = [site.geom.centroid for site in rows.records(book, Site)]
    plans, left_out_km2 = [], 0.0
    for ground in sorted(grounds, key=lambda part: -part.area):
        plan = _plan(book, ground, wanted, today)
        plans.append(plan)
        whole, taken = (plan.frame.shape_to_metres(part).area for part in (ground, plan.ground))
        left_out_km2 += max(whole - taken, 0.0) / 1e6
    return plans, left_out_km2


def _plan(book: Book, ground: Polygon, wanted: Sequence[BaseGeometry], today: datetime.date) -> Plan:
    west, south, east, north = ground.bounds
    frame = LocalMetres(round((west + east) / 2.0, 4), round((south + north) / 2.0, 4))
    taken = _within_limit(ground, frame, [place for place in wanted if ground.covers(place)])
    grid = grid_over(frame.shape_to_metres(taken).bounds, CELL_M)
    ns, ew = "N" if frame.lat >= 0 else "S", "E" if frame.lon >= 0 else "W"
    name = f"road index round {abs(frame.lat):.4f} {ns}, {abs(frame.lon):.4f} {ew}"
    return Plan(name, taken, frame, grid, _roads(book, taken, frame, today))


def _within_limit(ground: Polygon, frame: LocalMetres, sites: Sequence[BaseGeometry]) -> Polygon:
    """Cut a ground that is too large to a square, round the middle of the sites on it where there are any."""
    shape = frame.shape_to_metres(ground)
    if grid_over(shape.bounds, CELL_M).cells <= MOST_CELLS:
        return ground
    places = frame.to_metres(shapely.get_coordinates(list(sites))) if sites else np.zeros((1, 2))
    (x, y), half = places.mean(axis=0), 0.5 * CELL_M * (int(np.sqrt(MOST_CELLS)) - 2)
    parts = shapely.get_parts(
        shapely.intersection(shape, shapely.box(x - half, y - half, x + half, y + half))
    )
    largest = max((part for part in parts if isinstance(part, Polygon)), key=lambda part: part.area)
    return Polygon(shapely.transform(largest, frame.to_degrees))


def _roads(book: Book, ground: Polygon, frame: LocalMetres, today: datetime.date) -> tuple[Road, ...]:
    """Settle the roads that reach a ground: those of the map, and main roads of the past that were told."""
    reach = parameters.value("reach")
    ways: dict[int | None, Way] = {}
    counts: dict[int | None, TrafficCount] = {}
    hazards: dict[int | None, Hazard] = {}
    classes = parameters.classes_to_load()
    for window in windows_round(shapely.get_coordinates(ground.envelope), reach):
        ways |= {w.id: w for w in map_data.standing_in_window(book, Way, window) if w.road_class in classes}
        counts |= {c.id: c for c in rows.in_window(book, TrafficCount, window)}
        old = rows.table_for(Hazard).c.kind == KIND
        hazards |= {h.id: h for h in rows.in_window(book, Hazard, window, old)}
    settled = network(list(ways.values()), list(counts.values()), frame, today=today)
    roads = (*settled.roads, *old_roads(list(hazards.values()), frame, today))
    return tuple(road for road in roads if road.traffic.central > 0.0)


def _as_bytes(road: Road) -> bytes:
    places = np.round(road.line_m / SAME_PLACE_M).astype("<i8")
    return struct.pack("<dd", road.traffic.central, road.half_width_m) + places.tobytes()
