"""Places the numbers, times and signs of a planned day on its map, so that none hides another."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

import shapely
from markupsafe import Markup, escape
from shapely.geometry.base import BaseGeometry

from sitebook.pages.label_room import Box, Room, text_width
from sitebook.pages.svg_shapes import tidy

TEXT = 13.0
PIN = 12.0
"""Radius of the disc of a stop."""

CHEVRON_EVERY = 150.0
"""A way bears one sign of its direction for each such piece [drawing units]."""

LEAST_FOR_CHEVRON = 34.0
BOLD = 1.14
"""How much wider bold writing is than usual."""


@dataclass(frozen=True)
class Mark:
    """One place on the map of a day.

    Parameters
    ----------
    kind
        "gather" and "look" for stops, "end" for start and end, "left" for a place left out.
    sign
        Number of the stop, or letter of a place left out.
    x, y
        Where, in drawing units.
    said
        Beside it, the fullest wording first; a later one is taken where the first has no room.
    link
        Anchor on the page; "" for none.
    """

    kind: Literal["gather", "look", "end", "left"]
    sign: str
    x: float
    y: float
    said: tuple[str, ...]
    link: str = ""


def marks_svg(marks: Sequence[Mark], ways: Sequence[BaseGeometry], scale: float, room: Room) -> Markup:
    """Draw all signs of a day.

    Parameters
    ----------
    marks
        Places, the weightiest first: they are given room in this order.
    ways
        Ways between them in their order, in drawing units, for the signs of direction.
    scale
        How much larger than usual signs are drawn, for small screens.
    room
        What is taken on the drawing already; signs and words are added to it.
    """
    pins = [_placed(mark, room, scale) for mark in marks]
    labels = [_label(mark, box, room, scale) for mark, box in zip(marks, pins, strict=True)]
    parts = [*_chevrons(ways, room, scale)]
    parts += [_leader(mark, box) for mark, box in zip(marks, pins, strict=True)]
    parts += labels
    parts += [_pin(mark, box, scale) for mark, box in zip(marks, pins, strict=True)]
    return Markup("".join(parts))  # noqa: S704 (numbers, and words that were escaped)


def _radius(mark: Mark, scale: float) -> float:
    return scale * (PIN if mark.kind in {"gather", "look"} else PIN * 0.75)


def _placed(mark: Mark, room: Room, scale: float) -> Box:
    """Give a sign its place: the true one, or one beside it where another sign lies there."""
    side = 2.0 * _radius(mark, scale) + 2.0
    away = [(0.0, 0.0)] + [
        (far * math.sin(turn), -far * math.cos(turn))
        for far in (side * 0.75, side * 1.2, side * 1.8)
        for turn in (math.pi / 4.0 * step for step in range(8))
    ]
    found = room.first_free(Box(mark.x + east, mark.y + south, side, side) for east, south in away)
    return found or Box(mark.x, mark.y, side, side)


def _leader(mark: Mark, box: Box) -> str:
    """Draw a line from a sign that had to move to its true place."""
    if math.hypot(box.x - mark.x, box.y - mark.y) < 1.0:
        return ""
    line = f"M{tidy(mark.x)} {tidy(mark.y)}L{tidy(box.x)} {tidy(box.y)}"
    dot = f'<circle class="spot" cx="{tidy(mark.x)}" cy="{tidy(mark.y)}" r="3"/>'
    return f'<path class="leader" d="{line}"/>{dot}'


def _pin(mark: Mark, box: Box, scale: float) -> str:
    x, y, radius = tidy(box.x), tidy(box.y), _radius(mark, scale)
    if mark.kind == "end":
        side = tidy(2.0 * radius)
        left, top = tidy(box.x - radius), tidy(box.y - radius)
        shape = f'<rect class="pin end" x="{left}" y="{top}" width="{side}" height="{side}"/>'
    else:
        shape = f'<circle class="pin {mark.kind}" cx="{x}" cy="{y}" r="{tidy(radius)}"/>'
    size = tidy(scale * (TEXT if mark.kind in {"gather", "look"} else TEXT - 2.0))
    down = tidy(box.y + scale * 4.6)
    sign = (
        f'<text class="sign {mark.kind}" x="{x}" y="{down}" text-anchor="middle" '
        f'font-size="{size}">{escape(mark.sign)}</text>'
    )
    return f'<a href="#{escape(mark.link)}">{shape}{sign}</a>' if mark.link else shape + sign


def _label(mark: Mark, box: Box, room: Room, scale: float) -> str:
    """Write what is said of a place beside its sign, on the first side that has room."""
    for said in mark.said:
        wide, high = BOLD * text_width(said, TEXT * scale), TEXT * scale + 2.0
        east, south = _radius(mark, scale) + wide / 2.0 + 4.0, _radius(mark, scale) + high / 2.0 + 2.0
        around = ((east, 0.0), (-east, 0.0), (0.0, -south), (0.0, south), (east, -south), (east, south))
        found = room.first_free(Box(box.x + right, box.y + down, wide, high) for right, down in around)
        if found is not None:
            side = (found.x > box.x + 1.0) - (found.x < box.x - 1.0)
            anchor = {1: "start", 0: "middle", -1: "end"}[side]
            x, y = tidy(found.x - side * wide / 2.0), tidy(found.y + 4.6 * scale)
            place = f'x="{x}" y="{y}" text-anchor="{anchor}" font-size="{tidy(TEXT * scale)}"'
            return f'<text class="name" {place}>{escape(said)}</text>'
    return ""


def _chevrons(ways: Sequence[BaseGeometry], room: Room, scale: float) -> Iterator[str]:
    """Say with small signs which way each line is gone."""
    for way in ways:
        if not isinstance(way, shapely.LineString) or way.length < LEAST_FOR_CHEVRON * scale:
            continue
        count = max(1, int(way.length // (CHEVRON_EVERY * scale)))
        for number in range(count):
            at = way.length * (number + 0.5) / count
            before, after = way.interpolate(max(at - 3.0, 0.0)), way.interpolate(at + 3.0)
            middle = way.interpolate(at)
            if room.first_free([Box(middle.x, middle.y, 9.0 * scale, 9.0 * scale)]) is None:
                continue
            turn = math.degrees(math.atan2(after.y - before.y, after.x - before.x))
            moved = f"translate({tidy(middle.x)} {tidy(middle.y)}) rotate({tidy(turn)}) scale({scale:g})"
            yield f'<path class="chevron" transform="{moved}" d="M-3.5 -4.5L4.5 0L-3.5 4.5z"/>'
