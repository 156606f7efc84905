"""Tests that joining and cutting give sound shapes, exact where exact arithmetic does."""

from __future__ import annotations

from collections.abc import Callable

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry.base import BaseGeometry

from sitebook.ground import overlay

LEFT, RIGHT = shapely.box(0.0, 0.0, 2.0, 2.0), shapely.box(1.0, 0.0, 3.0, 2.0)
BOXES = st.tuples(*[st.floats(-50.0, 50.0)] * 2, *[st.floats(0.01, 30.0)] * 2).map(
    lambda b: shapely.box(b[0], b[1], b[0] + b[2], b[1] + b[3])
)


def test_joined_cut_and_left_over() -> None:
    assert overlay.united([LEFT, RIGHT]).area == 6.0
    assert overlay.within(LEFT, RIGHT).area == 2.0
    assert overlay.without(LEFT, RIGHT).area == 2.0
    assert overlay.united([]).is_empty


@given(st.lists(BOXES, min_size=1, max_size=12))
def test_walls_joined_are_sound_and_as_large_as_their_parts_allow(boxes: list[BaseGeometry]) -> None:
    walls = [box.boundary.buffer(0.5) for box in boxes]
    whole = overlay.united(walls)
    assert whole.is_valid
    assert max(w.area for w in walls) <= whole.area * (1 + 1e-9) <= sum(w.area for w in walls) * (1 + 1e-6)


def test_where_exact_arithmetic_trips_a_grid_answers(monkeypatch: pytest.MonkeyPatch) -> None:
    union: Callable[..., BaseGeometry] = shapely.union_all
    asked: list[float | None] = []

    def tripping(shapes: object, grid_size: float | None = None) -> BaseGeometry:
        asked.append(grid_size)
        if grid_size is None:
            raise shapely.errors.GEOSException("TopologyException")
        return union(shapes, grid_size=grid_size)

    monkeypatch.setattr(shapely, "union_all", tripping)
    assert overlay.united([LEFT, RIGHT]).area == pytest.approx(6.0)
    assert asked == [None, overlay.GRID_M]


def test_an_answer_that_is_not_sound_is_asked_again_on_a_grid(monkeypatch: pytest.MonkeyPatch) -> None:
    nested = shapely.MultiPolygon([LEFT.buffer(1.0), LEFT])
    assert not nested.is_valid
    union: Callable[..., BaseGeometry] = shapely.union_all
    monkeypatch.setattr(
        shapely,
        "union_all",
        lambda shapes, grid_size=None: nested if grid_size is None else union(shapes, grid_size=grid_size),
    )
    assert overlay.united([LEFT, RIGHT]).is_valid
