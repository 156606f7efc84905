"""Tests of the search for places and shapes near each other."""

from __future__ import annotations

import numpy as np
import shapely

from sitebook.analysis.contamination import nearby
from sitebook.analysis.contamination.nearby import pairs_nearby


def test_every_pair_within_the_reach_comes_once() -> None:
    chance = np.random.default_rng(1)
    points = chance.uniform(0, 2000, (300, 2))
    ends = chance.uniform(0, 2000, (200, 1, 2)) + chance.uniform(-400, 400, (200, 2, 2))
    lines = np.asarray(shapely.linestrings(ends))
    found = [
        (int(p), int(s))
        for places, shapes in pairs_nearby(points, lines, 150.0)
        for p, s in zip(places, shapes, strict=True)
    ]
    assert len(found) == len(set(found))
    near = np.argwhere(shapely.distance(np.asarray(shapely.points(points))[:, None], lines[None]) <= 150.0)
    assert {(int(p), int(s)) for p, s in near} <= set(found)


def test_blocks_stay_of_one_size() -> None:
    points = np.random.default_rng(2).uniform(0, 100, (5000, 2))
    boxes = np.asarray([shapely.box(0, 0, 100, 100)] * 400)
    sizes = [places.size for places, _ in pairs_nearby(points, boxes, 10.0)]
    assert sum(sizes) == 5000 * 400
    assert max(sizes) <= 4 * nearby.BLOCK_PAIRS


def test_nothing_near_gives_no_block() -> None:
    assert list(pairs_nearby(np.array([[0.0, 0.0]]), np.asarray([shapely.box(50, 50, 60, 60)]), 10.0)) == []
    assert list(pairs_nearby(np.empty((0, 2)), np.asarray([shapely.box(0, 0, 1, 1)]), 10.0)) == []
