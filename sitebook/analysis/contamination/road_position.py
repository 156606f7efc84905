"""Looks for the highest and lowest index within the uncertainty of a position."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from sitebook.analysis.contamination import parameters
from sitebook.analysis.contamination.roads import loads_by_length, traffic_load
from sitebook.analysis.contamination.traffic import Road
from sitebook.ground.disc import radii_within_m

Floats = NDArray[np.float64]
Indices = NDArray[np.int64]

DIRECTIONS = 8

BESIDE_M = 25.0
"""Roads no farther than this beyond the uncertainty are moved straight toward and away from [m]."""

ON_IT_M = 1e-6


def ends_within(
    points_m: Floats, roads: Sequence[Road], distance_m: Floats, uncertainty_m: float
) -> tuple[Floats, Floats]:
    """Give how far the index may fall and rise over the disc of the uncertainty round each place.

    Looked at are the place itself, eight points on rings of fixed radii, the last of them at the edge of
    the uncertainty or at most a quarter beyond it, and the place moved by the same radii straight away
    from and toward each road near it, onto the road at most. All roads count; those beyond
    `position_reach` of the road model change too little to be followed. A further road or a further ring
    only adds points.

    Parameters
    ----------
    points_m
        Places (n, 2) [m].
    roads
        The roads, k of them.
    distance_m
        Distance of each place to each road (n, k) [m].
    uncertainty_m
        Radius of the disc [m].

    Returns
    -------
    tuple of ndarray
        Lowest and highest index less that of the place itself (n,), 0 or beyond it [1].
    """
    if uncertainty_m == 0.0 or not roads:
        return np.zeros(len(points_m)), np.zeros(len(points_m))
    owner, moved = _candidates(points_m, [road.line_m for road in roads], distance_m, uncertainty_m)
    near = np.flatnonzero(distance_m.min(axis=0) <= parameters.value("position_reach") + uncertainty_m)
    followed = [roads[int(number)] for number in near]
    everywhere = np.concatenate([points_m, moved])
    scales = parameters.scales()
    loads = loads_by_length(
        everywhere,
        [road.line_m for road in followed],
        [length for length, _ in scales],
        half_width_m=[road.half_width_m for road in followed],
        reach_m=parameters.value("position_reach"),
    )
    shares = np.array([share for _, share in scales])
    load = traffic_load(np.array([road.traffic.central for road in followed], dtype=np.float64))
    index = np.tensordot(shares, loads, axes=1) @ load
    change = index[len(points_m) :] - index[owner]
    low, high = np.zeros(len(points_m)), np.zeros(len(points_m))
    np.minimum.at(low, owner, change)
    np.maximum.at(high, owner, change)
    return low, high


def _candidates(
    points_m: Floats, lines_m: Sequence[Floats], distance_m: Floats, uncertainty_m: float
) -> tuple[Indices, Floats]:
    """Give the points to look at besides the places themselves, each with the number of its place."""
    radii = radii_within_m(uncertainty_m)
    turns = np.arange(DIRECTIONS) * 2.0 * np.pi / DIRECTIONS
    ring = np.stack([np.cos(turns), np.sin(turns)], axis=1)
    steps = (radii[:, None, None] * ring).reshape(-1, 2)
    place, road = np.nonzero(distance_m <= uncertainty_m + BESIDE_M)
    away, distance = _away(points_m[place], [lines_m[int(number)] for number in road])
    lengths = np.concatenate(
        [np.broadcast_to(radii, (place.size, radii.size)), -_toward(radii, distance)], axis=1
    )
    along = lengths[:, :, None] * away[:, None, :]
    owner = np.concatenate(
        [np.repeat(np.arange(len(points_m)), len(steps)), np.repeat(place, lengths.shape[1])]
    )
    moves = np.concatenate([np.tile(steps, (len(points_m), 1)), along.reshape(-1, 2)])
    return owner, points_m[owner] + moves


def _toward(radii: Floats, distance: Floats) -> Floats:
    """Give how far to move toward a road: onto it at most, and right across where the place lies on it."""
    on_it = distance[:, None] <= ON_IT_M
    return np.asarray(np.where(on_it, radii, np.minimum(radii, distance[:, None])))


def _away(points: Floats, lines: Sequence[Floats]) -> tuple[Floats, Floats]:
    """Give the direction straight away from the nearest point of a line, across it on the line itself."""
    if not len(points):
        return np.empty((0, 2)), np.empty(0)
    drawn = np.asarray([shapely.LineString(line) for line in lines])
    spots = np.asarray(shapely.points(points))
    foot_along = shapely.line_locate_point(drawn, spots)
    away = points - shapely.get_coordinates(shapely.line_interpolate_point(drawn, foot_along))
    distance = np.hypot(away[:, 0], away[:, 1])
    length = shapely.length(drawn)
    step = np.minimum(1e-3, 0.5 * length)
    behind = shapely.line_interpolate_point(drawn, np.maximum(foot_along - step, 0.0))
    ahead = shapely.line_interpolate_point(drawn, np.minimum(foot_along + step, length))
    along = shapely.get_coordinates(ahead) - shapely.get_coordinates(behind)
    across = np.stack([-along[:, 1], along[:, 0]], axis=1)
    chosen = np.where((distance <= ON_IT_M)[:, None], across, away)
    return chosen / np.maximum(np.hypot(chosen[:, 0], chosen[:, 1]), 1e-12)[:, None], distance
