"""Takes the slope of mapped ways from the heights of tracks that were walked along them."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from sitebook.analysis.foray import pace
from sitebook.ground.projection import LocalMetres
from sitebook.records.outing import Track

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

STEP_M = 5.0
"""A track is looked at every so many metres."""


def slopes(
    junctions_m: Floats, ends: tuple[Ints, Ints], tracks: Sequence[Track], sheet: LocalMetres
) -> Floats:
    """Give the slope of straight pieces of way that a track runs along.

    Both ends of a piece must lie beside the same track, since two receivers may differ by more than a hill;
    where several tracks tell, their mean is taken.

    Parameters
    ----------
    junctions_m
        Where junctions lie (n, 2) [m].
    ends
        Junctions at the first and last end of each piece (k,).
    tracks
        Tracks; those without heights tell nothing.
    sheet
        The sheet of metres.

    Returns
    -------
    ndarray
        Rise over length from first to last end (k,) [1]; nan where no track tells.
    """
    first, last = ends
    length_m = np.hypot(*(junctions_m[last] - junctions_m[first]).T)
    total, told = np.zeros(len(first)), np.zeros(len(first), np.int64)
    for track in tracks:
        near, heights_m = _heights(track, sheet, junctions_m)
        found = np.full(len(junctions_m), np.nan)
        found[near] = heights_m
        rise_m = found[last] - found[first]
        along = np.isfinite(rise_m) & (length_m > 0.0)
        total[along] += rise_m[along] / length_m[along]
        told[along] += 1
    mean = np.divide(total, told, out=np.full(len(first), np.nan), where=told > 0)
    steepest = pace.value("track_steepest")
    return np.asarray(np.clip(mean, -steepest, steepest))


def _heights(track: Track, sheet: LocalMetres, junctions_m: Floats) -> tuple[Ints, Floats]:
    """Give the junctions beside a track, and its height at each [m]."""
    samples = _samples(track, sheet)
    if samples is None:
        return np.zeros(0, np.int64), np.zeros(0)
    along_m, places_m, heights_m = samples
    reach_m = pace.value("track_reach")
    low, high = places_m.min(axis=0) - reach_m, places_m.max(axis=0) + reach_m
    near = np.flatnonzero(np.all((junctions_m >= low) & (junctions_m <= high), axis=1))
    away_m, sample = cKDTree(places_m).query(junctions_m[near], distance_upper_bound=reach_m)
    found = np.isfinite(np.asarray(away_m))
    near, nearest = near[found], np.asarray(sample)[found]
    heading = np.gradient(places_m, axis=0)
    heading /= np.maximum(np.hypot(*heading.T), 1e-9)[:, None]
    ahead_m = ((junctions_m[near] - places_m[nearest]) * heading[nearest]).sum(axis=1)
    at_m = along_m[nearest] + np.clip(ahead_m, -STEP_M, STEP_M)
    return near, np.interp(at_m, along_m, heights_m)


def _samples(track: Track, sheet: LocalMetres) -> tuple[Floats, Floats, Floats] | None:
    """Give length walked [m], place [m] and smooth height [m] every few metres; None without heights."""
    written = (track.point_elevations_m or "").split(",")
    places_m = sheet.to_metres(shapely.get_coordinates(track.geom))
    if len(written) != len(places_m):
        return None
    heights_m = np.array([float(text) if text else np.nan for text in written])
    walked_m = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(places_m, axis=0).T))])
    known = np.isfinite(heights_m)
    if known.sum() < 2 or walked_m[known][-1] - walked_m[known][0] < 2.0 * STEP_M:
        return None
    along_m = np.arange(walked_m[known][0], walked_m[known][-1], STEP_M)
    places_m = np.column_stack([np.interp(along_m, walked_m, places_m[:, axis]) for axis in (0, 1)])
    return along_m, places_m, _smooth(np.interp(along_m, walked_m[known], heights_m[known]))


def _smooth(heights_m: Floats) -> Floats:
    """Average heights to both sides alike, over less towards the ends, so that a steady slope stays."""
    half = int(pace.value("track_smoothing") / STEP_M / 2.0)
    at = np.arange(len(heights_m))
    reach = np.minimum(np.minimum(at, at[::-1]), half)
    sums = np.concatenate([[0.0], np.cumsum(heights_m)])
    return np.asarray((sums[at + reach + 1] - sums[at - reach]) / (2 * reach + 1))
