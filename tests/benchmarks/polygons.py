"""Times the area term of many places and areas against a search tree with 24-node sums, in one run."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy import special

from sitebook.analysis.contamination.areas import area_terms
from sitebook.analysis.contamination.outlines import outlines_of
from sitebook.analysis.contamination.panels import by_panels
from tests.benchmarks.growth import draw, errors, timed
from tests.benchmarks.made_town import grounds, places

Floats = NDArray[np.float64]

PLACES, GROUNDS, SIDE_M, SAMPLE, CHECKED = 10_000, 10_000, 12_910.0, 400, 3_000
BLOCK, NODES, REACH, FULL_REACH = 100, 24, 10.0, 20.0


def plain(points: Floats, areas: NDArray[np.object_], scale: float, reach: float = REACH) -> Floats:
    """Add up the term as one would write it first: inside or not, less every edge with 24 nodes."""
    tree, edges = shapely.STRtree(areas), outlines_of(list(areas))
    first = np.searchsorted(edges.owner, np.arange(len(areas)))
    number = np.bincount(edges.owner, minlength=len(areas))
    step = edges.end_m - edges.start_m
    length = np.hypot(step[:, 0], step[:, 1])
    along = step / length[:, None]
    total = np.zeros(len(points))
    for start in range(0, len(points), BLOCK):
        some = points[start : start + BLOCK]
        spots = np.asarray(shapely.points(some))
        place, area = tree.query(spots, predicate="dwithin", distance=reach * scale)
        inside = shapely.contains_xy(areas[area], some[place, 0], some[place, 1])
        pair = np.repeat(np.arange(area.size), number[area])
        edge = np.arange(pair.size) + np.repeat(
            first[area] - (np.cumsum(number[area]) - number[area]), number[area]
        )
        away, ahead = (edges.start_m[edge] - some[place[pair]]) / scale, along[edge]
        low = (away * ahead).sum(axis=1)
        outward = away[:, 0] * ahead[:, 1] - away[:, 1] * ahead[:, 0]
        carried = by_panels(low, low + length[edge] / scale, np.abs(outward), _edge, NODES)
        less = np.bincount(pair, np.copysign(carried, outward), minlength=area.size) / (2 * np.pi)
        total[start : start + len(some)] = np.bincount(place, inside - less, minlength=len(some))
    return total


def _edge(r: Floats, distance: Floats) -> Floats:
    return np.asarray(distance * special.k1(r) / r)


def measured(
    points: Floats, areas: NDArray[np.object_], scale: float, sample: int = SAMPLE
) -> tuple[float, float]:
    """Give the seconds of both ways, the plain one scaled from a sample of the places."""
    _, fast_s = timed(lambda: area_terms(points, list(areas), scale), 2)
    few = points[:: max(len(points) // sample, 1)]
    _, plain_s = timed(lambda: plain(few, areas, scale))
    return fast_s, plain_s * len(points) / len(few)


def main() -> None:
    """Print the ratios, the errors and the growth, and draw the growth."""
    areas, points = grounds(GROUNDS, SIDE_M), places(PLACES, SIDE_M)
    print(f"{PLACES} places, {GROUNDS} areas of 12 corners; processor time, the plain way cut at 10 lengths")
    for scale in (50.0, 10.0, 300.0):
        sample = 30 if scale > 100 else SAMPLE
        fast_s, plain_s = measured(points, areas, scale, sample)
        print(
            f"length {scale:g} m: search tree + 24 nodes {plain_s:.1f} s (scaled from {sample} places),",
            end=" ",
        )
        print(f"ours {fast_s:.2f} s, ratio {plain_s / fast_s:.1f}")
        checked = points[: CHECKED if scale < 100 else 100]
        exact = plain(checked, areas, scale, FULL_REACH)
        print("  ours:", errors(area_terms(checked, list(areas), scale), exact, relative=False))
        print("  the plain way:", errors(plain(checked, areas, scale), exact, relative=False))
    by_places = [
        (float(count), *measured(places(count, SIDE_M), areas, 50.0, 100))
        for count in (100, 1_000, 10_000, 100_000)
    ]
    towns = [(count, SIDE_M * float(np.sqrt(count / GROUNDS))) for count in (1_000, 10_000, 40_000)]
    by_areas = [
        (float(count), *measured(places(PLACES, side), grounds(count, side), 50.0, 100))
        for count, side in towns
    ]
    dense = grounds(4 * GROUNDS, SIDE_M)
    fast_s, plain_s = measured(points, dense, 50.0, 100)
    print(f"four times as dense: ratio {plain_s / fast_s:.1f}")
    exact = plain(points[:500], dense, 50.0, FULL_REACH)
    print("  ", errors(area_terms(points[:500], list(dense), 50.0), exact, relative=False))
    for what, rows in (("places", by_places), ("areas", by_areas)):
        for size, fast_s, plain_s in rows:
            print(f"{size:,.0f} {what}: {fast_s:.2f} s against {plain_s:.1f} s, ratio {plain_s / fast_s:.1f}")
        lines = {
            "sitebook": [(size, fast_s) for size, fast_s, _ in rows],
            "search tree, 24 nodes": [(size, plain_s) for size, _, plain_s in rows],
        }
        print(draw(f"polygons_by_{what}", f"Area term at 50 m, by {what}", what, lines).name)


if __name__ == "__main__":
    main()
