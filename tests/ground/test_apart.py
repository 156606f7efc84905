"""Tests of the way between two positions, against the ellipsoid."""

from __future__ import annotations

import pytest
from pyproj import Geod

from sitebook.ground.apart import apart_m


@pytest.mark.source(
    item="",
    what="distance of two positions",
    value="within 0.6 % of the geodesic on WGS 84",
    source="GeographicLib as pyproj's Geod",
    mark="computed",
)
@pytest.mark.parametrize(
    ("one", "other"),
    [
        ((-19.4, 48.6), (-19.4, 48.6001)),
        ((-19.4, 48.6), (-19.3998, 48.6)),
        ((179.9999, 10.0), (-179.9999, 10.0)),
        ((0.0, 0.0), (90.0, 0.0)),
    ],
)
def test_against_the_ellipsoid(one: tuple[float, float], other: tuple[float, float]) -> None:
    _, _, geodesic_m = Geod(ellps="WGS84").inv(*one, *other)
    assert apart_m(*one, *other) == pytest.approx(geodesic_m, rel=0.006)


def test_one_spot_is_no_distance() -> None:
    assert apart_m(-19.4, 48.6, -19.4, 48.6) == 0.0
