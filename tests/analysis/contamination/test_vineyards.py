"""Drift beside the real vineyards of a small country, and how much of its ground lies within it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import osmium
import pytest
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from sitebook.analysis.contamination.sprayings import Told, spray_terms_at
from sitebook.ground.projection import LocalMetres
from sitebook.intake.osm import read_osm
from sitebook.records.results.spray_term import SprayTerm
from tests.analysis.contamination.spraying_made import NO_RAIN, TODAY, spraying

EXTRACT = "osm/liechtenstein.osm.pbf"
FRAME = LocalMetres(9.55, 47.16)
POINTS = 20_000
SEED = 20_260_601
GROUPS = ("vines_late_or_above_50cm", "vines_early")
PUBLISHED = {1: 44.769, 3: 8.02, 5: 3.62, 10: 1.23, 20: 0.42}
"""Drift beside vines in leaf, percent of the rate: the formula at 1 m, the published table beyond."""

Floats = NDArray[np.float64]


@pytest.fixture(scope="module")
def vineyards(shared_file: Callable[[str], Path]) -> list[BaseGeometry]:
    drafts = read_osm(shared_file(EXTRACT)).drafts
    found = [d.values["geom"] for d in drafts if d.kind == "land_cover" and d.values["kind"] == "vineyard"]
    return [shape for shape in found if isinstance(shape, BaseGeometry)]


@pytest.fixture(scope="module")
def country_m(shared_file: Callable[[str], Path]) -> BaseGeometry:
    factory = osmium.geom.WKBFactory()
    wanted = osmium.filter.TagFilter(("admin_level", "2"))
    for found in osmium.FileProcessor(str(shared_file(EXTRACT))).with_areas(wanted):
        if isinstance(found, osmium.osm.Area) and found.tags.get("name") == "Liechtenstein":
            return FRAME.shape_to_metres(shapely.from_wkb(factory.create_multipolygon(found)))
    raise AssertionError("the extract holds no border of the country")


def sprayed(number: int, geom: BaseGeometry, group: str) -> Told:
    """Give the spraying of one vineyard."""
    return Told(
        spraying(geom, id=number, ground=f"Vineyard {number}", method="blower", drift_group=group, geom=geom)
    )


def terms(points_m: Floats, told: list[Told]) -> tuple[tuple[SprayTerm, ...], ...]:
    return spray_terms_at(FRAME.to_degrees(points_m), told, today=TODAY, rain=NO_RAIN)


def drawn_points(country_m: BaseGeometry) -> Floats:
    """Draw points evenly over the country."""
    west, south, east, north = country_m.bounds
    kept = np.empty((0, 2))
    rng = np.random.default_rng(SEED)
    while len(kept) < POINTS:
        drawn = rng.uniform([west, south], [east, north], (POINTS, 2))
        kept = np.vstack([kept, drawn[shapely.contains_xy(country_m, drawn)]])
    return kept[:POINTS]


def shares(country_m: BaseGeometry, vineyards: list[BaseGeometry], group: str) -> dict[str, float]:
    """Give which share of the country's points are sprayed, or get so much drift [%]."""
    told = [sprayed(number, geom, group) for number, geom in enumerate(vineyards, start=1)]
    found = terms(drawn_points(country_m), told)
    inside = [any(term.inside for term in each) for each in found]
    most = np.array([max((t.drift_percent.central for t in each), default=0.0) for each in found])
    floors = np.array([max((term.floor_class for term in each), default=0) for each in found])
    assert (floors == 4).tolist() == inside
    return {
        "inside": float(np.mean(inside)) * 100.0,
        "1 %": float(np.mean(most >= 1.0)) * 100.0,
        "0.1 %": float(np.mean(most >= 0.1)) * 100.0,
        "reach": float(np.mean(floors >= 1)) * 100.0,
    }


@pytest.mark.source(
    item="",
    what="drift told at 1, 3, 5, 10 and 20 m from each of 77 real vineyards in leaf",
    value="44.769; 8.02; 3.62; 1.23; 0.42 % of the rate",
    source="JKI 2010 table of basic drift values, at 1 m the formula of FOCUS 2001; OpenStreetMap vineyards",
    mark="confirmed",
)
def test_drift_beside_each_vineyard(vineyards: list[BaseGeometry]) -> None:
    assert len(vineyards) == 77
    for number, geom in enumerate(vineyards, start=1):
        shape_m = FRAME.shape_to_metres(geom)
        beside = np.array([_beside(shape_m, distance_m) for distance_m in PUBLISHED])
        for (distance_m, percent), (term,) in zip(
            PUBLISHED.items(), terms(beside, [sprayed(number, geom, GROUPS[0])]), strict=True
        ):
            assert term.distance_m == pytest.approx(distance_m, rel=2e-3, abs=1e-3)
            assert term.drift_percent.central == pytest.approx(percent, rel=0.025)
            assert term.floor_class == (3 if percent >= 1.0 else 2)


def _beside(shape_m: BaseGeometry, distance_m: float) -> tuple[float, float]:
    ring = shape_m.buffer(distance_m, quad_segs=64).boundary
    x, y = shapely.get_coordinates(shapely.line_interpolate_point(ring, 0.37, normalized=True))[0]
    return float(x), float(y)


@pytest.mark.source(
    item="",
    what="area of the country's border in the extract",
    value="160 km2",
    source="area of Liechtenstein as commonly given",
    mark="memory",
)
def test_the_country_has_its_size(country_m: BaseGeometry) -> None:
    assert country_m.area / 1e6 == pytest.approx(160.0, rel=0.01)


@pytest.mark.source(
    item="",
    what="share of a country's ground on vineyards, and within their drift of 1 and 0.1 % of the rate",
    value="areas widened by the distances at which the curve has fallen to 1 and 0.1 %",
    source="GEOS buffers of the same 77 vineyards of OpenStreetMap",
    mark="computed",
)
@pytest.mark.parametrize(
    ("group", "factor", "power"), [(GROUPS[0], 44.769, 1.5643), (GROUPS[1], 15.793, 1.6080)]
)
def test_share_of_the_ground_within_drift(
    country_m: BaseGeometry, vineyards: list[BaseGeometry], group: str, factor: float, power: float
) -> None:
    found = shares(country_m, vineyards, group)
    ground_m = shapely.union_all([FRAME.shape_to_metres(geom) for geom in vineyards])
    widths_m = {"inside": 0.0, "reach": 300.0}
    widths_m |= {said: (factor / percent) ** (1 / power) for said, percent in (("1 %", 1.0), ("0.1 %", 0.1))}
    for name, width_m in widths_m.items():
        wide = ground_m.buffer(width_m, quad_segs=32).intersection(country_m).area / country_m.area
        spread = 100.0 * np.sqrt(wide * (1.0 - wide) / POINTS)
        assert found[name] == pytest.approx(100.0 * wide, abs=4.0 * spread)
