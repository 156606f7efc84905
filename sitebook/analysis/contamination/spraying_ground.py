"""Gives the ground that a spraying took up, in metres, and whether it covers some other ground."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

import shapely
from shapely import Point, Polygon
from shapely.geometry.base import BaseGeometry

from sitebook.analysis.contamination.hazard_ground import disc
from sitebook.analysis.contamination.spraying_told import model
from sitebook.ground.overlay import united, within
from sitebook.ground.projection import LocalMetres, centre_of
from sitebook.records.spraying import Spraying

INJECTED = "trunk injection"
SPREAD_DRY = "granules"

STAYS_PUT = frozenset({INJECTED, SPREAD_DRY})
"""Methods by which nothing is taken to drift, by our choice."""

TELLING = frozenset({"done", "never"})
"""States that answer whether some ground was sprayed."""


class SprayedGround(NamedTuple):
    """Ground of a spraying.

    Parameters
    ----------
    shape_m
        Areas as drawn, points as discs, lines as strips [m].
    mended
        Whether an outline crossed itself and was taken as the ground it encloses.
    """

    shape_m: BaseGeometry
    mended: bool


def ground_of(spraying: Spraying, frame: LocalMetres) -> SprayedGround:
    """Give the ground of a spraying.

    An outline that crosses itself is taken as all the ground it encloses, however often it runs round it.
    """
    return _ground_m(frame.shape_to_metres(spraying.geom), injected=spraying.method == INJECTED)


def covers(sprayings: Sequence[Spraying], ground: BaseGeometry) -> bool:
    """Tell whether words of spraying, or of none, cover some ground, so that nobody need be asked about it.

    Parameters
    ----------
    sprayings
        Records near it. Those in state done or never count; never no longer counts once it is closed.
    ground
        The ground, WGS 84; a point or line is widened as sprayed ground is.

    Returns
    -------
    bool
        Whether together they cover the share `covers_share` of it.
    """
    telling = [each for each in sprayings if _tells(each)]
    if ground.is_empty or not telling:
        return False
    frame = LocalMetres(*centre_of(shapely.get_coordinates(ground)))
    asked = _ground_m(frame.shape_to_metres(ground), injected=False).shape_m
    told = united([ground_of(each, frame).shape_m for each in telling])
    return bool(within(asked, told).area >= model()["covers_share"].value * asked.area)


def _tells(spraying: Spraying) -> bool:
    taken_back = spraying.state == "never" and spraying.closed_on is not None
    return spraying.withdrawn_at is None and spraying.state in TELLING and not taken_back


def _ground_m(drawn_m: BaseGeometry, *, injected: bool) -> SprayedGround:
    if drawn_m.is_valid:
        sound = drawn_m
    else:
        sound = shapely.make_valid(drawn_m, method="structure", keep_collapsed=True)
    radius_m = model()["crown_radius" if injected else "point_radius"].value
    half_width_m = model()["crown_radius" if injected else "line_half_width"].value
    parts = [_part(part, radius_m, half_width_m) for part in _simple_parts(sound)]
    return SprayedGround(united(parts), sound is not drawn_m)


def _part(part: BaseGeometry, radius_m: float, half_width_m: float) -> BaseGeometry:
    if isinstance(part, Point):
        return disc(part.x, part.y, radius_m)
    return part if isinstance(part, Polygon) else part.buffer(half_width_m)


def _simple_parts(shape: BaseGeometry) -> Iterator[BaseGeometry]:
    for part in shapely.get_parts(shape):
        if part.geom_type in {"Point", "LineString", "LinearRing", "Polygon"}:
            yield part
        else:
            yield from _simple_parts(part)
