"""Makes lines and outlines from the points of a map extract."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import osmium
import shapely
from shapely.geometry import LineString, MultiPolygon, Polygon

Position = tuple[float, float]

FEWEST_RING_POINTS = 4
LINES = osmium.geom.WKBFactory()


class Places:
    """Positions of all points of an extract.

    The index of osmium takes ids from 1 upwards only; points that a person drew herself have ids below
    zero and lie in a dict beside it. One locator must see both points and ways: it remembers whether the
    points came in disorder, and sorts its index before the first way.
    """

    def __init__(self) -> None:
        self.locator = osmium.NodeLocationsForWays(osmium.index.create_map("flex_mem"))
        self.locator.ignore_errors()
        self.drawn_by_hand: dict[int, Position] = {}

    def of(self, ref: osmium.osm.NodeRef) -> Position | None:
        """Give lon and lat of a point of a way, or None where the extract does not hold it."""
        if ref.ref < 0:
            return self.drawn_by_hand.get(ref.ref)
        return (ref.location.lon, ref.location.lat) if ref.location.valid() else None


def line_of(way: osmium.osm.Way, places: Places) -> tuple[LineString | None, bool]:
    """Draw the line of a way, a point that follows itself only once.

    Where points are missing, the longest run of points that are there is drawn.

    Returns
    -------
    LineString or None
        The line; None where fewer than two different points are left.
    bool
        Whether points are missing.
    """
    try:
        whole = shapely.from_wkb(LINES.create_linestring(way))
    except (RuntimeError, osmium.InvalidLocationError):
        whole = None
    if isinstance(whole, LineString):
        return whole, False
    runs, missing = _runs([places.of(ref) for ref in way.nodes])
    longest = max(runs, key=len, default=[])
    return (LineString(longest) if len(longest) > 1 else None), missing


def _runs(positions: Sequence[Position | None]) -> tuple[list[list[Position]], bool]:
    runs: list[list[Position]] = [[]]
    for position in positions:
        if position is None:
            runs.append([])
        elif not runs[-1] or runs[-1][-1] != position:
            runs[-1].append(position)
    return runs, len(runs) > 1


def outline_of_ring(line: LineString) -> tuple[MultiPolygon | None, bool]:
    """Fill a closed line.

    Returns
    -------
    MultiPolygon or None
        The ground; None where the line encloses nothing.
    bool
        Whether the line crossed itself and was mended.
    """
    if shapely.get_num_coordinates(line) < FEWEST_RING_POINTS:
        return None, False
    return _mended(Polygon(line))


def outline_of_lines(lines: Sequence[LineString]) -> tuple[MultiPolygon | None, bool]:
    """Join lines to rings and fill what lies inside an odd number of them.

    So a ring in a ring is a hole, a ring in a hole is ground again, and holes side by side are one hole;
    what the lines are called in the map (outer, inner) does not matter.

    Returns
    -------
    MultiPolygon or None
        The ground; None where a ring does not close or nothing is enclosed.
    bool
        Whether the outline crossed itself and was mended.
    """
    faces, cuts, dangles, broken = shapely.polygonize_full(list(lines))
    if faces.is_empty or any(not part.is_empty for part in (cuts, dangles, broken)):
        return None, False
    rings = shapely.get_exterior_ring(shapely.get_parts(faces))
    filled = [shapely.make_valid(Polygon(ring)) for ring in rings]
    return _mended(_inside_an_odd_number(np.asarray(filled, dtype=object)))


def _inside_an_odd_number(grounds: np.ndarray) -> shapely.Geometry:
    while len(grounds) > 1:
        odd_one = grounds[len(grounds) // 2 * 2 :]
        pairs = shapely.symmetric_difference(grounds[: len(grounds) - len(odd_one) : 2], grounds[1::2])
        grounds = np.concatenate([pairs, odd_one])
    ground: shapely.Geometry = grounds[0]
    return ground


def _mended(ground: shapely.Geometry) -> tuple[MultiPolygon | None, bool]:
    whole = bool(shapely.is_valid(ground))
    parts = shapely.get_parts(ground if whole else shapely.make_valid(ground))
    flat = shapely.get_parts(parts)
    polygons = [part for part in flat if isinstance(part, Polygon) and part.area > 0]
    return (MultiPolygon(polygons) if polygons else None), not whole
