"""Tests of what must hold for every place that is reviewed, whatever lies round it."""

from __future__ import annotations

from typing import Any

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import box
from shapely.geometry.base import BaseGeometry

from tests.analysis.contamination.test_review import Metres, hazard, review, sprayed, way

KINDS = [
    "landfill",
    "railway",
    "old orchard",
    "managed turf",
    "fuel station",
    "farmland",
    "burnt car",
    "airfield",
]


def _anything(chance: np.random.Generator) -> dict[str, Any]:
    """Make a town by chance: roads, sources and sprayings."""

    def spot() -> BaseGeometry:
        x, y = chance.uniform(-80, 80, 2)
        return box(x, y, x + chance.uniform(1, 60), y + chance.uniform(1, 60))

    classes = ["motorway", "primary", "residential", "service", "footway"]
    lines = [[(float(x), float(y)) for x, y in chance.uniform(-300, 300, (2, 2))] for _ in range(6)]
    return {
        "ways": [way(line, str(chance.choice(classes)), oneway=False) for line in lines],
        "hazards": [hazard(str(chance.choice(KINDS)), spot()) for _ in range(3)],
        "sprayings": [sprayed(spot(), "dicamba", state=str(chance.choice(["done", "planned", "never"])))],
    }


@settings(max_examples=10, deadline=None)
@given(st.integers(0, 100_000))
def test_no_source_added_lowers_a_class(seed: int) -> None:
    chance = np.random.default_rng(seed)
    town, more = _anything(chance), _anything(chance)
    fewer = review([(0, 0)], town["ways"], hazards=town["hazards"], sprayings=town["sprayings"])
    for part in ("ways", "hazards", "sprayings"):
        fuller = {**town, part: [*town[part], *more[part]]}
        found = review([(0, 0)], fuller["ways"], hazards=fuller["hazards"], sprayings=fuller["sprayings"])
        assert (found.place_class or 0) >= (fewer.place_class or 0)
        assert (found.could_be or 0) >= (fewer.could_be or 0)


@settings(max_examples=8, deadline=None)
@given(st.integers(0, 100_000), st.floats(0.0, 30.0), st.floats(0.0, 30.0))
def test_a_wider_position_never_lowers_what_could_be(seed: int, error_m: float, more_m: float) -> None:
    town = _anything(np.random.default_rng(seed))
    ways, others = town["ways"], {key: town[key] for key in ("hazards", "sprayings")}
    narrow = review([(0, 0)], ways, **others, uncertainty_m=error_m)
    wide = review([(0, 0)], ways, **others, uncertainty_m=error_m + more_m)
    assert wide.place_class == narrow.place_class
    assert (wide.could_be or 0) >= (narrow.could_be or 0)


@settings(max_examples=8, deadline=None)
@given(st.integers(0, 100_000))
def test_each_place_has_one_class_that_its_points_make(seed: int) -> None:
    chance = np.random.default_rng(seed)
    town = _anything(chance)
    points: Metres = [(float(x), float(y)) for x, y in chance.uniform(-100, 100, (4, 2))]
    others = {key: town[key] for key in ("hazards", "sprayings")}
    whole = review(points, town["ways"], **others, motor_roads_in_extract=1)
    alone = [review([point], town["ways"], **others, motor_roads_in_extract=1) for point in points]
    assert whole.place_class == max(one.place_class or 0 for one in alone)
    assert whole.could_be == max(one.could_be or 0 for one in alone)
    assert whole.place_class is not None
    assert 0 <= whole.place_class <= (whole.could_be or 0) <= 4
