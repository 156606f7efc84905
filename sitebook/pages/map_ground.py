"""Sorts the shapes below the marks into the layers a map page draws."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from functools import cache
from typing import Final

from sitebook.pages.packing import Packed, packed
from sitebook.records.results.map_view import GroundMap, GroundShape
from sitebook.reference.map_tags import hazard_kinds

Layer = dict[str, object]

GROUND_LAYERS: Final[dict[str, tuple[str, ...]]] = {
    "land": ("land",),
    "built": (),
    "grass": (
        *("grass", "park", "golf", "pitch", "cemetery", "school ground", "allotments", "orchard", "vineyard"),
        *("nursery", "farmland", "heath", "scrub"),
    ),
    "wood": ("wood",),
    "water": ("water", "wetland"),
}
"""Layers of ground from the lowest up, with the kinds drawn in each; any other is built ground."""

WAY_LAYERS: Final[dict[str, tuple[str, ...]]] = {
    "path": (),
    "lane": ("service", "residential", "living_street", "unclassified", "road", "busway"),
    "street": ("tertiary", "tertiary_link", "secondary", "secondary_link"),
    "main": ("primary", "primary_link", "trunk", "trunk_link", "motorway", "motorway_link"),
}
"""Layers of ways from the lowest up, with the highway tags drawn in each; any other is a path."""

FAINT_HAZARDS: Final[frozenset[str]] = frozenset(
    {"managed turf", "parking", "farmland", "river", "wetland", "waste containers", "fire place", "dog place"}
    | {"old house", "allotments"}
)
"""Kinds of hazard so common in a town that a hatch of each would hide the map: an outline shows them."""


def ground_layers(ground: GroundMap) -> list[Layer]:
    """Pack the ground into layers in the order they are drawn.

    Returns
    -------
    list of dict
        Each with `style`, packed runs, and `names`: a name of each shape, empty where it has none.
    """
    land = sorted_into(ground.land, GROUND_LAYERS, "built")
    ways = sorted_into(ground.ways, WAY_LAYERS, "path")
    covered = (GroundShape("covered", "", ground.covered),) if ground.covered is not None else ()
    layers = [_layer("covered", covered, _name)] if covered else []
    layers += [_layer(name, land[name], _name) for name in GROUND_LAYERS if land[name]]
    layers += [_layer(name, ways[name], _name) for name in WAY_LAYERS if ways[name]]
    return layers + hazard_layers(ground.hazards)


def hazard_layers(hazards: Sequence[GroundShape]) -> list[Layer]:
    """Pack hazards by what they are to the eye: areas, lines and points, the common ones apart."""
    by_look: dict[str, list[GroundShape]] = defaultdict(list)
    for hazard in hazards:
        by_look[_look(hazard)].append(hazard)
    looks = (f"hazard-{shape}{faint}" for faint in ("-faint", "") for shape in ("area", "line", "point"))
    return [_layer(look, by_look[look], _kind) for look in looks if by_look[look]]


def kinds_of(hazards: Iterable[GroundShape]) -> list[str]:
    """Give each kind of hazard once, in the order of the alphabet."""
    return sorted({hazard.kind for hazard in hazards})


@cache
def _faint_words() -> frozenset[str]:
    """Give the common kinds by their key and by their title."""
    kinds = hazard_kinds()
    return FAINT_HAZARDS | {kinds[key].title for key in FAINT_HAZARDS & kinds.keys()}


def sorted_into(
    shapes: Iterable[GroundShape], layers: dict[str, tuple[str, ...]], other: str
) -> dict[str, list[GroundShape]]:
    """Sort shapes into layers by kind; kinds of no layer go to `other`."""
    layer_of = {kind: name for name, kinds in layers.items() for kind in kinds}
    found: dict[str, list[GroundShape]] = defaultdict(list)
    for shape in shapes:
        found[layer_of.get(shape.kind, other)].append(shape)
    return found


def _look(hazard: GroundShape) -> str:
    """Say whether a hazard is drawn as an area, a line or a point."""
    dimension = {"Polygon": "area", "MultiPolygon": "area", "LineString": "line", "MultiLineString": "line"}
    faint = "-faint" if hazard.kind in _faint_words() else ""
    return f"hazard-{dimension.get(hazard.geom.geom_type, 'point')}{faint}"


def _layer(style: str, shapes: Sequence[GroundShape], named: Callable[[GroundShape], str]) -> Layer:
    """Pack one layer; empty shapes are left out."""
    drawn = [shape for shape in shapes if not shape.geom.is_empty]
    runs: Packed = packed([shape.geom for shape in drawn])
    return {"style": style, "names": [named(shape) for shape in drawn], **runs}


def _name(shape: GroundShape) -> str:
    """Give the name to write on the map."""
    return shape.name


def _kind(hazard: GroundShape) -> str:
    """Give the kind to write on the map; its name stands there for the ground already."""
    return hazard.kind
