"""Says what sprayings near a place did to it, what may be left of them, and who ended them."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray

from sitebook.analysis.contamination.hazards import model as areas_model
from sitebook.analysis.contamination.spraying_ground import covers
from sitebook.analysis.contamination.spraying_left import settled
from sitebook.analysis.contamination.spraying_ready import Here, Ready, made_ready, percent_at
from sitebook.analysis.contamination.spraying_told import RainSeen, Told, model
from sitebook.analysis.contamination.spraying_words import (
    days_words,
    reason_of,
    source_of,
    unknown_of,
    whom_of,
)
from sitebook.ground.distance import direction_to
from sitebook.ground.projection import LocalMetres, Window, centre_of, refuse_impossible, windows_round
from sitebook.records.results.contamination import Band
from sitebook.records.results.spray_term import SprayTerm

__all__ = ["RainSeen", "SprayTerm", "Told", "covers", "needs", "spray_terms_at"]

Floats = NDArray[np.float64]

NONE_HERE = Band(0.0, 0.0, 0.0)


def needs(points_lonlat: ArrayLike, *, uncertainty_m: float = 0.0) -> tuple[Window, ...]:
    """Say on which ground sprayings must be loaded for a review.

    Parameters
    ----------
    points_lonlat
        Points of the place (n, 2), WGS 84 [deg].
    uncertainty_m
        Uncertainty of the position [m].

    Returns
    -------
    tuple of Window
        Rectangles that hold all ground within the longest reach of a spraying.
    """
    farthest_m = max(model()["reach"].value, model()["reach_aerial"].value)
    widening_m = max(model()["crown_radius"].value, model()["point_radius"].value)
    return windows_round(points_lonlat, farthest_m + widening_m + uncertainty_m)


def spray_terms_at(
    points_lonlat: ArrayLike,
    sprayings: Sequence[Told],
    *,
    today: datetime.date,
    rain: RainSeen,
    uncertainty_m: float = 0.0,
) -> tuple[tuple[SprayTerm, ...], ...]:
    """Give what each spraying did to each of some places near each other.

    Sprayed ground is of class 4 until a closing note or a laboratory ends it; beside it the drift that
    settled gives the class, and time lowers nothing. What is planned and may have been done counts for the
    class that could be.

    Parameters
    ----------
    points_lonlat
        Places (n, 2), WGS 84 [deg].
    sprayings
        Sprayings in the windows of `needs`.
    today
        Day of the review.
    rain
        Rain by day, which washes leaves.
    uncertainty_m
        Uncertainty of the positions [m].

    Returns
    -------
    tuple of tuple
        For each place its terms, the highest class first, then the nearest.

    Raises
    ------
    PositionImpossible
        When a place is not on the globe.
    ValueError
        When no place is given, or the uncertainty is below 0.
    """
    points = np.asarray(points_lonlat, dtype=np.float64).reshape(-1, 2)
    if not len(points) or not (np.isfinite(uncertainty_m) and uncertainty_m >= 0.0):
        raise ValueError("terms need at least one place, and an uncertainty of 0 or more")
    for lon, lat in points:
        refuse_impossible(float(lon), float(lat))
    frame = LocalMetres(*centre_of(points))
    places = frame.to_metres(points)
    found: list[list[SprayTerm]] = [[] for _ in places]
    for told in sprayings:
        if told.spraying.withdrawn_at is None and not told.spraying.geom.is_empty:
            ready = made_ready(told, frame, today=today, rain=rain)
            for number, here in _near(places, ready, uncertainty_m):
                found[number].append(_term(ready, here))
    return tuple(tuple(sorted(terms, key=_weight)) for terms in found)


def _weight(term: SprayTerm) -> tuple[int, int, float, int]:
    return -term.floor_class, -term.could_be_floor, term.distance_m, term.spraying_id


def _near(places: Floats, ready: Ready, uncertainty_m: float) -> Iterator[tuple[int, Here]]:
    """Give the number of each place within reach, and how the spraying lies to it."""
    spots = shapely.points(places)
    distances = np.atleast_1d(shapely.distance(spots, ready.shape_m))
    distances[distances <= areas_model()["touches"].value] = 0.0
    depths = np.atleast_1d(shapely.distance(spots, ready.shape_m.boundary))
    for number in np.flatnonzero(distances - uncertainty_m <= ready.reach_m):
        distance, depth = float(distances[number]), float(depths[number])
        percent = percent_at(ready, distance, depth, uncertainty_m)
        direction = (
            direction_to((float(places[number, 0]), float(places[number, 1])), ready.shape_m)
            if distance
            else ""
        )
        yield int(number), Here(distance, max(distance - uncertainty_m, 0.0), direction, percent)


def _term(ready: Ready, here: Here) -> SprayTerm:
    spraying = ready.spraying
    counts = ready.happened != "no"
    percent = here.percent if counts else NONE_HERE
    floor, could_be = _floors(ready, here)
    outside = counts and ready.drifts and not here.inside
    return SprayTerm(
        spraying_id=spraying.id or 0,
        ground=spraying.ground,
        state=spraying.state,
        distance_m=here.distance_m,
        nearest_m=here.nearest_m,
        direction=here.direction,
        inside=here.inside,
        days_words=days_words(spraying),
        drift_percent=percent,
        drift_group=ready.group if outside else "",
        floor_class=floor,
        could_be_floor=could_be,
        ended=ready.ending.words,
        actives=tuple(settled(active, percent) for active in ready.left),
        reason=reason_of(ready, here),
        source=source_of(spraying),
        mark=ready.curve.mark if outside else "our choice",
        unknown=unknown_of(ready),
        whom=whom_of(spraying),
    )


def _floors(ready: Ready, here: Here) -> tuple[int, int]:
    """Give the least class, and the least class that could be."""
    if ready.ending.words or ready.happened == "no":
        return 0, 0
    could_be = _floor(ready, here.nearest_m, here.percent.high)
    if ready.happened == "perhaps":
        return 0, could_be
    return _floor(ready, here.distance_m, here.percent.central), could_be


def _floor(ready: Ready, distance_m: float, percent: float) -> int:
    numbers = model()
    if distance_m == 0.0:
        return int(numbers["inside"].value)
    if distance_m > ready.reach_m:
        return 0
    total = percent * max(ready.spraying.applications, 1)
    if total >= numbers["drift_3_percent"].value:
        return 3
    if total >= numbers["drift_2_percent"].value:
        return 2
    return int(numbers["in_reach"].value)
