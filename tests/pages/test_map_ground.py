"""Tests that every kind of ground, way and hazard has a layer."""

from __future__ import annotations

import shapely

from sitebook.pages.map_ground import FAINT_HAZARDS, GROUND_LAYERS, WAY_LAYERS, ground_layers, kinds_of
from sitebook.pages.packing import unpacked
from sitebook.records.results.map_view import GroundMap, GroundShape
from sitebook.reference.map_tags import hazard_kinds
from tests.pages.sample_town import town

SQUARE = shapely.box(-19.401, 48.6, -19.4, 48.601)
LINE = shapely.LineString([(-19.401, 48.6), (-19.4, 48.601)])


def styles(ground: GroundMap) -> list[object]:
    return [layer["style"] for layer in ground_layers(ground)]


def test_layers_come_in_the_order_they_are_drawn() -> None:
    assert styles(town()) == [
        *("covered", "land", "built", "grass", "wood", "water"),
        *("path", "lane", "street", "main"),
        *("hazard-area-faint", "hazard-area", "hazard-line", "hazard-point"),
    ]


def test_unknown_kinds_are_drawn_too() -> None:
    ground = GroundMap(ways=(GroundShape("via", "", LINE),), land=(GroundShape("moor", "", SQUARE),))
    assert styles(ground) == ["built", "path"]


def test_a_hazard_is_known_by_its_key_and_by_its_title() -> None:
    kinds = hazard_kinds()
    assert kinds.keys() >= FAINT_HAZARDS
    for kind in ("managed turf", kinds["managed turf"].title):
        assert styles(GroundMap(hazards=(GroundShape(kind, "", SQUARE),))) == ["hazard-area-faint"]
    assert styles(GroundMap(hazards=(GroundShape("landfill", "", SQUARE),))) == ["hazard-area"]


def test_names_and_places_go_with_their_shapes() -> None:
    shapes = (GroundShape("primary", "", shapely.LineString()), GroundShape("primary", "Through Road", LINE))
    (layer,) = ground_layers(GroundMap(ways=shapes))
    assert layer["names"] == ["Through Road"]
    runs = unpacked({"parts": layer["parts"], "counts": layer["counts"], "xy": layer["xy"]})  # type: ignore[dict-item]
    assert runs[0][0].tolist() == [list(spot) for spot in LINE.coords]


def test_no_kind_lies_in_two_layers() -> None:
    for layers in (GROUND_LAYERS, WAY_LAYERS):
        kinds = [kind for layer in layers.values() for kind in layer]
        assert len(kinds) == len(set(kinds))


def test_kinds_are_named_once() -> None:
    shapes = [GroundShape(kind, "", SQUARE) for kind in ("railway", "landfill", "railway")]
    assert kinds_of(shapes) == ["landfill", "railway"]
