"""Tests of the shares of many areas at many places."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from numpy.testing import assert_allclose
from numpy.typing import NDArray
from shapely import MultiPolygon, Polygon, box

from sitebook.analysis.contamination import areas
from sitebook.analysis.contamination.areas import area_terms, dissolved
from sitebook.analysis.contamination.kernel import area_weight

Floats = NDArray[np.float64]


def _scattered(seed: int, how_many: int, side_m: float, radius_m: float = 40.0) -> list[Polygon]:
    chance = np.random.default_rng(seed)
    found = []
    for _ in range(how_many):
        angles = (np.arange(9) + chance.uniform(-0.35, 0.35, 9)) * (2 * np.pi / 9)
        reach = radius_m * chance.uniform(0.4, 1.4, 9)
        middle = chance.uniform(0, side_m, 2)
        found.append(Polygon(middle + np.column_stack([reach * np.cos(angles), reach * np.sin(angles)])))
    return found


def _one_by_one(points: Floats, shapes: list[Polygon], scale: float) -> Floats:
    return np.asarray(sum(area_weight(points, shape, scale) for shape in shapes))


@pytest.mark.parametrize("scale", [3.0, 10.0, 20.0, 50.0, 300.0])
def test_many_areas_agree_with_one_after_the_other(scale: float) -> None:
    shapes = _scattered(1, 80, 1500.0)
    points = np.random.default_rng(2).uniform(-100, 1600, (120, 2))
    assert_allclose(area_terms(points, shapes, scale), _one_by_one(points, shapes, scale), atol=3e-7, rtol=0)


def test_places_on_and_beside_edges_and_corners() -> None:
    shapes = _scattered(3, 30, 600.0)
    chance = np.random.default_rng(4)
    corners = np.concatenate([shapely.get_coordinates(shape)[:-1] for shape in shapes])
    after = np.concatenate([shapely.get_coordinates(shape)[1:] for shape in shapes])
    on = np.concatenate([corners, 0.5 * (corners + after)])
    beside = on + 10.0 ** chance.uniform(-12, 0, (len(on), 1)) * chance.normal(0, 1, on.shape)
    points = np.concatenate([on, beside])
    assert_allclose(area_terms(points, shapes, 50.0), _one_by_one(points, shapes, 50.0), atol=3e-7, rtol=0)


def test_a_kilometre_long_area_and_one_with_very_many_corners() -> None:
    turn = np.linspace(0, 2 * np.pi, 40_001)[:-1]
    lake = Polygon(np.column_stack([150 * np.cos(turn) + 300, 150 * np.sin(turn)]))
    river = box(-3000, -80, 3000, -60)
    points = np.array([[0.0, 0.0], [300.0, 0.0], [150.0, 1.0], [0.0, -70.0]])
    expected = _one_by_one(points, [lake, river], 50.0)
    assert_allclose(area_terms(points, [lake, river], 50.0), expected, atol=3e-7, rtol=0)


def test_areas_with_holes_and_of_several_parts() -> None:
    ring = Polygon(box(0, 0, 60, 60).exterior, [box(20, 20, 40, 40).exterior])
    several = MultiPolygon([box(100, 0, 120, 30), box(130, 0, 150, 30)])
    points = np.array([[30.0, 30.0], [125.0, 15.0], [80.0, 10.0], [400.0, 400.0]])
    expected = area_weight(points, ring, 50.0) + area_weight(points, several, 50.0)
    assert_allclose(area_terms(points, [ring, several], 50.0), expected, atol=1e-7, rtol=0)


def test_dissolving_equals_the_union() -> None:
    shapes = _scattered(5, 60, 400.0)
    points = np.random.default_rng(6).uniform(0, 400, (50, 2))
    union = shapely.union_all(shapes)
    joined = dissolved(shapes)
    assert len(joined) < len(shapes)
    assert_allclose(area_terms(points, joined, 50.0), area_weight(points, union, 50.0), atol=3e-7, rtol=0)
    assert np.all(area_terms(points, shapes, 50.0) > area_terms(points, joined, 50.0))
    assert np.all(area_terms(points, joined, 50.0) <= 1.0 + 1e-6)


def test_the_order_of_places_and_small_blocks_change_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    shapes = _scattered(7, 40, 800.0)
    points = np.random.default_rng(8).uniform(0, 800, (60, 2))
    before = area_terms(points, shapes, 50.0)
    assert_allclose(area_terms(points[::-1], shapes, 50.0)[::-1], before, rtol=1e-12)
    monkeypatch.setattr(areas, "BLOCK_EDGES", 7)
    assert_allclose(area_terms(points, shapes, 50.0), before, rtol=1e-12)


def test_no_areas_empty_areas_and_no_places() -> None:
    assert_allclose(area_terms([[0, 0], [1, 1]], [], 50.0), [0.0, 0.0])
    assert_allclose(area_terms([[0, 0]], [Polygon()], 50.0), [0.0])
    assert area_terms(np.empty((0, 2)), [box(0, 0, 1, 1)], 50.0).shape == (0,)
    assert dissolved([]) == []


def test_what_cannot_be_used_is_refused_in_words() -> None:
    bow = Polygon([(0, 0), (10, 10), (10, 0), (0, 10)])
    with pytest.raises(ValueError, match="area 1 cannot be used: Self-intersection"):
        area_terms([[0, 0]], [box(0, 0, 1, 1), bow], 50.0)
    with pytest.raises(ValueError, match="a length scale"):
        area_terms([[0, 0]], [], np.nan)
    with pytest.raises(ValueError, match="a place is not a finite pair"):
        area_terms([[0, np.nan]], [box(0, 0, 1, 1)], 50.0)
