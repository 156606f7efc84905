"""Tests of the ground that sources of pollution take up."""

from __future__ import annotations

import math

import pytest
import shapely
from shapely import GeometryCollection, LineString, MultiPoint, Point, box

from sitebook.analysis.contamination.hazard_ground import disc, extents, ground_m
from sitebook.reference.map_tags import hazard_kinds


def test_every_kind_has_its_extent() -> None:
    assert set(extents()) == set(hazard_kinds())
    numbers = [n for e in extents().values() for n in (e.point_radius_m, e.line_half_width_m)]
    assert all(number.value > 0 and number.mark == "our choice" for number in numbers)


@pytest.mark.source(
    item="",
    what="ground of a disc of 20 m",
    value="pi times 400 m2",
    source="area of a circle",
    mark="computed",
)
def test_a_disc_covers_as_much_ground_as_its_circle() -> None:
    assert disc(100.0, -50.0, 20.0).area == pytest.approx(math.pi * 400.0, rel=1e-12)


def test_a_collection_is_the_union_of_its_parts() -> None:
    extent = extents()["railway"]
    mixed = GeometryCollection([Point(0, 0), LineString([(100, 0), (200, 0)]), box(300, 0, 310, 10)])
    ground = ground_m(mixed, extent)
    assert len(shapely.get_parts(ground)) == 3
    assert ground.area == pytest.approx(math.pi * 25 + 500 + math.pi * 6.25 + 100, rel=0.01)
    twice = ground_m(MultiPoint([(0, 0), (0, 0)]), extent)
    assert twice.area == pytest.approx(math.pi * 25)


def test_only_the_outline_of_a_house_counts() -> None:
    ground = ground_m(box(0, 0, 20, 10), extents()["old house"])
    assert not ground.contains(Point(10, 5))
    assert ground.covers(Point(20.5, 5))
