"""Gives the ground that sources of pollution take up, in metres, each piece of ground counted once a kind."""

from __future__ import annotations

import datetime
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from typing import NamedTuple

import numpy as np
import shapely
from shapely import Point, Polygon
from shapely.geometry.base import BaseGeometry

from sitebook import vocabulary
from sitebook.citations import Cited
from sitebook.ground.overlay import united, without
from sitebook.ground.projection import LocalMetres
from sitebook.records.map_data import Hazard
from sitebook.reference import reader
from sitebook.reference.map_tags import HazardKind, hazard_kinds

DISC_CORNERS = 64

OTHER = "tagged hazard"
"""Kind that stands in for one that the table does not know."""


@dataclass(frozen=True)
class Extent:
    """How sources of one kind lie on the ground.

    Parameters
    ----------
    point_radius_m
        Radius of the disc that stands for a point [m].
    line_half_width_m
        How far a line reaches on each side [m].
    wall
        Whether only a strip along the outline of an area counts.
    stays
        Whether the soil keeps what it left when it is gone.
    asks
        What is not known until somebody tells it; "" for nothing.
    answered_by
        "past use" or "vehicles" where that, told with the source, answers it; "" where nothing does.
    weighs
        Whether the ground itself counts by its area term; where not, its history alone decides.
    whom
        Who may know what is asked.
    """

    point_radius_m: Cited
    line_half_width_m: Cited
    wall: bool
    stays: bool
    asks: str
    answered_by: str
    weighs: bool
    whom: str


@dataclass(frozen=True)
class SourceGround:
    """Sources of one kind that agree in name, standing and past use, with their ground.

    Parameters
    ----------
    kind
        Their kind.
    extent
        How that kind lies on the ground.
    members
        The records, with the ground of each in the same order.
    shapes_m
        Ground of each record [m].
    counted_m
        Ground of all of them, less what an earlier group of the kind has already [m].
    gone
        Whether they are no longer there.
    mended
        How many outlines crossed themselves and were taken as the ground they enclose.
    """

    kind: HazardKind
    extent: Extent
    members: tuple[Hazard, ...]
    shapes_m: tuple[BaseGeometry, ...]
    counted_m: BaseGeometry
    gone: bool
    mended: int


class _Likeness(NamedTuple):
    """What sources of one group agree in."""

    kind: str
    name: str
    standing: str
    past_use: str
    gone: bool


@cache
def extents() -> dict[str, Extent]:
    """Give how each kind lies on the ground, by its word."""
    return {row["kind"]: _extent(row) for row in reader.rows("hazard_ground")}


def grounds_of(
    hazards: Sequence[Hazard], frame: LocalMetres, *, today: datetime.date
) -> tuple[SourceGround, ...]:
    """Group sources and give their ground.

    What is withdrawn, not there yet, or gone without leaving anything in the soil is left aside.

    Parameters
    ----------
    hazards
        The records.
    frame
        Metres round the place.
    today
        Day of the review.
    """
    groups: dict[_Likeness, list[Hazard]] = {}
    for hazard in hazards:
        if _counts(hazard, today):
            groups.setdefault(_likeness(hazard, today), []).append(hazard)
    return tuple(_grounds(sorted(groups.items(), key=lambda item: _firmness(item[0])), frame))


def ground_m(shape_m: BaseGeometry, extent: Extent) -> BaseGeometry:
    """Give the ground of one mapped or told thing: areas as drawn, points as discs, lines as strips [m]."""
    half_m = extent.line_half_width_m.value
    parts: list[BaseGeometry] = []
    for part in _simple_parts(shape_m):
        if isinstance(part, Point):
            parts.append(disc(part.x, part.y, extent.point_radius_m.value))
        elif isinstance(part, Polygon):
            parts.append(part.boundary.buffer(half_m) if extent.wall else part)
        else:
            parts.append(part.buffer(half_m))
    return united(parts)


def disc(east_m: float, north_m: float, radius_m: float) -> BaseGeometry:
    """Give a polygon of 64 corners that covers as much ground as the circle [m]."""
    turn = 2.0 * math.pi / DISC_CORNERS
    reach_m = radius_m * math.sqrt(turn / math.sin(turn))
    angles = turn * np.arange(DISC_CORNERS)
    corners = np.column_stack([east_m + reach_m * np.cos(angles), north_m + reach_m * np.sin(angles)])
    return Polygon(corners)


def _extent(row: dict[str, str]) -> Extent:
    return Extent(
        reader.cited(row, "point_radius_m"),
        reader.cited(row, "line_half_width_m"),
        row["seen_as"] == "wall",
        row["stays"] == "yes",
        row["asks"],
        row["answered_by"],
        row["weighs"] == "yes",
        row["whom"],
    )


def _word(hazard: Hazard) -> str:
    return hazard.kind if hazard.kind in hazard_kinds() else OTHER


def _likeness(hazard: Hazard, today: datetime.date) -> _Likeness:
    gone = _gone(hazard, today)
    return _Likeness(_word(hazard), hazard.name or "", hazard.standing, hazard.past_use or "", gone)


def _firmness(like: _Likeness) -> tuple[bool, int, bool]:
    """Order groups: what is there first, then the firmer word, then what has a name."""
    return like.gone, vocabulary.HAZARD_STANDING.all.index(like.standing), not like.name


def _counts(hazard: Hazard, today: datetime.date) -> bool:
    if hazard.withdrawn_at is not None or hazard.geom.is_empty:
        return False
    if hazard.valid_from is not None and hazard.valid_from > today:
        return False
    return extents()[_word(hazard)].stays or not _gone(hazard, today)


def _gone(hazard: Hazard, today: datetime.date) -> bool:
    return hazard.valid_to is not None and hazard.valid_to <= today


def _grounds(ordered: Sequence[tuple[_Likeness, list[Hazard]]], frame: LocalMetres) -> Iterator[SourceGround]:
    taken: dict[str, BaseGeometry] = {}
    for like, members in ordered:
        kind, extent = like.kind, extents()[like.kind]
        drawn = [frame.shape_to_metres(hazard.geom) for hazard in members]
        sound = [shape if shape.is_valid else shapely.make_valid(shape) for shape in drawn]
        shapes = tuple(ground_m(shape, extent) for shape in sound)
        whole = united(shapes)
        counted = without(whole, taken[kind]) if kind in taken else whole
        taken[kind] = united([whole, taken[kind]]) if kind in taken else whole
        mended = sum(shape is not mend for shape, mend in zip(drawn, sound, strict=True))
        found = hazard_kinds()[kind]
        yield SourceGround(found, extent, tuple(members), shapes, counted, like.gone, mended)


def _simple_parts(shape: BaseGeometry) -> Iterator[BaseGeometry]:
    for part in shapely.get_parts(shape):
        if part.geom_type in {"Point", "LineString", "LinearRing", "Polygon"}:
            yield part
        else:
            yield from _simple_parts(part)
