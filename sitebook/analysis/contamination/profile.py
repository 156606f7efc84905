"""Gives the traffic index along a line across the nearest road, through a place."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray

from sitebook.analysis.contamination import parameters
from sitebook.analysis.contamination.road_index import index_at
from sitebook.analysis.contamination.traffic import Road
from sitebook.ground.distance import foot_on, to_lines
from sitebook.records.results.road_index import Profile

Floats = NDArray[np.float64]

FROM_KERB_M = (0.0, 0.5, 1.0, 2.0, 3.0, 4.0, 5.0, 7.0, 10.0, 14.0, 20.0, 28.0, 40.0, 56.0, 80.0)
"""Distances from the kerb at which the index is taken, denser near it [m].

Beyond, each is 1.4 times the last."""

GROWTH = 1.4
SAME_M = 1e-9
ON_IT_M = 1e-6


def across(
    place_m: ArrayLike, roads: Sequence[Road], *, half_length_m: float | None = None
) -> Profile | None:
    """Give the index with its band along a line through the place across the nearest road of today.

    The line runs straight through the place and the nearest point of the road's centre line, at right
    angles to the road there; on the line itself at right angles to it. The place lies on the side above 0.

    Parameters
    ----------
    place_m
        The place (east, north) [m].
    roads
        Roads of today and of the past; all add to the index.
    half_length_m
        How far the line runs on each side [m]; None for `profile_half` of the road model. It always runs
        as far as the place.

    Returns
    -------
    Profile or None
        None where no road of today lies within `profile_reach` of the road model.

    Raises
    ------
    ValueError
        When the half length is not above 0, or the place is not finite.
    """
    place = np.asarray(place_m, dtype=np.float64).reshape(2)
    half_length = parameters.value("profile_half") if half_length_m is None else half_length_m
    if not (np.isfinite(half_length) and half_length > 0.0):
        raise ValueError("half the length of a profile is a finite number of metres above 0")
    today = [road for road in roads if not road.past_use]
    if not today:
        return None
    distance = to_lines([place], [road.line_m for road in today])[0]
    nearest = today[int(distance.argmin())]
    place_at = float(distance.min())
    if place_at > parameters.value("profile_reach"):
        return None
    foot, away = _line_across(place, nearest)
    steps = _steps(nearest.half_width_m, max(half_length, place_at), place_at)
    found = [at.index for at in index_at(foot + steps[:, None] * away, roads)]
    return Profile(
        road=nearest.name,
        distance_m=tuple(float(step) for step in steps),
        central=tuple(band.central for band in found),
        low=tuple(band.low for band in found),
        high=tuple(band.high for band in found),
        half_width_m=nearest.half_width_m,
        place_m=place_at,
    )


def _line_across(place: Floats, road: Road) -> tuple[Floats, Floats]:
    """Give the nearest point of a road and the direction from it to the place."""
    line = shapely.LineString(road.line_m)
    foot = np.array(foot_on((float(place[0]), float(place[1])), line).at_m)
    away = place - foot
    length = float(np.hypot(*away))
    if length > ON_IT_M:
        return foot, away / length
    along = float(shapely.line_locate_point(line, shapely.Point(foot)))
    behind, ahead = (line.interpolate(min(max(along + step, 0.0), line.length)) for step in (-1e-3, 1e-3))
    east, north = ahead.x - behind.x, ahead.y - behind.y
    return foot, np.array([-north, east], dtype=np.float64) / float(np.hypot(east, north))


def _steps(half_width_m: float, half_length_m: float, place_m: float) -> Floats:
    """Give the distances from the centre line, the place among them, rising [m]."""
    from_kerb = list(FROM_KERB_M)
    while half_width_m + from_kerb[-1] < half_length_m:
        from_kerb.append(GROWTH * from_kerb[-1])
    out = [step for step in (half_width_m + kerb for kerb in from_kerb) if step < half_length_m]
    one_side = sorted({*out, 0.5 * half_width_m, half_length_m} - {0.0})
    steps = np.array(sorted([*(-step for step in one_side), 0.0, *one_side, place_m]))
    return np.asarray(steps[np.concatenate([[True], np.diff(steps) > SAME_M])])
