"""Tests that a shape is cut at the 180th meridian, and left alone where it does not run over it."""

from __future__ import annotations

import pytest
import shapely
from hypothesis import example, given
from hypothesis import strategies as st
from shapely.geometry.base import BaseGeometry

from sitebook.outgo.seam import cut_at_seam


@pytest.mark.source(
    item="",
    what="a line from 170 E 45 N to 170 W 45 N is cut into two that meet the meridian",
    value="[[[170.0, 45.0], [180.0, 45.0]], [[-180.0, 45.0], [-170.0, 45.0]]]",
    source="RFC 7946, section 3.1.9, first example",
    mark="memory",
)
def test_the_line_of_the_standard() -> None:
    cut = cut_at_seam(shapely.LineString([(170, 45), (-170, 45)]))
    lines = sorted(shapely.get_coordinates(line).tolist() for line in cut.geoms)  # type: ignore[attr-defined]
    assert lines == [[[-180.0, 45.0], [-170.0, 45.0]], [[170.0, 45.0], [180.0, 45.0]]]


@pytest.mark.source(
    item="",
    what="a polygon from 170 E to 170 W between 40 N and 50 N is cut into two",
    value="[180, 40] to [170, 50], and [-170, 40] to [-180, 50]",
    source="RFC 7946, section 3.1.9, second example",
    mark="memory",
)
def test_the_polygon_of_the_standard() -> None:
    cut = cut_at_seam(shapely.Polygon([(170, 40), (-170, 40), (-170, 50), (170, 50)]))
    assert cut.equals(shapely.MultiPolygon([shapely.box(170, 40, 180, 50), shapely.box(-180, 40, -170, 50)]))


def test_a_hole_is_cut_too() -> None:
    ring = [(179, 0), (-179, 0), (-179, 2), (179, 2)]
    hole = [(-179.8, 0.5), (-179.2, 0.5), (-179.2, 1.5), (-179.8, 1.5)]
    cut = cut_at_seam(shapely.Polygon(ring, [hole]))
    assert cut.area == pytest.approx(4.0 - 0.6)
    assert not cut.contains(shapely.Point(-179.5, 1.0))


@pytest.mark.parametrize(
    "shape",
    [
        shapely.Point(179.9, 1),
        shapely.box(-19.4, 48.6, -19.3, 48.7),
        shapely.LineString([(-179, 1), (-178, 1)]),
        shapely.MultiPolygon([shapely.box(0, 0, 1, 1), shapely.box(2, 0, 3, 1)]),
    ],
)
def test_what_does_not_run_over_it_is_the_same(shape: BaseGeometry) -> None:
    assert cut_at_seam(shape) is shape


@example(0.001, 6.5302941e-316, 0.001, 5.0)
@example(0.5, 2.5e-323, 0.001, 5.0)
@example(0.27032691580997154, 2.330717617534101e-308, 1.0213169224745478, 2.682405581520862)
@given(st.floats(0.001, 20.0), st.floats(-80.0, 70.0), st.floats(0.001, 20.0), st.floats(0.001, 5.0))
def test_cutting_keeps_the_area(west: float, south: float, east: float, height: float) -> None:
    ring = [
        (180 - west, south),
        (-180 + east, south),
        (-180 + east, south + height),
        (180 - west, south + height),
    ]
    cut = cut_at_seam(shapely.Polygon(ring))
    assert cut.area == pytest.approx((west + east) * height)
    assert cut.bounds[0] == -180.0
    assert cut.bounds[2] == 180.0
