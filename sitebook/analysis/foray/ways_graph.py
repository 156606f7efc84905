"""Makes a graph of the mapped ways, in local metres, for travel on foot, by bicycle and by car."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.sparse import csr_matrix
from scipy.sparse.csgraph import connected_components

from sitebook.analysis.foray import pace
from sitebook.analysis.foray.pace import MODES, Mode
from sitebook.analysis.foray.track_heights import slopes
from sitebook.analysis.foray.ways_access import may_park, passage
from sitebook.ground.projection import LocalMetres, centre_of
from sitebook.records.map_data import Way
from sitebook.records.outing import Track

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

STEPS_A_DEGREE = 1e7
"""Junctions are told apart as finely as the map stores them."""
SHORTEST_MIN = 1e-9
"""No piece takes less, so that none is taken for a missing one."""


@dataclass(frozen=True, eq=False)
class Network:
    """The ways as one mode of travel finds them, as compressed rows: from a junction to its neighbours.

    Parameters
    ----------
    forward_min, backward_min
        Time along each piece of the graph and against it [min]; inf where that is closed.
    large
        Whether each piece belongs to a part of the network that is worth starting from.
    row_starts, neighbours, minutes
        Compressed rows of the quickest piece between each two junctions [min].
    """

    forward_min: Floats
    backward_min: Floats
    large: Flags
    row_starts: Ints
    neighbours: Ints
    minutes: Floats


@dataclass(frozen=True, eq=False)
class WaysGraph:
    """The straight pieces of the mapped ways between their vertices, which are the junctions.

    Parameters
    ----------
    lon, lat
        Place at which the sheet of metres touches the globe, WGS 84 [deg].
    junctions_m
        Where the junctions lie (n, 2) [m].
    first, last
        Junctions at the ends of each piece (k,), in the order its way was drawn.
    length_m
        Length of each piece (k,) [m].
    parking
        Whether a car may be left beside each piece (k,).
    with_heights
        Whether a track tells the slope of each piece (k,).
    networks
        What each mode of travel finds.
    """

    lon: float
    lat: float
    junctions_m: Floats
    first: Ints
    last: Ints
    length_m: Floats
    parking: Flags
    with_heights: Flags
    networks: Mapping[Mode, Network]

    @property
    def metres(self) -> LocalMetres:
        """The sheet of metres it is drawn on."""
        return LocalMetres(self.lon, self.lat)


def build(
    ways: Sequence[Way], *, around: tuple[float, float] = (0.0, 0.0), tracks: Sequence[Track] = ()
) -> WaysGraph:
    """Make the graph of some ways.

    Ways meet where they share a vertex, as mappers join them; a bridge shares none with what it crosses.
    A walker is slowed by the slope of a piece where a track tells it, but on stairs, whose speed holds it.

    Parameters
    ----------
    ways
        The ways; those without two vertices apart add nothing.
    around
        Middle of the sheet of metres where there are no ways, WGS 84 [deg]; else that of the ways is taken.
    tracks
        Tracks whose heights tell slopes.
    """
    places, owner = shapely.get_coordinates([way.geom for way in ways], return_index=True)
    lon, lat = centre_of(_middle(places)) if len(places) else around
    junctions, at = _junctions(places)
    joined = (owner[1:] == owner[:-1]) & (at[1:] != at[:-1]) if len(places) else np.zeros(0, np.bool_)
    first, last, way_of = at[:-1][joined], at[1:][joined], owner[1:][joined]
    junctions_m = LocalMetres(lon, lat).to_metres(junctions)
    step = junctions_m[last] - junctions_m[first]
    told = slopes(junctions_m, (first, last), tracks, LocalMetres(lon, lat))
    told[np.array([way.road_class == "steps" for way in ways], dtype=np.bool_)[way_of]] = np.nan
    pieces = _Pieces(
        first, last, np.hypot(step[:, 0], step[:, 1]), np.nan_to_num(told), way_of, len(junctions)
    )
    parking = np.array([may_park(way) for way in ways], dtype=np.bool_)[way_of]
    networks = {mode: _network(ways, mode, pieces) for mode in MODES}
    return WaysGraph(
        lon, lat, junctions_m, first, last, pieces.length_m, parking, np.isfinite(told), networks
    )


@dataclass(frozen=True, eq=False)
class _Pieces:
    first: Ints
    last: Ints
    length_m: Floats
    slope: Floats
    way: Ints
    junctions: int


def _middle(places: Floats) -> Floats:
    """Give the corners of the ground covered, so that a crowd of ways does not pull the middle."""
    return np.array([places.min(axis=0), places.max(axis=0)])


def _junctions(places: Floats) -> tuple[Floats, Ints]:
    """Give the different vertices (n, 2) [deg], and which of them each vertex is."""
    steps = np.rint((places + 180.0) * STEPS_A_DEGREE).astype(np.int64)
    keys = steps[:, 0] * (1 << 32) + steps[:, 1]
    _, shown, at = np.unique(keys, return_index=True, return_inverse=True)
    return places[shown], at.astype(np.int64).ravel()


def _network(ways: Sequence[Way], mode: Mode, pieces: _Pieces) -> Network:
    passages = [passage(way, mode) for way in ways]
    speed = np.array([p.speed_kmh for p in passages], dtype=np.float64)[pieces.way]
    minutes = np.full(len(speed), np.inf)
    np.divide(pieces.length_m, speed * pace.M_A_MINUTE_PER_KMH, out=minutes, where=speed > 0.0)
    minutes = np.maximum(minutes, SHORTEST_MIN)
    up, down = (_slowed(pieces.slope, mode), _slowed(-pieces.slope, mode))
    goes = np.array([(p.forward, p.backward) for p in passages], np.bool_).reshape(-1, 2)[pieces.way]
    forward, backward = (np.where(goes[:, k], minutes * slowed, np.inf) for k, slowed in ((0, up), (1, down)))
    starts, neighbours, quickest = _compressed(pieces, forward, backward)
    large = _large(starts, neighbours, quickest)
    open_at_all = np.isfinite(forward) | np.isfinite(backward)
    joined = open_at_all & large[pieces.first] & large[pieces.last]
    return Network(forward, backward, joined, starts, neighbours, quickest)


def _slowed(slope: Floats, mode: Mode) -> Floats:
    """Give by how much longer a piece takes on foot than on the flat."""
    if mode != "foot":
        return np.ones(len(slope))
    return np.asarray(pace.hiking_speed_kmh(0.0) / pace.hiking_speed_kmh(slope))


def _compressed(pieces: _Pieces, forward: Floats, backward: Floats) -> tuple[Ints, Ints, Floats]:
    """Give compressed rows that hold the quickest of several pieces between two junctions."""
    along, against = np.isfinite(forward), np.isfinite(backward)
    tail = np.concatenate([pieces.first[along], pieces.last[against]])
    head = np.concatenate([pieces.last[along], pieces.first[against]])
    minutes = np.concatenate([forward[along], backward[against]])
    order = np.lexsort((minutes, head, tail))
    tail, head, minutes = tail[order], head[order], minutes[order]
    quickest = np.ones(len(tail), np.bool_)
    quickest[1:] = (tail[1:] != tail[:-1]) | (head[1:] != head[:-1])
    counts = np.bincount(tail[quickest], minlength=pieces.junctions)
    starts = np.concatenate([[0], np.cumsum(counts)]).astype(np.int64)
    return starts, head[quickest], minutes[quickest]


def _large(starts: Ints, neighbours: Ints, minutes: Floats) -> Flags:
    """Say which junctions lie in a large part of which every place reaches every other."""
    junctions = len(starts) - 1
    if junctions == 0:
        return np.zeros(0, np.bool_)
    rows = csr_matrix((minutes, neighbours, starts), shape=(junctions, junctions))
    _, part = connected_components(rows, directed=True, connection="strong")
    used = np.zeros(junctions, np.bool_)
    used[neighbours] = True
    sizes = np.bincount(part, weights=used)
    share = pace.value("large_network") * max(float(used.sum()), 1.0)
    return np.asarray((sizes >= min(share, sizes.max()))[part] & used)
