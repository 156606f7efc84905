"""Makes a graph of ways for another program to search."""

from __future__ import annotations

from collections.abc import Sequence

import networkx
import numpy as np

from sitebook.analysis.foray.pace import Mode
from sitebook.analysis.foray.ways_access import passage
from sitebook.ground.projection import LocalMetres
from sitebook.records.map_data import Way


def their_graph(
    ways: Sequence[Way], mode: Mode, metres: LocalMetres
) -> networkx.MultiDiGraph[tuple[float, float]]:
    """Make the graph vertex by vertex from the positions as mapped."""
    found: networkx.MultiDiGraph[tuple[float, float]] = networkx.MultiDiGraph()
    for way in ways:
        allowed, corners = passage(way, mode), [(lon, lat) for lon, lat, *_ in way.geom.coords]
        places = metres.to_metres(corners)
        for k in range(len(corners) - 1):
            if allowed.speed_kmh <= 0.0 or corners[k] == corners[k + 1]:
                continue
            minutes = float(np.hypot(*(places[k + 1] - places[k]))) / allowed.speed_kmh * 0.06
            if allowed.forward:
                found.add_edge(corners[k], corners[k + 1], weight=minutes)
            if allowed.backward:
                found.add_edge(corners[k + 1], corners[k], weight=minutes)
    return found
