"""Tests that packed cells come back, and that the ground at or above a level is where the cells say."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal

from sitebook import errors
from sitebook.analysis.contamination.surface_cells import (
    FAINT,
    ground_at_or_above,
    packed_cells,
    shortened,
    unpacked_cells,
)
from sitebook.ground.grid import Grid

GRID = Grid(-100.0, 200.0, 50, 60, 5.0)


@settings(max_examples=50, deadline=None)
@given(st.lists(st.one_of(st.floats(0.0, 50.0), st.just(float("nan"))), min_size=6, max_size=6))
def test_cells_come_back_as_they_were_kept(values: list[float]) -> None:
    index = np.array(values).reshape(2, 3)
    kept = shortened(index)
    assert_array_equal(unpacked_cells(packed_cells(kept), 2, 3), kept)
    assert_array_equal(np.isnan(kept), np.isnan(index))
    strong = index >= FAINT
    assert_allclose(kept[strong], index[strong], rtol=2.0**-12)
    assert not kept[index < FAINT].any()


def test_keeping_twice_changes_nothing() -> None:
    index = np.random.default_rng(1).uniform(0.0, 3.0, (40, 40))
    once = shortened(index)
    assert_array_equal(shortened(once.astype(np.float64)), once)


@pytest.mark.parametrize("content", [b"", b"no cells", packed_cells(np.zeros((2, 2), dtype=np.float32))])
def test_bytes_that_are_no_cells_are_told(content: bytes) -> None:
    with pytest.raises(errors.BookDamaged, match="--surface"):
        unpacked_cells(content, 3, 4)


def test_a_hill_has_a_round_outline_with_its_hollow() -> None:
    x, y = (part.astype(np.float64) for part in np.meshgrid(np.arange(60) - 30, np.arange(50) - 25))
    height = np.asarray(np.exp(-(((np.hypot(x, y) - 14.0) / 4.0) ** 2)), dtype=np.float32)
    ring = ground_at_or_above(height, GRID, float(np.exp(-1.0)))
    (area,) = ring.geoms
    assert area.is_valid
    assert len(area.interiors) == 1
    assert area.centroid.distance(shapely.Point(52.5, 327.5)) < 0.5
    assert area.area == pytest.approx(np.pi * 25.0 * (18.0**2 - 10.0**2), rel=0.01)


def test_every_cell_is_on_the_side_it_belongs_to() -> None:
    chance = np.random.default_rng(4)
    index = np.repeat(np.repeat(chance.uniform(0, 1, (10, 12)), 5, axis=0), 5, axis=1).astype(np.float32)
    ground = ground_at_or_above(index, GRID, 0.5)
    row, column = (part.ravel() for part in np.indices(index.shape))
    away = np.asarray(shapely.distance(ground, shapely.points(GRID.middles(row, column))))
    assert away[index.ravel() >= 0.5].max() <= 1.0
    assert ground.is_valid


def test_ground_outside_has_no_level() -> None:
    index = np.full((50, 60), 2.0, dtype=np.float32)
    index[:, 30:] = np.nan
    ground = ground_at_or_above(index, GRID, 1.0)
    assert ground.bounds == (-97.5, 202.5, 47.5, 447.5)
    assert ground_at_or_above(np.full((50, 60), np.nan, dtype=np.float32), GRID, 1.0).is_empty
    assert ground_at_or_above(index, GRID, 3.0).is_empty
    assert ground_at_or_above(np.ones((1, 60), dtype=np.float32), GRID, 0.5).is_empty
