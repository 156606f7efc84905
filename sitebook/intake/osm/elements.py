"""Turns one located map element into the rows it becomes."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from sitebook.intake.osm.attributes import name_of, raw_tags, tree_values, way_values
from sitebook.records.incoming import Draft
from sitebook.reference.map_tags import Shape, TagRow

BEST_SHAPE_FIRST: tuple[Shape, ...] = ("area", "line", "point")


@dataclass(frozen=True)
class Element:
    """One element of a map extract, located.

    Parameters
    ----------
    ref
        As way/123.
    version
        Number of its version, 0 where the file holds none.
    tags
        All its tags.
    rows
        Rows of the table of map tags that it meets in one of its shapes.
    shapes
        Its geometries, WGS 84; a closed way may be line and area at once.
    cut_outline
        Whether its line is the part of an outline that lies inside the extract.
    """

    ref: str
    version: int
    tags: Mapping[str, str]
    rows: tuple[TagRow, ...]
    shapes: Mapping[Shape, BaseGeometry]
    cut_outline: bool = False


@dataclass(frozen=True)
class Origin:
    """The extract that rows are made from: its draft's identity and the day of its data."""

    identity: str
    data_date: datetime.date | None


def shape_for(row: TagRow, shapes: Iterable[Shape], *, cut_outline: bool = False) -> Shape | None:
    """Choose the shape in which an element is taken for a row, or None where it has none of the row's.

    A hazard whose outline is cut off by the edge of the extract is taken as the line that is left of it:
    a hazard half known is told, where a wood half known is not drawn.
    """
    there = set(shapes)
    found = next((s for s in BEST_SHAPE_FIRST if s in row.shapes and s in there), None)
    half_known = cut_outline and "line" in there and row.lands_in == "hazard" and "area" in row.shapes
    return "line" if found is None and half_known else found


def rows_in_shape(
    rows: tuple[TagRow, ...], shapes: Iterable[Shape], *, cut_outline: bool = False
) -> tuple[TagRow, ...]:
    """Choose what an element becomes: one row of a table, or of a hazard kind, and that the first one."""
    chosen: dict[tuple[str, str], TagRow] = {}
    for row in rows:
        if shape_for(row, shapes, cut_outline=cut_outline):
            kind = row.kind if row.lands_in == "hazard" else ""
            chosen.setdefault((row.lands_in, kind), row)
    return tuple(chosen.values())


def drafts_of(element: Element, origin: Origin) -> Iterator[Draft]:
    """Make the rows of one element, in the order of the table of map tags."""
    shared = {
        "osm_ref": element.ref,
        "valid_from": origin.data_date,
        "valid_to": None,
        "raw_tags": raw_tags(element.tags),
    }
    refers = {"extract_id": origin.identity}
    for row in element.rows:
        own, kind = _own_values(element, row, origin), row.kind
        identity = f"osm:{element.ref}" + (f":{kind}" if row.lands_in == "hazard" else "")
        yield Draft(row.lands_in, identity, own | shared, refers)


def _own_values(element: Element, row: TagRow, origin: Origin) -> dict[str, object]:
    geom = _geometry(element, row)
    if row.lands_in == "way":
        return way_values(element.tags, row.kind) | {"geom": geom}
    if row.lands_in == "mapped_tree":
        return tree_values(element.tags) | {"geom": geom}
    named: dict[str, object] = {"kind": row.kind, "name": name_of(element.tags), "geom": geom}
    if row.lands_in == "hazard":
        return named | {
            "origin": "extract",
            "standing": "told",
            "past_use": row.past_use or None,
            "data_date": origin.data_date,
            "source": f"map element {element.ref}",
        }
    return named


def _geometry(element: Element, row: TagRow) -> BaseGeometry:
    shape = shape_for(row, element.shapes, cut_outline=element.cut_outline)
    if shape is None:
        raise ValueError(f"{element.ref} has no shape of the row {row.key}={row.value}")
    found = element.shapes[shape]
    return shapely.point_on_surface(found) if row.lands_in == "map_point" else found
