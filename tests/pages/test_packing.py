"""Tests that packed shapes come back where they were."""

from __future__ import annotations

import numpy as np
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry.base import BaseGeometry

from sitebook.pages.packing import STEPS_PER_DEGREE, packed, unpacked

LON = st.floats(-180, 180, allow_nan=False)
LAT = st.floats(-85, 85, allow_nan=False)
SPOT = st.tuples(LON, LAT)
LINE = st.lists(SPOT, min_size=2, max_size=8).map(shapely.LineString)
AREA = SPOT.map(lambda at: shapely.Point(at).buffer(0.01).difference(shapely.Point(at).buffer(0.004)))
SHAPE = st.one_of(
    SPOT.map(shapely.Point),
    LINE,
    AREA,
    st.lists(LINE, min_size=1, max_size=3).map(shapely.MultiLineString),
    st.lists(st.one_of(LINE, AREA), min_size=1, max_size=3).map(shapely.GeometryCollection),
)


def runs_of(shape: BaseGeometry) -> list[np.ndarray]:
    """Take a shape apart by hand: its lines, rings and points, lines before rings."""
    pieces = list(shape.geoms) if hasattr(shape, "geoms") else [shape]
    rings = [ring for p in pieces if isinstance(p, shapely.Polygon) for ring in (p.exterior, *p.interiors)]
    plain = [p for p in pieces if not isinstance(p, shapely.Polygon)]
    return [shapely.get_coordinates(run) for run in (*plain, *rings)]


@given(st.lists(SHAPE, max_size=6))
def test_positions_move_by_half_a_step_at_most(shapes: list[BaseGeometry]) -> None:
    back = unpacked(packed(shapes))
    assert len(back) == len(shapes)
    for shape, runs in zip(shapes, back, strict=True):
        wanted = runs_of(shape)
        assert [len(run) for run in runs] == [len(run) for run in wanted]
        for run, other in zip(runs, wanted, strict=True):
            assert np.max(np.abs(run - other)) <= 0.5 / STEPS_PER_DEGREE + 1e-12


def test_nothing_packs_to_nothing() -> None:
    assert packed([]) == {"parts": [], "counts": [], "xy": []}
    assert unpacked(packed([])) == []


def test_an_empty_shape_keeps_its_place() -> None:
    runs = packed([shapely.Point(1, 2), shapely.LineString(), shapely.Point(3, 4)])
    assert len(runs["parts"]) == 3
    back = unpacked(runs)
    assert back[2][0].tolist() == [[3.0, 4.0]]
