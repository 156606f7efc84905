"""Finds the pairs of places and shapes that may lie within a reach of each other, block by block."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Indices = NDArray[np.int64]

BAND_M = 200.0
"""Places are taken in bands of this width from south to north, so that neighbours meet the same shapes."""

BLOCK_PAIRS = 100_000
"""Pairs of place and shape that are aimed at in one block: enough to keep numpy busy, few enough for a
processor's cache."""

FIRST_PLACES = 16
MOST_PLACES = 4096


def pairs_nearby(
    points_m: Floats, boxes: NDArray[np.object_], reach_m: float
) -> Iterator[tuple[Indices, Indices]]:
    """Yield the numbers of places and shapes whose boxes come within a reach of each other.

    Every pair within the reach is there, and some a little farther off: the search compares the box of a
    shape with a square round the place. It is the quickest that shapely's tree of boxes answers.

    Parameters
    ----------
    points_m
        Places (n, 2) [m].
    boxes
        Shapes, or boxes round them, as shapely geometries [m].
    reach_m
        How far to look [m].

    Yields
    ------
    tuple of ndarray
        Place numbers and shape numbers of one block.
    """
    tree = shapely.STRtree(boxes)
    order = np.lexsort((points_m[:, 0], np.floor(points_m[:, 1] / BAND_M)))
    first, places = 0, FIRST_PLACES
    while first < order.size:
        some = order[first : first + places]
        x, y = points_m[some].T
        place, shape = tree.query(shapely.box(x - reach_m, y - reach_m, x + reach_m, y + reach_m))
        first += some.size
        places = _next(places, place.size)
        if place.size:
            yield some[place], shape


def _next(places: int, pairs: int) -> int:
    """Choose the number of places for the next block from the pairs that the last one gave."""
    wanted = places * BLOCK_PAIRS // max(pairs, 1)
    return min(max(wanted, 1), 4 * places, MOST_PLACES)
