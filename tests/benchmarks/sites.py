"""Times the traffic index of many places against a search tree with 24-node sums, in one run."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from sitebook.analysis.contamination import parameters
from sitebook.analysis.contamination.kernel import segment_weight
from sitebook.analysis.contamination.roads import traffic_index
from tests.benchmarks.growth import draw, errors, timed
from tests.benchmarks.made_town import Streets, places, streets

Floats = NDArray[np.float64]

PLACES, SIDE_M, SAMPLE, CHECKED = 10_000, 13_000.0, 200, 3_000
BLOCK = 100


def plain(points: Floats, town: Streets) -> Floats:
    """Add up the index as one would write it first: the pieces that a tree finds, all with 24 nodes."""
    tree, index = shapely.STRtree(np.asarray(shapely.linestrings(town.ends_m))), np.zeros(len(points))
    step = town.ends_m[:, 1] - town.ends_m[:, 0]
    length = np.hypot(step[:, 0], step[:, 1])
    along = step / length[:, None]
    for first in range(0, len(points), BLOCK):
        some = points[first : first + BLOCK]
        reach = parameters.value("reach")
        place, piece = tree.query(np.asarray(shapely.points(some)), predicate="dwithin", distance=reach)
        away, ahead = town.ends_m[piece, 0] - some[place], along[piece]
        begin = (away * ahead).sum(axis=1)
        half = town.half_width_m[piece]
        beside = np.maximum(np.abs(away[:, 0] * ahead[:, 1] - away[:, 1] * ahead[:, 0]), half)
        added = np.zeros(piece.size)
        for scale, share in parameters.scales():
            weight = segment_weight(begin, begin + length[piece], beside, scale)
            added += share * np.exp(half / scale) * weight
        index[first : first + some.shape[0]] = np.bincount(
            place, added * town.vehicles[piece] / parameters.value("unit_traffic"), minlength=some.shape[0]
        )
    return index


def quick(points: Floats, town: Streets) -> Floats:
    """Give the index as the project computes it."""
    return traffic_index(points, list(town.ends_m), town.vehicles, half_width_m=town.half_width_m)


def measured(points: Floats, town: Streets, sample: int = SAMPLE) -> tuple[float, float]:
    """Give the seconds of both ways, the plain one scaled from a sample of the places."""
    _, fast_s = timed(lambda: quick(points, town), 2)
    few = points[:: max(len(points) // sample, 1)]
    _, plain_s = timed(lambda: plain(few, town))
    return fast_s, plain_s * len(points) / len(few)


def main() -> None:
    """Print the ratio, the error and the growth, and draw the growth."""
    town, points = streets(SIDE_M), places(PLACES, SIDE_M)
    fast_s, plain_s = measured(points, town)
    reach = parameters.value("reach")
    print(f"{PLACES} places, {len(town.vehicles)} pieces, reach {reach:g} m; processor time")
    print(f"search tree + 24 nodes {plain_s:.1f} s (scaled from {SAMPLE} places), ours {fast_s:.2f} s")
    print(f"ratio {plain_s / fast_s:.1f}")
    checked = points[:CHECKED]
    print(errors(quick(checked, town), plain(checked, town), relative=True))
    on_roads = np.concatenate([town.ends_m[:300, 0], town.ends_m[300:600].mean(axis=1)])
    print("on axes and corners:", errors(quick(on_roads, town), plain(on_roads, town), relative=True))
    by_places = [
        (float(count), *measured(places(count, SIDE_M), town, 100)) for count in (100, 1_000, 10_000, 40_000)
    ]
    towns = [(streets(side), side) for side in (4_100.0, 13_000.0, 26_000.0)]
    by_pieces = [
        (float(len(each.vehicles)), *measured(places(5_000, side), each, 100)) for each, side in towns
    ]
    for longer in (60.0, 120.0):
        coarse = streets(SIDE_M, longer)
        fast_s, plain_s = measured(places(5_000, SIDE_M), coarse, 100)
        print(f"pieces of {longer:g} m: {len(coarse.vehicles)} pieces, ratio {plain_s / fast_s:.1f}")
    for what, rows in (("places", by_places), ("pieces", by_pieces)):
        for size, fast_s, plain_s in rows:
            print(f"{size:,.0f} {what}: {fast_s:.2f} s against {plain_s:.1f} s, ratio {plain_s / fast_s:.1f}")
        lines = {
            "sitebook": [(size, fast_s) for size, fast_s, _ in rows],
            "search tree, 24 nodes": [(size, plain_s) for size, _, plain_s in rows],
        }
        print(draw(f"sites_by_{what}", f"Traffic index, by {what}", what, lines).name)


if __name__ == "__main__":
    main()
