"""Tests that the surface is the exact index of every cell, however its roads are cut, moved or turned."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from numpy.typing import NDArray

from sitebook.analysis.contamination import surface
from sitebook.analysis.contamination.roads import traffic_index
from sitebook.analysis.contamination.surface import Accuracy, accuracy, surface_index
from sitebook.analysis.contamination.surface_cells import FAINT
from sitebook.ground.grid import Grid
from tests.benchmarks.made_town import streets

Floats = NDArray[np.float64]

GRID = Grid(0.0, 0.0, 60, 60, 5.0)
ENDLESS = [np.array([[-3000.0, 151.0], [3000.0, 151.0]])]
TIGHT, LOOSE = 0.0005, 0.003
"""Median and 99th percentile that are aimed at."""


def _exact(grid: Grid, lines: list[Floats], vehicles: object, half_width: object) -> Floats:
    row, column = (part.ravel() for part in np.indices((grid.rows, grid.columns)))
    index = traffic_index(grid.middles(row, column), lines, vehicles, half_width_m=half_width)  # type: ignore[arg-type]
    return index.reshape(grid.rows, grid.columns)


def _apart(found: Floats, exact: Floats) -> tuple[float, float]:
    error = np.abs(found - exact) / np.maximum(exact, FAINT)
    return float(np.median(error)), float(np.quantile(error, 0.99))


def _lines(seed: int, count: int = 12) -> tuple[list[Floats], Floats, Floats]:
    chance = np.random.default_rng(seed)
    lines = [
        np.cumsum(np.vstack([chance.uniform(-100, 400, 2), chance.normal(0, 60, (k, 2))]), axis=0)
        for k in chance.integers(1, 7, count)
    ]
    return lines, chance.uniform(100, 20_000, count), np.round(chance.uniform(1.0, 8.0, count), 2)


@pytest.mark.source(
    item="C5",
    what="index beside an endless straight road of 10,000 vehicles",
    value="0.8 exp(-x/5) + 0.2 exp(-x/50), x from the kerb",
    source="the integral of the K0 kernel along a line, in closed form",
    mark="computed",
)
def test_an_endless_road_falls_off_as_it_must() -> None:
    found = surface_index(ENDLESS, 10_000.0, 3.5, grid=GRID)
    _, y = np.indices(found.shape)[0], GRID.first_m[1] + 5.0 * np.arange(GRID.rows)
    away = np.maximum(np.abs(y - 151.0) - 3.5, 0.0)
    expected = 0.8 * np.exp(-away / 5.0) + 0.2 * np.exp(-away / 50.0)
    assert_allclose(found, np.broadcast_to(expected[:, None], found.shape), rtol=2e-3)


def test_a_town_is_within_the_error_aimed_at() -> None:
    town = streets(2400.0)
    grid = Grid(700.0, 700.0, 200, 180, 5.0)
    given_lines = (list(town.ends_m), town.vehicles, town.half_width_m)
    index = surface_index(*given_lines, grid=grid)
    found = accuracy(index, *given_lines, grid=grid)
    assert found is not None
    assert found.points == surface.SAMPLE_POINTS
    assert found.median < TIGHT
    assert found.p99 < LOOSE
    assert accuracy(index, *given_lines, grid=grid) == found


def test_the_error_told_is_the_error_there_is() -> None:
    town = streets(2000.0)
    grid = Grid(900.0, 900.0, 40, 40, 5.0)
    given_lines = (list(town.ends_m), town.vehicles, town.half_width_m)
    exact = _exact(grid, *given_lines)
    found = accuracy(exact * 1.01, *given_lines, grid=grid)
    assert found is not None
    assert_allclose([found.median, found.p99], 0.01, rtol=1e-6)
    assert accuracy(np.zeros((40, 40)), *given_lines, grid=grid) is None


@pytest.mark.parametrize("cell_m", [2.5, 5.0, 10.0])
@pytest.mark.parametrize("half_width_m", [0.0, 1.0, 3.5, 16.0])
def test_width_and_cell_may_be_any(cell_m: float, half_width_m: float) -> None:
    lines, vehicles, _ = _lines(4, 6)
    grid = Grid(0.0, 0.0, int(300 / cell_m), int(300 / cell_m), cell_m)
    found = surface_index(lines, vehicles, half_width_m, grid=grid)
    median, p99 = _apart(found, _exact(grid, lines, vehicles, half_width_m))
    assert median < TIGHT
    assert p99 < 2 * LOOSE


@settings(max_examples=15, deadline=None)
@given(seed=st.integers(0, 10_000))
def test_any_roads_give_the_exact_sum(seed: int) -> None:
    lines, vehicles, width = _lines(seed)
    median, p99 = _apart(
        surface_index(lines, vehicles, width, grid=GRID), _exact(GRID, lines, vehicles, width)
    )
    assert median < TIGHT
    assert p99 < 2 * LOOSE


@settings(max_examples=10, deadline=None)
@given(seed=st.integers(0, 10_000), east=st.integers(-50, 50), north=st.integers(-50, 50))
def test_moving_by_whole_cells_changes_nothing(seed: int, east: int, north: int) -> None:
    lines, vehicles, width = _lines(seed, 5)
    step = 5.0 * np.array([east, north])
    moved = Grid(GRID.west_m + step[0], GRID.south_m + step[1], GRID.rows, GRID.columns, 5.0)
    before = surface_index(lines, vehicles, width, grid=GRID)
    after = surface_index([line + step for line in lines], vehicles, width, grid=moved)
    assert_allclose(after, before, rtol=1e-6, atol=1e-9)


@settings(max_examples=10, deadline=None)
@given(seed=st.integers(0, 10_000), north=st.floats(0.0, 5.0), east=st.floats(0.0, 5.0))
def test_moving_by_parts_of_a_cell_changes_nothing_beyond_the_error(
    seed: int, north: float, east: float
) -> None:
    lines, vehicles, width = _lines(seed, 5)
    moved = Grid(GRID.west_m + east, GRID.south_m + north, GRID.rows, GRID.columns, 5.0)
    before = surface_index(lines, vehicles, width, grid=GRID)
    after = surface_index([line + np.array([east, north]) for line in lines], vehicles, width, grid=moved)
    assert _apart(after, before)[1] < 1e-6


@settings(max_examples=10, deadline=None)
@given(seed=st.integers(0, 10_000))
def test_a_quarter_turn_turns_the_surface(seed: int) -> None:
    lines, vehicles, width = _lines(seed, 5)
    turned = [np.column_stack([300.0 - line[:, 1], line[:, 0]]) for line in lines]
    before = surface_index(lines, vehicles, width, grid=GRID)
    after = surface_index(turned, vehicles, width, grid=GRID)
    median, p99 = _apart(after, before[::-1].T)
    assert median < TIGHT
    assert p99 < LOOSE


@settings(max_examples=10, deadline=None)
@given(seed=st.integers(0, 10_000), share=st.floats(0.05, 0.95))
def test_cutting_and_turning_lines_about_changes_nothing_beyond_the_error(seed: int, share: float) -> None:
    lines, vehicles, width = _lines(seed, 5)
    halves: list[Floats] = []
    for line in lines:
        middle = line[0] + share * (line[1] - line[0])
        halves += [np.vstack([middle, line[0]]), np.vstack([middle, line[1:]])[::-1]]
    before = surface_index(lines, vehicles, width, grid=GRID)
    after = surface_index(halves, np.repeat(vehicles, 2), np.repeat(width, 2), grid=GRID)
    median, p99 = _apart(after, before)
    assert median < TIGHT
    assert p99 < LOOSE


def test_tiles_join_without_a_seam(monkeypatch: pytest.MonkeyPatch) -> None:
    lines, vehicles, width = _lines(7)
    whole = surface_index(lines, vehicles, width, grid=GRID)
    told: list[tuple[int, int]] = []
    monkeypatch.setattr(surface, "TILE_CELLS", 23)
    parts = surface_index(lines, vehicles, width, grid=GRID, told=lambda *far: told.append(far))
    assert told == [(number, 9) for number in range(9)]
    assert _apart(parts, whole)[1] < TIGHT


def test_no_roads_no_index() -> None:
    assert not surface_index([], [], grid=GRID).any()
    assert not surface_index(ENDLESS, 0.0, 3.5, grid=GRID).any()
    far = [np.array([[9000.0, 9000.0], [9100.0, 9000.0]])]
    assert not surface_index(far, 10_000.0, 3.5, grid=GRID).any()


@pytest.mark.parametrize(
    ("vehicles", "width"), [(-1.0, 3.0), (1000.0, -1.0), (np.nan, 3.0), (1000.0, np.inf)]
)
def test_an_impossible_road_is_refused(vehicles: float, width: float) -> None:
    with pytest.raises(ValueError, match="0 or more"):
        surface_index(ENDLESS, vehicles, width, grid=GRID)


def test_an_accuracy_is_a_value() -> None:
    assert Accuracy(0.1, 0.2, 3) == Accuracy(0.1, 0.2, 3)
