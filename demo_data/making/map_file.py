"""A map drawn in metres, written as OSM XML 0.6."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass, field
from xml.sax.saxutils import quoteattr

from demo_data.making.lines import EAST_M, NORTH_M, Line, Point, crossing, foot, lon_lat, point_at

STAMP = 'version="1" timestamp="2025-12-01T12:00:00Z"'
CELL_M = 60.0
NEAR_M = 1.6


@dataclass
class Stroke:
    """One way of the map: a line, or a ring when it ends where it began."""

    points: Line
    tags: dict[str, str]


@dataclass
class Drawing:
    """Everything drawn so far."""

    strokes: list[Stroke] = field(default_factory=list)
    dots: list[tuple[Point, dict[str, str]]] = field(default_factory=list)
    holed: list[tuple[Stroke, Stroke, dict[str, str]]] = field(default_factory=list)

    def draw(self, points: Line, **tags: str) -> Stroke:
        """Add a way; a tag key's colon is written as two underscores."""
        stroke = Stroke(points, {k.replace("__", ":").rstrip("_"): v for k, v in tags.items()})
        self.strokes.append(stroke)
        return stroke

    def dot(self, point: Point, **tags: str) -> None:
        """Add a tagged point."""
        self.dots.append((point, {k.replace("__", ":").rstrip("_"): v for k, v in tags.items()}))

    def with_hole(self, outer: Line, inner: Line, inner_tags: dict[str, str], **tags: str) -> None:
        """Add an area with one hole as a multipolygon."""
        hole = self.draw(inner, **inner_tags)
        self.holed.append((self.draw(outer), hole, {k.rstrip("_"): v for k, v in tags.items()}))


def knot(drawing: Drawing) -> None:
    """Give ways that meet on the ground a common point, and mark where they cross rails."""
    ground = [s for s in drawing.strokes if _on_the_ground(s)]
    cells: dict[tuple[int, int], list[tuple[int, int]]] = {}
    for w, stroke in enumerate(ground):
        for i in range(len(stroke.points) - 1):
            for cell in _cells_of(stroke.points[i], stroke.points[i + 1]):
                cells.setdefault(cell, []).append((w, i))
    added: list[set[Point]] = [set() for _ in ground]
    for members in cells.values():
        for m, (w, i) in enumerate(members):
            for v, j in members[m + 1 :]:
                if w != v:
                    _meet(drawing, ground, added, (w, i), (v, j))
    for stroke, new in zip(ground, added, strict=True):
        stroke.points = _with(stroke.points, new)
    _merge(drawing)


def reach_roads(drawing: Drawing) -> None:
    """Lead loose ends of tracks and paths, and of streets that stop just short, on to the next road."""
    roads = [s for s in drawing.strokes if "highway" in s.tags and "bridge" not in s.tags]
    for stroke in roads:
        kind = stroke.tags["highway"]
        far_m = 12.0 if kind == "residential" else 40.0
        if kind in {"primary", "secondary", "tertiary"} or stroke.tags.get("service") == "driveway":
            continue
        for first in (True, False):
            end = stroke.points[0 if first else -1]
            nearest = min((foot(s.points, end)[1], i) for i, s in enumerate(roads) if s is not stroke)
            if 0.5 < nearest[0] < far_m:
                line = roads[nearest[1]].points
                stroke.points.insert(0 if first else len(stroke.points), point_at(line, foot(line, end)[0]))


def _on_the_ground(stroke: Stroke) -> bool:
    rail = stroke.tags.get("railway") in {"rail", "abandoned"}
    return ("highway" in stroke.tags or rail) and "bridge" not in stroke.tags


def _cells_of(p: Point, q: Point) -> set[tuple[int, int]]:
    x0, x1 = sorted((math.floor(p[0] / CELL_M), math.floor(q[0] / CELL_M)))
    y0, y1 = sorted((math.floor(p[1] / CELL_M), math.floor(q[1] / CELL_M)))
    return {(x, y) for x in range(x0, x1 + 1) for y in range(y0, y1 + 1)}


def _meet(
    drawing: Drawing, ground: list[Stroke], added: list[set[Point]], a: tuple[int, int], b: tuple[int, int]
) -> None:
    (w, i), (v, j) = a, b
    one, two = ground[w].points[i : i + 2], ground[v].points[j : j + 2]
    touching = [(p, v) for p in (ground[w].points[0], ground[w].points[-1]) if foot(two, p)[1] < 1.5]
    touching += [(p, w) for p in (ground[v].points[0], ground[v].points[-1]) if foot(one, p)[1] < 1.5]
    for p, into in touching:
        added[into].add(_tidy(p))
    spot = None if touching else crossing(*one, *two)
    if spot is None:
        return
    added[w].add(_tidy(spot))
    added[v].add(_tidy(spot))
    rails = [s for s in (ground[w], ground[v]) if s.tags.get("railway") == "rail"]
    if len(rails) == 1:
        road = ground[v] if rails[0] is ground[w] else ground[w]
        on_foot = road.tags.get("highway") in {"footway", "path"}
        drawing.dots.append((_tidy(spot), {"railway": "crossing" if on_foot else "level_crossing"}))


def _tidy(point: Point) -> Point:
    return round(point[0], 1), round(point[1], 1)


def _with(points: Line, new: set[Point]) -> Line:
    merged = list(points)
    for p in sorted(new):
        if any(math.dist(p, q) < 0.3 for q in merged):
            continue
        legs = [foot([a, b], p)[1] for a, b in itertools.pairwise(merged)]
        merged.insert(legs.index(min(legs)) + 1, p)
    return merged


def _merge(drawing: Drawing) -> None:
    """Make one point of points of roads and rails that lie closer than a metre or so."""
    kept: dict[tuple[int, int], Line] = {}

    def settled(point: Point) -> Point:
        x, y = math.floor(point[0] / NEAR_M), math.floor(point[1] / NEAR_M)
        around = [q for i in (x - 1, x, x + 1) for j in (y - 1, y, y + 1) for q in kept.get((i, j), [])]
        near = min(around, key=lambda q: math.dist(point, q), default=None)
        if near is not None and math.dist(point, near) < NEAR_M:
            return near
        kept.setdefault((x, y), []).append(point)
        return point

    for stroke in drawing.strokes:
        if "highway" in stroke.tags or "railway" in stroke.tags:
            stroke.points = [settled(_tidy(p)) for p in stroke.points]
    crossings = {"crossing", "level_crossing"}
    drawing.dots = [(settled(p) if tags.get("railway") in crossings else p, tags) for p, tags in drawing.dots]


class _Nodes:
    """Points by their place, each with one id."""

    def __init__(self) -> None:
        self.ids: dict[Point, int] = {}
        self.tags: dict[int, dict[str, str]] = {}

    def id_of(self, point: Point) -> int:
        x, y = min(max(point[0], -EAST_M), EAST_M), min(max(point[1], -NORTH_M), NORTH_M)
        return self.ids.setdefault(_tidy((x, y)), 100_001 + len(self.ids))


def osm_xml(drawing: Drawing) -> str:
    """Write the map as OSM XML."""
    nodes, body = _Nodes(), []
    numbers = {id(s): 200_001 + i for i, s in enumerate(drawing.strokes)}
    for point, tags in drawing.dots:
        nodes.tags.setdefault(nodes.id_of(point), {}).update(tags)
    for stroke in drawing.strokes:
        refs = _without_repeats([nodes.id_of(p) for p in stroke.points])
        body.append(f' <way id="{numbers[id(stroke)]}" {STAMP}>')
        body.extend(f'  <nd ref="{ref}"/>' for ref in refs)
        body.extend([*_tag_lines(stroke.tags), " </way>"])
    for i, (outer, inner, tags) in enumerate(drawing.holed):
        body.append(f' <relation id="{300_001 + i}" {STAMP}>')
        body.append(f'  <member type="way" ref="{numbers[id(outer)]}" role="outer"/>')
        body.append(f'  <member type="way" ref="{numbers[id(inner)]}" role="inner"/>')
        body.extend([*_tag_lines({"type": "multipolygon", **tags}), " </relation>"])
    return "\n".join([*_head(), *_node_lines(nodes), *body, "</osm>"]) + "\n"


def _head() -> list[str]:
    west, south = lon_lat((-EAST_M, -NORTH_M))
    east, north = lon_lat((EAST_M, NORTH_M))
    words = 'generator="invented for the demo" attribution="invented for the demo: Vennaray is no real place"'
    bounds = f' <bounds minlat="{south:.6f}" minlon="{west:.6f}" maxlat="{north:.6f}" maxlon="{east:.6f}"/>'
    return ['<?xml version="1.0" encoding="UTF-8"?>', f'<osm version="0.6" {words}>', bounds]


def _node_lines(nodes: _Nodes) -> list[str]:
    lines = []
    for point, ref in nodes.ids.items():
        lon, lat = lon_lat(point)
        head = f' <node id="{ref}" {STAMP} lat="{lat:.6f}" lon="{lon:.6f}"'
        tags = nodes.tags.get(ref, {})
        lines.extend([head + ">", *_tag_lines(tags), " </node>"] if tags else [head + "/>"])
    return lines


def _without_repeats(refs: list[int]) -> list[int]:
    return [r for i, r in enumerate(refs) if i == 0 or r != refs[i - 1]]


def _tag_lines(tags: dict[str, str]) -> list[str]:
    return [f"    <tag k={quoteattr(k)} v={quoteattr(v)}/>" for k, v in tags.items()]
