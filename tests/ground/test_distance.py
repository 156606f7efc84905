"""Tests of distances to lines and areas."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from sitebook.ground.distance import direction_words, foot_on, pieces_of, to_lines


@pytest.mark.source(
    item="",
    what="distances of 50 places to 30 random lines",
    value="those of GEOS",
    source="shapely.distance",
    mark="computed",
)
def test_distances_agree_with_geos() -> None:
    chance = np.random.default_rng(2)
    places = chance.uniform(-100, 100, (50, 2))
    lines = [chance.uniform(-100, 100, (int(chance.integers(2, 7)), 2)) for _ in range(30)]
    expected = [
        [shapely.distance(shapely.Point(p), shapely.LineString(line)) for line in lines] for p in places
    ]
    assert_allclose(to_lines(places, lines), expected, rtol=1e-10, atol=1e-10)


def test_a_line_without_length_is_nowhere() -> None:
    assert to_lines([[0, 0]], [[[1, 1], [1, 1]]])[0, 0] == np.inf
    assert to_lines([[0, 0]], []).shape == (1, 0)


def test_pieces_keep_their_line() -> None:
    pieces = pieces_of([[[0, 0], [3, 4], [3, 4], [3, 5]], [[0, 0], [0, 2]]])
    assert_allclose(pieces.length_m, [5, 1, 2])
    assert pieces.line.tolist() == [0, 0, 1]


def test_lines_must_be_pairs() -> None:
    with pytest.raises(ValueError, match="line 1 is not a list of pairs"):
        pieces_of([[[0, 0], [1, 1]], [[0, 0, 0], [1, 1, 1]]])


def test_the_foot_on_a_line_and_in_an_area() -> None:
    foot = foot_on((5.0, 3.0), shapely.LineString([(0, 0), (10, 0)]))
    assert foot.distance_m == pytest.approx(3.0)
    assert foot.at_m == pytest.approx((5.0, 0.0))
    assert foot_on((5.0, 3.0), shapely.box(0, 0, 10, 10)).distance_m == 0.0
    with pytest.raises(ValueError, match="empty shape"):
        foot_on((0.0, 0.0), shapely.LineString())


@pytest.mark.parametrize(
    ("to", "words"),
    [
        ((0, 1), "north"),
        ((1, 1), "north-east"),
        ((1, 0), "east"),
        ((0, -1), "south"),
        ((-1, 0.1), "west"),
        ((-0.1, 1), "north"),
        ((-1, 1), "north-west"),
    ],
)
def test_directions(to: tuple[float, float], words: str) -> None:
    assert direction_words((0.0, 0.0), to) == words


@given(st.floats(-1e4, 1e4), st.floats(-1e4, 1e4))
def test_the_foot_is_as_far_as_it_says(east: float, north: float) -> None:
    line = shapely.LineString([(-50, -20), (10, 40), (70, 0)])
    foot = foot_on((east, north), line)
    assert foot.distance_m == pytest.approx(float(np.hypot(foot.at_m[0] - east, foot.at_m[1] - north)))
    assert shapely.distance(shapely.Point(foot.at_m), line) < 1e-6
