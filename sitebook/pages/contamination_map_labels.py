"""Writes names of roads, letters of ground and tags of trees onto the small map where there is room."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import shapely
from markupsafe import escape
from shapely.geometry.base import BaseGeometry

from sitebook.pages.label_room import Box, Room, text_width
from sitebook.pages.svg_shapes import tidy

TEXT = 13.0
MOST_NAMES = 8
PLACES_ALONG = (0.5, 0.35, 0.65, 0.22, 0.78)
"""Where along a road its name is tried, as shares of its length."""


def ground_letter(room: Room, letter: str, shape: BaseGeometry) -> str:
    """Write the letter of a piece of ground within it, in a small box of its own."""
    seen = shape.intersection(shapely.box(0.0, 0.0, room.wide, room.high))
    if seen.is_empty:
        return ""
    at = shapely.point_on_surface(seen)
    wide = text_width(letter, TEXT) + 8.0
    tries = [(0.0, 0.0), (0.0, -22.0), (0.0, 22.0), (24.0, 0.0), (-24.0, 0.0)]
    kept_in = [
        (
            min(max(float(at.x) + east, wide / 2.0 + 2.0), room.wide - wide / 2.0 - 2.0),
            min(max(float(at.y) + south, 11.0), room.high - 11.0),
        )
        for east, south in tries
    ]
    box = room.first_free(Box(x, y, wide, 18.0) for x, y in kept_in)
    if box is None:
        return ""
    left, top = tidy(box.x - wide / 2.0), tidy(box.y - 9.0)
    return (
        f'<rect class="letter" x="{left}" y="{top}" width="{tidy(wide)}" height="18" rx="2"/>'
        f'<text x="{tidy(box.x)}" y="{tidy(box.y + 4.7)}" text-anchor="middle" '
        f'font-weight="700">{letter}</text>'
    )


def tree_tags(room: Room, trees: Sequence[tuple[str, float, float]]) -> Iterator[str]:
    """Draw each tree as a lozenge, with its tag beside it where there is room."""
    for _, x, y in trees:
        room.take(Box(x, y, 9.0, 9.0))
        yield f'<path class="tree" d="M{tidy(x)} {tidy(y - 6)}l5.5 6l-5.5 6l-5.5 -6z"/>'
    for tag, x, y in trees:
        wide = text_width(tag, TEXT)
        away = wide / 2.0 + 8.0
        around = ((away, 0.0), (-away, 0.0), (0.0, -14.0), (0.0, 14.0))
        box = room.first_free(Box(x + east, y + south, wide, 13.0) for east, south in around)
        if box is not None:
            yield (
                f'<text class="name" x="{tidy(box.x)}" y="{tidy(box.y + 4.5)}" '
                f'text-anchor="middle">{escape(tag)}</text>'
            )


def road_names(room: Room, roads: Sequence[tuple[str, BaseGeometry]]) -> Iterator[str]:
    """Write the names of the longest roads along them."""
    longest: dict[str, shapely.LineString] = {}
    for name, shape in roads:
        inside = shape.intersection(shapely.box(0.0, 0.0, room.wide, room.high))
        for part in shapely.get_parts(inside):
            is_line = isinstance(part, shapely.LineString)
            if is_line and (name not in longest or part.length > longest[name].length):
                longest[name] = part
    ordered = sorted(longest.items(), key=lambda pair: (-pair[1].length, pair[0]))
    for name, line in ordered[:MOST_NAMES]:
        yield _along(room, name, line)


def _along(room: Room, name: str, line: shapely.LineString) -> str:
    """Write one name along its road; nothing where the road is too short or no room is left."""
    wide = text_width(name, TEXT)
    if not name or line.length < wide + 6.0:
        return ""
    for share in PLACES_ALONG:
        middle = line.interpolate(share, normalized=True)
        reach = min(wide / 2.0 / line.length, share, 1.0 - share)
        first, last = (line.interpolate(share + side * reach, normalized=True) for side in (-1, 1))
        slope = _upright(math.degrees(math.atan2(last.y - first.y, last.x - first.x)))
        if room.first_free([_turned(middle.x, middle.y, wide, slope)]) is not None:
            x, y = tidy(middle.x), tidy(middle.y + 4.5)
            turn = f"rotate({tidy(slope)} {x} {tidy(middle.y)})"
            place = f'x="{x}" y="{y}" transform="{turn}" text-anchor="middle"'
            return f'<text class="name" {place}>{escape(name)}</text>'
    return ""


def _upright(degrees: float) -> float:
    """Turn writing so that it never stands on its head."""
    return degrees - 180.0 if degrees > 90.0 else degrees + 180.0 if degrees < -90.0 else degrees


def _turned(x: float, y: float, wide: float, degrees: float) -> Box:
    """Give the upright box round a turned line of writing."""
    cosine, sine = abs(math.cos(math.radians(degrees))), abs(math.sin(math.radians(degrees)))
    return Box(x, y, wide * cosine + TEXT * sine, wide * sine + TEXT * cosine)
