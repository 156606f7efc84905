"""Finds the parts of tunnels that count as open: those just behind an end that meets an open road."""

from __future__ import annotations

import heapq
from collections import defaultdict
from collections.abc import Sequence
from collections.abc import Set as AbstractSet
from itertools import pairwise

import numpy as np

from sitebook.analysis.contamination import parameters
from sitebook.analysis.contamination.stretches import Span, Stretch, joined


def open_spans(
    stretches: Sequence[Stretch], counted: AbstractSet[int] = frozenset()
) -> tuple[list[Span], ...]:
    """Give for each stretch the spans of a tunnel that count as open.

    A tunnel counts for `portal_depth` of the road model from each corner it shares with an open road that
    carries motors, measured along the tunnel and on into tunnels that go on from it. An end that meets
    nothing, as at the edge of the map, is no portal.

    Parameters
    ----------
    stretches
        Open ones and tunnels.
    counted
        Numbers of stretches that carry motors because somebody counted them.

    Returns
    -------
    tuple of list
        Spans of each stretch; none for open ones.
    """
    motor = [s for number, s in enumerate(stretches) if s.like.motors or number in counted]
    tunnels = [s for s in motor if s.like.tunnel]
    daylight = {corner for s in motor if not s.like.tunnel for corner in s.corners}
    depth_m = _depths(tunnels, daylight)
    return tuple(joined(_spans(s, depth_m)) if s.like.tunnel else [] for s in stretches)


def _depths(tunnels: Sequence[Stretch], daylight: AbstractSet[int]) -> dict[int, float]:
    """Give how far each corner lies behind the nearest portal, up to the depth that counts [m]."""
    ways: defaultdict[int, list[tuple[int, float]]] = defaultdict(list)
    for tunnel in tunnels:
        for (a, b), step in zip(pairwise(tunnel.corners), np.diff(tunnel.along_m), strict=True):
            ways[a].append((b, float(step)))
            ways[b].append((a, float(step)))
    found: dict[int, float] = {}
    waiting = [(0.0, corner) for corner in sorted(daylight & set(ways))]
    while waiting:
        depth, corner = heapq.heappop(waiting)
        if corner in found or depth > parameters.value("portal_depth"):
            continue
        found[corner] = depth
        for beyond, step in ways[corner]:
            heapq.heappush(waiting, (depth + step, beyond))
    return found


def _spans(tunnel: Stretch, depth_m: dict[int, float]) -> list[Span]:
    spans = []
    limit = parameters.value("portal_depth")
    for (a, b), (begin, end) in zip(pairwise(tunnel.corners), pairwise(tunnel.along_m.tolist()), strict=True):
        if a in depth_m:
            spans.append((begin, min(end, begin + limit - depth_m[a])))
        if b in depth_m:
            spans.append((max(begin, end - limit + depth_m[b]), end))
    return [(begin, end) for begin, end in spans if end > begin]
