"""Gathers what the small map of a review shows, in metres round the place."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

import numpy as np
import shapely
from shapely import Point
from shapely.geometry.base import BaseGeometry

from sitebook.analysis.contamination import parameters
from sitebook.analysis.contamination.hazard_ground import extents, ground_m
from sitebook.analysis.contamination.place import Floats, Known, Place
from sitebook.analysis.contamination.spraying_ground import ground_of
from sitebook.analysis.contamination.stretches import carries_motors, half_width_m
from sitebook.ground.overlay import within
from sitebook.ground.projection import LocalMetres
from sitebook.records.map_data import Way
from sitebook.records.results.review import DrawnGround, DrawnLine, Surroundings
from sitebook.reference.map_tags import hazard_kinds

Seen = Callable[[BaseGeometry], BaseGeometry]
"""Cuts a shape to the square that is drawn, and measures it from its middle."""

MARGIN_M = 80.0
LEAST_HALF_SIDE_M = 120.0
MOST_HALF_SIDE_M = 600.0


def surroundings(place: Place, known: Known, frame: LocalMetres, worst_m: Floats) -> Surroundings:
    """Gather what lies in a square round a place.

    Parameters
    ----------
    place, known
        What is asked about, and what the book holds round it.
    frame
        Metres round the place.
    worst_m
        The point whose class stands (2,) [m].

    Returns
    -------
    Surroundings
        East and north of the middle of the square; a place too large for it is cut round its worst point.
    """
    points = frame.to_metres(place.all_points)
    low, high = points.min(axis=0), points.max(axis=0)
    half = float(np.clip((high - low).max() / 2.0 + MARGIN_M, LEAST_HALF_SIDE_M, MOST_HALF_SIDE_M))
    whole = half < MOST_HALF_SIDE_M
    middle = (low + high) / 2.0 if whole else worst_m
    east, north = float(middle[0]), float(middle[1])
    square = shapely.box(east - half, north - half, east + half, north + half)

    def seen(shape_m: BaseGeometry) -> BaseGeometry:
        """Cut a shape to the square, and measure it from the middle."""
        sound = shape_m if shape_m.is_valid else shapely.make_valid(shape_m)
        return shapely.transform(within(sound, square), lambda xy: xy - [east, north])

    shape = place.shape
    outline = frame.shape_to_metres(shape) if shape is not None else Point(*worst_m)
    tree_m = points[len(points) - len(place.trees) :]
    return Surroundings(
        half_side_m=half,
        outline_m=seen(outline),
        worst_m=(float(worst_m[0]) - east, float(worst_m[1]) - north),
        trees=tuple(
            (tree.tag, float(x) - east, float(y) - north)
            for tree, (x, y) in zip(place.trees, tree_m, strict=True)
        ),
        roads=tuple(_roads(known.ways, frame, seen)),
        grounds=tuple(_grounds(known, frame, seen)),
    )


def _roads(ways: Iterable[Way], frame: LocalMetres, seen: Seen) -> Iterator[DrawnLine]:
    for way in ways:
        if way.road_class not in parameters.road_classes() or not carries_motors(way):
            continue
        shape = seen(frame.shape_to_metres(way.geom))
        if not shape.is_empty:
            name = way.name or parameters.road_classes()[way.road_class].said
            yield DrawnLine(name, 2.0 * half_width_m(way), way.tunnel, shape)


def _grounds(known: Known, frame: LocalMetres, seen: Seen) -> Iterator[DrawnGround]:
    for covered in known.covered:
        shape = seen(frame.shape_to_metres(covered))
        if not shape.is_empty:
            yield DrawnGround("covered by the map data", "covered", shape)
    kinds = hazard_kinds()
    for hazard in known.hazards:
        if hazard.withdrawn_at is not None or hazard.geom.is_empty or hazard.kind not in kinds:
            continue
        shape = seen(ground_m(frame.shape_to_metres(hazard.geom), extents()[hazard.kind]))
        if not shape.is_empty:
            title = kinds[hazard.kind].title
            yield DrawnGround(f"{title} ({hazard.name})" if hazard.name else title, "source", shape)
    for told in known.sprayings:
        shape = seen(ground_of(told.spraying, frame).shape_m)
        if not shape.is_empty and told.spraying.state != "never":
            yield DrawnGround(f"sprayed: {told.spraying.ground}", "spraying", shape)
