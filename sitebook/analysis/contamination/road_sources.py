"""Names the roads near a place, each with what it adds, its range and where its edge lies."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from sitebook.analysis.contamination import parameters
from sitebook.analysis.contamination.traffic import Road
from sitebook.ground.distance import direction_to
from sitebook.quantities import two_digits
from sitebook.records.results.contamination import Band, NearSource

Floats = NDArray[np.float64]

NEAREST = 5
"""How many roads are named at most, besides one farther off that adds more than any of them."""

TIE = 1e-6
"""Of roads on whose ground a place lies, the one whose centre line is nearer goes first."""


@dataclass(frozen=True)
class Grouping:
    """Which roads are named together: those of one name, class, source's mark and time.

    Parameters
    ----------
    of_road
        Number of the group of each road (k,).
    half_width_m
        Half the width of each road (k,) [m].
    size
        How many groups there are.
    """

    of_road: NDArray[np.int64]
    half_width_m: Floats
    size: int


def grouping(roads: Sequence[Road]) -> Grouping:
    """Group roads for naming."""
    numbers: dict[tuple[str, str, str, str], int] = {}
    keys = [(road.name, road.road_class, road.mark, road.past_use) for road in roads]
    of_road = [numbers.setdefault(key, len(numbers)) for key in keys]
    half_width = np.array([road.half_width_m for road in roads], dtype=np.float64)
    return Grouping(np.array(of_road, dtype=np.int64), half_width, len(numbers))


def near_sources(
    place_m: Floats, roads: Sequence[Road], groups: Grouping, distance_m: Floats, added: Floats
) -> tuple[NearSource, ...]:
    """Name the nearest roads within the reach, and the strongest where it lies farther off.

    Parameters
    ----------
    place_m
        The place (2,) [m].
    roads, groups
        Roads and their groups.
    distance_m
        Distance of the place to the centre line of each road (k,) [m].
    added
        What each group adds: central, low, high (3, groups) [1].
    """
    near = np.flatnonzero(distance_m <= parameters.value("reach"))
    edges = np.maximum(distance_m[near] - groups.half_width_m[near], 0.0)
    order = near[np.argsort(edges + TIE * distance_m[near], kind="stable")]
    of_group, first = np.unique(groups.of_road[order], return_index=True)
    nearest = {int(group): int(order[at]) for group, at in zip(of_group, first, strict=True)}
    in_order = [int(group) for group in of_group[np.argsort(first)]]
    named = in_order[:NEAREST]
    strongest = max(in_order, key=lambda group: float(added[0, group]), default=None)
    if strongest is not None and strongest not in named:
        named.append(strongest)
    return tuple(
        _source(
            place_m,
            roads[nearest[group]],
            float(distance_m[nearest[group]]),
            Band(*map(float, added[:, group])),
        )
        for group in named
    )


def _source(place_m: Floats, road: Road, distance_m: float, added: Band) -> NearSource:
    edge = max(distance_m - road.half_width_m, 0.0)
    place = (float(place_m[0]), float(place_m[1]))
    direction = ""
    if edge > 0.0:
        direction = direction_to(place, shapely.LineString(road.line_m))
    return NearSource(
        kind="old main road" if road.past_use else "road",
        name=road.name,
        distance_m=distance_m,
        value=added.central,
        low=added.low,
        high=added.high,
        vehicles_per_day=road.traffic.central,
        reason=_reason(road, edge, direction),
        source=road.source,
        mark=road.mark,
        vehicles_low=road.traffic.low,
        vehicles_high=road.traffic.high,
        edge_m=edge,
        direction=direction,
    )


def _reason(road: Road, edge: float, direction: str) -> str:
    said = road.past_use or parameters.road_classes()[road.road_class].said
    number = two_digits(road.traffic.central)
    where = f"its edge {edge:.0f} m to the {direction}" if direction else "the place lies on it"
    return f"{said} with about {number} vehicles a day, {where}"
