"""Tests of grids of cells."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from sitebook.ground.grid import Grid, grid_over, middles_inside


def test_cells_run_from_the_south_west() -> None:
    grid = Grid(100.0, -50.0, 3, 4, 5.0)
    assert grid.cells == 12
    assert grid.bounds_m == (100.0, -50.0, 120.0, -35.0)
    assert grid.middles(np.array([0, 2]), np.array([0, 3])).tolist() == [[102.5, -47.5], [117.5, -37.5]]


def test_a_part_keeps_its_cells() -> None:
    grid = Grid(100.0, -50.0, 3, 4, 5.0)
    part = grid.part(1, 2, 10, 10)
    assert (part.rows, part.columns) == (2, 2)
    assert part.first_m == (112.5, -42.5)


@given(
    west=st.floats(-1e5, 1e5),
    south=st.floats(-1e5, 1e5),
    width=st.floats(0.0, 2000.0),
    height=st.floats(0.0, 2000.0),
)
def test_a_grid_lies_over_all_of_a_rectangle(west: float, south: float, width: float, height: float) -> None:
    grid = grid_over((west, south, west + width, south + height), 5.0)
    left, below, right, above = grid.bounds_m
    assert left <= west
    assert below <= south
    assert right >= west + width
    assert above >= south + height
    assert grid.cells <= (width / 5.0 + 2) * (height / 5.0 + 2)


@pytest.mark.parametrize("bad", [(0, 0, 0, 1, 5.0), (0, 0, 1, 1, 0.0), (math.nan, 0, 1, 1, 5.0)])
def test_an_impossible_grid_is_refused(bad: tuple[float, float, int, int, float]) -> None:
    with pytest.raises(ValueError, match="a grid"):
        Grid(*bad)


@settings(max_examples=15, deadline=None)
@given(seed=st.integers(0, 1000))
def test_cells_inside_are_those_whose_middle_is(seed: int) -> None:
    chance = np.random.default_rng(seed)
    grid = Grid(-200.0, -300.0, 150, 90, 5.0)
    angle = np.sort(chance.uniform(0, 2 * np.pi, 9))
    radius = chance.uniform(50, 400, 9)
    area = shapely.make_valid(
        shapely.Polygon(np.column_stack([radius * np.cos(angle), radius * np.sin(angle)]))
    )
    row, column = (part.ravel() for part in np.indices((grid.rows, grid.columns)))
    expected = shapely.contains_xy(area, grid.middles(row, column))
    assert middles_inside(grid, area).ravel().tolist() == expected.tolist()
