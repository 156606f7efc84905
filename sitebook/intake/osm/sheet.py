"""Sorts the elements of a map extract into those that are kept and those that are counted."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace

import osmium
from shapely.geometry import LineString, MultiLineString, Point
from shapely.geometry.base import BaseGeometry

from sitebook.intake.cells import CONTROL_SIGNS
from sitebook.intake.osm import tally as reasons
from sitebook.intake.osm.elements import Element, rows_in_shape, shape_for
from sitebook.intake.osm.extent import Seen
from sitebook.intake.osm.shapes import Places, line_of, outline_of_lines, outline_of_ring
from sitebook.intake.osm.tally import Tally
from sitebook.reference.map_tags import Shape, TagRow, rows_that_fit

Entity = osmium.osm.Node | osmium.osm.Way | osmium.osm.Relation

OUTLINE_RELATIONS = frozenset({"multipolygon", "boundary"})


@dataclass(frozen=True)
class Outline:
    """A relation that draws the outline of some ground from several ways."""

    ref: str
    version: int
    tags: Mapping[str, str]
    rows: tuple[TagRow, ...]
    ways: tuple[int, ...]


@dataclass
class Sheet:
    """The extract as far as it has been read."""

    places: Places = field(default_factory=Places)
    seen: Seen = field(default_factory=Seen)
    tally: Tally = field(default_factory=Tally)
    elements: dict[str, Element] = field(default_factory=dict)
    outlines: dict[str, Outline] = field(default_factory=dict)
    member_lines: dict[int, tuple[LineString | None, bool]] = field(default_factory=dict)

    def keep(self, element: Element) -> None:
        """Keep an element, the newest version where the file holds several."""
        before = self.elements.get(element.ref)
        if before is not None:
            self.tally.add(reasons.REPEATED, element.ref)
        if before is None or element.version > before.version:
            self.elements[element.ref] = element


def read_points_and_relations(file: osmium.io.File, sheet: Sheet) -> None:
    """Take the points of an extract and the relations that draw outlines; must come before the ways."""
    for entity in _entities(file, osmium.osm.NODE | osmium.osm.RELATION, sheet):
        if isinstance(entity, osmium.osm.Node):
            _take_node(entity, sheet)
        elif isinstance(entity, osmium.osm.Relation):
            _take_relation(entity, sheet)


def read_ways(file: osmium.io.File, sheet: Sheet) -> None:
    """Take the ways of an extract, whose points are known by now."""
    members = {way for outline in sheet.outlines.values() for way in outline.ways}
    for entity in _entities(file, osmium.osm.WAY, sheet):
        if isinstance(entity, osmium.osm.Way):
            if entity.id in members and not entity.deleted:
                sheet.member_lines[entity.id] = line_of(entity, sheet.places)
            _take_way(entity, sheet)


def _entities(file: osmium.io.File, kinds: osmium.osm.osm_entity_bits, sheet: Sheet) -> Iterator[Entity]:
    with osmium.io.Reader(file, kinds) as reader:
        for entity in osmium.OsmFileIterator(reader, sheet.places.locator):
            if isinstance(entity, Entity):
                _note(entity, sheet.seen)
                yield entity


def _note(entity: Entity, seen: Seen) -> None:
    seen.elements += 1
    seen.newest = max(seen.newest, entity.timestamp)


def _take_node(node: osmium.osm.Node, sheet: Sheet) -> None:
    ref, location = f"node/{node.id}", node.location
    if node.deleted:
        sheet.tally.add(reasons.DELETED, ref)
    elif not location.valid() or location.x == location.y == 0:
        missing = location == osmium.osm.Location()
        sheet.tally.add(reasons.NO_POSITION if missing else reasons.IMPOSSIBLE_POSITION, ref)
    else:
        sheet.seen.bounds.take(location.x, location.y)
        if node.id < 0:
            sheet.places.drawn_by_hand[node.id] = (location.lon, location.lat)
        rows = _rows_or_reason(node, ref, sheet)
        if rows:
            point: dict[Shape, BaseGeometry] = {"point": Point(location.lon, location.lat)}
            _sort(Element(ref, node.version, dict(_pairs(node)), rows, point), sheet)


def _take_way(way: osmium.osm.Way, sheet: Sheet) -> None:
    ref = f"way/{way.id}"
    if way.deleted:
        sheet.tally.add(reasons.DELETED, ref)
        return
    rows = _rows_or_reason(way, ref, sheet)
    if not rows:
        return
    line, cut_off = line_of(way, sheet.places)
    if line is None:
        sheet.tally.add(reasons.TOO_SHORT, ref)
        return
    shapes: dict[Shape, BaseGeometry] = {"line": line}
    mended = False
    may_be_area = way.is_closed() and way.tags.get("area") != "no"
    if may_be_area and not cut_off:
        area, mended = outline_of_ring(line)
        shapes |= {"area": area} if area is not None else {}
    element = Element(ref, way.version, dict(_pairs(way)), rows, shapes, may_be_area and cut_off)
    _sort(element, sheet, cut_off=cut_off, mended=mended)


def _take_relation(relation: osmium.osm.Relation, sheet: Sheet) -> None:
    ref = f"relation/{relation.id}"
    if relation.deleted:
        sheet.tally.add(reasons.DELETED, ref)
    elif relation.tags.get("type") not in OUTLINE_RELATIONS:
        sheet.tally.add(reasons.RELATION_KIND, ref)
    else:
        fitting = _rows_or_reason(relation, ref, sheet)
        rows = tuple(row for row in fitting if "area" in row.shapes)
        if rows:
            ways = tuple(member.ref for member in relation.members if member.type == "w")
            _keep_outline(Outline(ref, relation.version, dict(_pairs(relation)), rows, ways), sheet)
        elif fitting:
            sheet.tally.add(reasons.OTHER_SHAPE, ref)


def _keep_outline(outline: Outline, sheet: Sheet) -> None:
    before = sheet.outlines.get(outline.ref)
    if before is not None:
        sheet.tally.add(reasons.REPEATED, outline.ref)
    if before is None or outline.version > before.version:
        sheet.outlines[outline.ref] = outline


def join_outlines(sheet: Sheet) -> None:
    """Make the outlines of ground whose ways are all known by now."""
    for outline in sheet.outlines.values():
        members = [sheet.member_lines.get(way, (None, True)) for way in dict.fromkeys(outline.ways)]
        lines = [line for line, _ in members if line is not None]
        cut_off = any(missing for _, missing in members)
        area, mended = (None, False) if cut_off or not lines else outline_of_lines(lines)
        shapes: dict[Shape, BaseGeometry] = {}
        if area is not None:
            shapes = {"area": area}
        elif cut_off and lines:
            shapes = {"line": MultiLineString(lines)}
        element = Element(outline.ref, outline.version, outline.tags, outline.rows, shapes, cut_off)
        _sort(element, sheet, cut_off=cut_off, mended=mended)


def _rows_or_reason(entity: Entity, ref: str, sheet: Sheet) -> tuple[TagRow, ...]:
    if not len(entity.tags):
        sheet.tally.add(reasons.NO_TAGS, ref)
        return ()
    tags = dict(_pairs(entity))
    rows = rows_that_fit(tags)
    if not rows:
        square = "highway" in tags and tags.get("area") == "yes"
        sheet.tally.add(reasons.SQUARE if square else reasons.NOT_READ, ref)
    return rows


def _sort(element: Element, sheet: Sheet, *, cut_off: bool = False, mended: bool = False) -> None:
    chosen = rows_in_shape(element.rows, element.shapes, cut_outline=element.cut_outline)
    if chosen:
        sheet.keep(replace(element, rows=chosen))
        _note_flaws(element, chosen, sheet, cut_off=cut_off, mended=mended)
    else:
        wants_area = "point" not in element.shapes and any("area" in row.shapes for row in element.rows)
        no_area = wants_area and "area" not in element.shapes
        sheet.tally.add(reasons.OPEN_OUTLINE if no_area else reasons.OTHER_SHAPE, element.ref)


def _note_flaws(
    element: Element, rows: tuple[TagRow, ...], sheet: Sheet, *, cut_off: bool, mended: bool
) -> None:
    shapes = {shape_for(row, element.shapes, cut_outline=element.cut_outline) for row in rows}
    if cut_off and "line" in shapes:
        outline = element.cut_outline and all("line" not in row.shapes for row in rows)
        sheet.tally.add(reasons.CUT_OUTLINE if outline else reasons.CUT_OFF, element.ref)
    if mended and "area" in shapes:
        sheet.tally.add(reasons.MENDED, element.ref)


def _pairs(entity: Entity) -> Iterator[tuple[str, str]]:
    return ((_printable(tag.k), _printable(tag.v)) for tag in entity.tags)


def _printable(text: str) -> str:
    """Take control signs out, which a terminal would obey and no mapper writes."""
    return text if text.isprintable() else CONTROL_SIGNS.sub("", text)
