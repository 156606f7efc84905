"""Tests of the edges of areas."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from numpy.testing import assert_allclose
from shapely import MultiPolygon, Polygon, box

from sitebook.analysis.contamination.outlines import angles_at, outlines_of, seen_from


def _enclosed(shapes: list[Polygon | MultiPolygon]) -> list[float]:
    edges = outlines_of(shapes)
    across = edges.start_m[:, 0] * edges.end_m[:, 1] - edges.start_m[:, 1] * edges.end_m[:, 0]
    return list(np.bincount(edges.owner, across, minlength=len(shapes)) / 2)


def test_the_ground_lies_to_the_left_whichever_way_the_rings_run() -> None:
    outer, hole = np.array([(0, 0), (9, 0), (9, 9), (0, 9)]), np.array([(2, 2), (5, 2), (5, 5), (2, 5)])
    both = [Polygon(outer[::a], [hole[::b]]) for a in (1, -1) for b in (1, -1)]
    assert_allclose(
        _enclosed([*both, MultiPolygon([box(20, 0, 22, 1), box(30, 0, 31, 1)])]), [72.0] * 4 + [3.0]
    )


def test_owners_rise_and_edges_without_length_are_left_out() -> None:
    doubled = Polygon([(0, 0), (1, 0), (1, 0), (1, 1)])
    edges = outlines_of([box(5, 5, 6, 6), doubled, Polygon()])
    assert list(edges.owner) == [0, 0, 0, 0, 1, 1, 1]
    assert edges.size == 7


def test_angles_add_up_to_turns() -> None:
    edges = outlines_of([box(0, 0, 4, 2)])
    for place, turns in [((1.0, 1.0), 1.0), ((9.0, 9.0), 0.0), ((0.0, 1.0), 0.5), ((4.0, 2.0), 0.25)]:
        seen = seen_from(edges.start_m - np.array(place), edges.end_m - np.array(place))
        assert_allclose(angles_at(*seen).sum() / (2 * np.pi), turns, atol=1e-15)


def test_a_shape_that_is_no_area_is_refused() -> None:
    with pytest.raises(ValueError, match="shape 1 is no area: it is a Point"):
        outlines_of([box(0, 0, 1, 1), shapely.Point(0, 0)])
    with pytest.raises(ValueError, match="area 0 cannot be used: Invalid Coordinate"):
        outlines_of([Polygon([(0, 0), (1, np.inf), (1, 1)])])
