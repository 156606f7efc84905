"""Refuses positions far from everything in the book, with a hint when swapping would mend them."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from sitebook.citations import Cited
from sitebook.records.incoming import SortedLine
from sitebook.store import rows
from sitebook.store.book import Book
from sitebook.work.bring_in.gathering import Arrival, Gathered

EARTH_RADIUS_KM = 6371.0088
_CELLS_A_DEGREE = 20.0

Points = NDArray[np.float64]
"""Shape (n, 2): longitude, latitude [deg]."""


def refuse_far(book: Book, gathered: Gathered, far_km: Cited) -> None:
    """Sort out every row farther than `far_km` from the book and from all that is near it.

    A book without any position refuses nothing. Rows of one command stand in a chain: what is near
    something near the book is near. So the order of the files does not matter.
    """
    anchors = _anchors(book)
    placed = [(kind, a, p) for kind in gathered.arrivals for a in gathered.arrivals[kind] if (p := _place(a))]
    if not len(anchors) or not placed:
        return
    places = np.array([p for _, _, p in placed])
    near = _reached(anchors, places, far_km.value)
    all_near = _thin(np.vstack([anchors, places[near]]))
    far = [row for row, is_near in zip(placed, near, strict=True) if not is_near]
    for kind, arrival, place in far:
        if kind == "photo":
            _set_aside(gathered, arrival, place, all_near)
            continue
        gathered.sort_out(arrival, _too_far(arrival, place, all_near, far_km.value))
        gathered.take_out(kind, arrival)


def _set_aside(gathered: Gathered, arrival: Arrival, place: tuple[float, float], near: Points) -> None:
    """Let a photo taken far away come in, but make no find of it."""
    away_km = distance_km(np.array([place]), near)[0]
    name = arrival.draft.values["file_name"]
    reason = (
        f"{name}: no find is made of it, it was taken {away_km:,.0f} km from everything in the book; "
        "if that is right, take the import back with `sitebook undo` and give it again with --far"
    )
    gathered.sort_out(arrival, SortedLine("left out", reason))
    gathered.set_aside.add(arrival.uuid)


def _anchors(book: Book) -> Points:
    boxes = np.array(rows.bounds_of_all(book)).reshape(-1, 4)
    middle = np.column_stack([(boxes[:, 0] + boxes[:, 2]) / 2, (boxes[:, 1] + boxes[:, 3]) / 2])
    return _thin(middle)


def _thin(points: Points) -> Points:
    """Keep one point a cell: enough to judge hundreds of kilometres by."""
    return np.unique(np.round(points * _CELLS_A_DEGREE) / _CELLS_A_DEGREE, axis=0)


def _place(arrival: Arrival) -> tuple[float, float] | None:
    geometry = arrival.draft.values.get("geom")
    if not isinstance(geometry, BaseGeometry) or geometry.is_empty:
        return None
    point = shapely.centroid(geometry)
    return float(point.x), float(point.y)


def _reached(anchors: Points, places: Points, far_km: float) -> NDArray[np.bool_]:
    near = np.zeros(len(places), dtype=bool)
    front = anchors
    while len(front):
        newly = ~near & (distance_km(places, front) <= far_km)
        near |= newly
        front = _thin(places[newly]) if newly.any() else places[:0]
    return near


def distance_km(places: Points, others: Points) -> NDArray[np.float64]:
    """Great-circle distance of each place from the nearest of the others [km], shape (n,)."""
    nearest = np.full(len(places), np.inf)
    lon, lat = np.radians(places.T)
    for other_lon, other_lat in np.radians(others):
        half = (
            np.sin((lat - other_lat) / 2) ** 2
            + np.cos(lat) * np.cos(other_lat) * np.sin((lon - other_lon) / 2) ** 2
        )
        np.minimum(nearest, 2 * EARTH_RADIUS_KM * np.arcsin(np.sqrt(half)), out=nearest)
    return nearest


def _too_far(arrival: Arrival, place: tuple[float, float], near: Points, far_km: float) -> SortedLine:
    lon, lat = place
    away_km = distance_km(np.array([place]), near)[0]
    reason = f"position {lon:.5f},{lat:.5f} lies {away_km:,.0f} km from everything in the book"
    swapped = np.array([[lat, lon]])
    if abs(lon) <= 90 and distance_km(swapped, near)[0] <= far_km:
        reason += "; longitude and latitude are swapped: exchanging them would mend it"
    else:
        reason += "; if it is right, say --far"
    return SortedLine("refused", reason, arrival.draft.line_number)
