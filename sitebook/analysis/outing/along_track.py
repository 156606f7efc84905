"""Tells where on a recorded track she was at an instant."""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from sitebook.citations import Cited
from sitebook.ground.apart import apart_m
from sitebook.records.outing import Track

LONGEST_GAP_S = Cited(300.0, "s", "ours", "our choice")
"""Between two points of a track farther apart in time than this, where she was is not known."""

RECEIVER_ERROR_M = Cited(10.0, "m", "ours", "our choice")
"""Error taken for a point of a track, which receivers do not write."""


@dataclass(frozen=True)
class Spot:
    """Where she was, with its error.

    Parameters
    ----------
    lon, lat
        WGS 84 [deg].
    uncertainty_m
        Error of the receiver, and half the way between the two points on either side [m].
    gap_s
        Seconds between these two points.
    """

    lon: float
    lat: float
    uncertainty_m: float
    gap_s: float


def spot_at(tracks: Iterable[Track], instant: datetime.datetime) -> Spot | None:
    """Give the place at an instant, straight between the two points of a track on either side of it.

    Of several tracks the one with the closer points is taken. None where no track was recorded then.
    """
    spots = ((_on_track(track, instant), track.uuid) for track in tracks)
    found = [(spot, uuid) for spot, uuid in spots if spot is not None]
    return min(found, key=lambda pair: (pair[0].gap_s, pair[1]))[0] if found else None


def _on_track(track: Track, instant: datetime.datetime) -> Spot | None:
    if track.started_at is None or track.ended_at is None or not track.point_seconds:
        return None
    if not track.started_at <= instant <= track.ended_at:
        return None
    at_s = (instant - track.started_at).total_seconds()
    seconds = np.array([float(s) if s else np.nan for s in track.point_seconds.split(",")])
    timed = np.flatnonzero(~np.isnan(seconds))
    order = timed[np.argsort(seconds[timed], kind="stable")]
    after = int(np.searchsorted(seconds[order], at_s))
    if after == len(order):
        return None
    places = shapely.get_coordinates(track.geom)
    later = order[after]
    earlier = order[max(after - 1, 0)]
    gap_s = float(seconds[later] - seconds[earlier])
    if seconds[later] == at_s:
        return _spot(places[later], places[later], 0.0, 0.0)
    if gap_s > LONGEST_GAP_S.value or gap_s <= 0.0:
        return None
    return _spot(places[earlier], places[later], float(at_s - seconds[earlier]) / gap_s, gap_s)


def _spot(one: NDArray[np.float64], other: NDArray[np.float64], part: float, gap_s: float) -> Spot:
    lon, lat = (float(value) for value in one + part * (other - one))
    way_m = apart_m(float(one[0]), float(one[1]), float(other[0]), float(other[1]))
    return Spot(round(lon, 7), round(lat, 7), round(RECEIVER_ERROR_M.value + way_m / 2, 1), gap_s)
