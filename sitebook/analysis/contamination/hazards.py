"""Says what sources other than roads add to a place, at which distance, and what is not known of them."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from functools import cache

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray
from shapely.geometry.base import BaseGeometry

from sitebook.analysis.contamination.areas import CUT, area_terms
from sitebook.analysis.contamination.hazard_ground import SourceGround, extents, grounds_of
from sitebook.analysis.contamination.hazard_words import reason_of, spraying_asked, unknown_of
from sitebook.citations import MARKS, Cited, Mark
from sitebook.ground.disc import radii_within_m
from sitebook.ground.distance import direction_to
from sitebook.ground.overlay import within
from sitebook.ground.projection import LocalMetres, Window, centre_of, refuse_impossible, windows_round
from sitebook.records.map_data import Hazard
from sitebook.records.results.contamination import Band
from sitebook.records.results.source_term import SourceTerm
from sitebook.reference import reader
from sitebook.reference.map_tags import HazardKind, hazard_kinds

Floats = NDArray[np.float64]

POSITIONS = 8
"""Points on each circle within a position's uncertainty that are looked at besides its middle."""


@dataclass(frozen=True)
class Wanted:
    """Which sources must be loaded.

    Parameters
    ----------
    kinds
        Kinds of hazard.
    windows
        Ground on which they are wanted.
    """

    kinds: tuple[str, ...]
    windows: tuple[Window, ...]


@cache
def model() -> dict[str, Cited]:
    """Give the numbers of the term of areas by name, as "length_band"."""
    return reader.parameters("areas_model")


def needs(points_lonlat: ArrayLike, *, uncertainty_m: float = 0.0) -> tuple[Wanted, ...]:
    """Say which sources must be loaded for a review, each kind within its own reach.

    Parameters
    ----------
    points_lonlat
        Points of the place (n, 2), WGS 84 [deg].
    uncertainty_m
        Uncertainty of the position [m].

    Returns
    -------
    tuple of Wanted
        One for each reach, the nearest first.
    """
    reaches: dict[float, list[str]] = {}
    for word, kind in hazard_kinds().items():
        reaches.setdefault(kind.reach_m.value, []).append(word)
    return tuple(
        Wanted(tuple(words), windows_round(points_lonlat, reach + uncertainty_m))
        for reach, words in sorted(reaches.items())
    )


def terms_of(
    lon: float,
    lat: float,
    hazards: Sequence[Hazard],
    *,
    today: datetime.date,
    uncertainty_m: float = 0.0,
    grows_on: AbstractSet[str] = frozenset(),
) -> tuple[SourceTerm, ...]:
    """Give the terms of one place; see `terms_at`."""
    return terms_at([[lon, lat]], hazards, today=today, uncertainty_m=uncertainty_m, grows_on=grows_on)[0]


def terms_at(
    points_lonlat: ArrayLike,
    hazards: Sequence[Hazard],
    *,
    today: datetime.date,
    uncertainty_m: float = 0.0,
    grows_on: AbstractSet[str] = frozenset(),
) -> tuple[tuple[SourceTerm, ...], ...]:
    """Give the terms of each of some places near each other.

    A source is named where its edge lies within the reach of its kind. The published or agreed distance,
    and the rule inside it, give the least class of the place; the area term adds to that. What is only
    suspected counts like the rest, but its hard rule holds for the class that could be.

    Parameters
    ----------
    points_lonlat
        Places (n, 2), WGS 84 [deg].
    hazards
        Sources in the windows of `needs`.
    today
        Day of the review.
    uncertainty_m
        Uncertainty of the positions [m]; it widens the range and the class that could be.
    grows_on
        Kinds on which what she gathers grows, as "treated timber". A hard rule that holds for what grows on
        the thing itself is told by her alone, since a position cannot tell it.

    Returns
    -------
    tuple of tuple
        For each place its terms, the highest class first, then the nearest.

    Raises
    ------
    PositionImpossible
        When a place is not on the globe.
    ValueError
        When no place is given, the uncertainty is below 0, or something in `grows_on` has no such rule.
    """
    points = np.asarray(points_lonlat, dtype=np.float64).reshape(-1, 2)
    if not len(points) or not (np.isfinite(uncertainty_m) and uncertainty_m >= 0.0):
        raise ValueError("terms need at least one place, and an uncertainty of 0 or more")
    for lon, lat in points:
        refuse_impossible(float(lon), float(lat))
    frame = LocalMetres(*centre_of(points))
    places = frame.to_metres(points)
    found: list[list[SourceTerm]] = [list(_grown_on(grows_on)) for _ in places]
    for ground in grounds_of(hazards, frame, today=today):
        for number, term in _terms(places, ground, uncertainty_m):
            found[number].append(term)
    return tuple(tuple(sorted(terms, key=_weight)) for terms in found)


def area_term_of(terms: Sequence[SourceTerm]) -> Band:
    """Give the area term of a place: the largest over the kinds, the terms of one kind added up.

    Terms of one kind hold no ground twice, so they may be added. Different kinds are not added, since the
    same ground is often mapped as two of them. Kinds whose history alone decides, as mown grass, are left
    out. Without terms it is 0.
    """
    kinds = dict.fromkeys(term.kind for term in terms if term.weighs)
    sums = [_sum([term.value for term in terms if term.kind == kind]) for kind in kinds]
    columns = [[band.central for band in sums], [band.low for band in sums], [band.high for band in sums]]
    return Band(*(max(column, default=0.0) for column in columns))


def _sum(bands: Sequence[Band]) -> Band:
    return Band(sum(b.central for b in bands), sum(b.low for b in bands), sum(b.high for b in bands))


def _weight(term: SourceTerm) -> tuple[int, float, float]:
    return -term.floor_class, term.distance_m, -term.value.central


def _terms(places: Floats, ground: SourceGround, uncertainty_m: float) -> Iterator[tuple[int, SourceTerm]]:
    spots = shapely.points(places)
    distances = np.stack([shapely.distance(spots, shape) for shape in ground.shapes_m])
    distances[distances <= model()["touches"].value] = 0.0
    named = np.flatnonzero(distances.min(axis=0) - uncertainty_m <= ground.kind.reach_m.value)
    if not named.size:
        return
    for number, band in zip(named, _bands(places[named], ground, uncertainty_m), strict=True):
        yield int(number), _term(places[number], ground, distances[:, number], band, uncertainty_m)


def _bands(places: Floats, ground: SourceGround, uncertainty_m: float) -> list[Band]:
    """Give the area term of each place with its range over length scale and position."""
    angles = np.arange(POSITIONS) * (2.0 * np.pi / POSITIONS)
    ring = np.column_stack([np.cos(angles), np.sin(angles)])
    rings = radii_within_m(uncertainty_m)[:, None, None] * ring
    offsets = np.vstack([np.zeros((1, 2)), rings.reshape(-1, 2)])
    spots = (places[:, None] + offsets).reshape(-1, 2)
    length, factor = ground.kind.length_scale_m.value, model()["length_band"].value
    values = np.stack(
        [_values(spots, ground.counted_m, scale) for scale in (length, length / factor, length * factor)]
    ).reshape(3, len(places), len(offsets))
    return [
        Band(float(each[0, 0]), float(each.min()), float(each.max())) for each in values.transpose(1, 0, 2)
    ]


def _values(spots: Floats, ground: BaseGeometry, length_scale_m: float) -> Floats:
    (west, south), (east, north) = spots.min(axis=0), spots.max(axis=0)
    margin = 2.0 * CUT * length_scale_m
    near = within(ground, shapely.box(west - margin, south - margin, east + margin, north + margin))
    areas = [part for part in shapely.get_parts(near) if part.geom_type == "Polygon"]
    return np.clip(area_terms(spots, areas, length_scale_m), 0.0, 1.0)


def _term(
    place: Floats, ground: SourceGround, distances: Floats, band: Band, uncertainty_m: float
) -> SourceTerm:
    number = int(distances.argmin())
    member, kind = ground.members[number], ground.kind
    distance = float(distances[number])
    nearest = max(distance - uncertainty_m, 0.0)
    asked = distance <= model()["asks_within"].value
    rule = kind.hard_rule and not kind.hard_on_it
    firm = member.standing != "suspected" and not kind.hard_may_be
    hard = rule and distance == 0.0 and firm
    direction = direction_to((float(place[0]), float(place[1])), ground.shapes_m[number]) if distance else ""
    return SourceTerm(
        kind=kind.kind,
        title=kind.title,
        name=member.name or "",
        members=len(ground.members),
        distance_m=distance,
        nearest_m=nearest,
        direction=direction,
        value=band,
        weighs=ground.extent.weighs and member.vehicles_per_day is None,
        floor_class=_floor(kind, distance, hard=hard),
        could_be_floor=_floor(kind, nearest, hard=rule and nearest == 0.0),
        hard=hard,
        standing=member.standing,
        past_use=member.past_use or "",
        since=member.valid_from,
        until=member.valid_to,
        length_scale_m=kind.length_scale_m.value,
        limit_m=kind.distance_m.value if kind.distance_m else None,
        reason=reason_of(ground, member, distance, direction, hard=hard),
        source=member.source,
        kind_source=_said(kind),
        mark=_mark(kind.mark),
        unknown=unknown_of(ground, member, asked=asked),
        whom=ground.extent.whom,
        spraying_asked=spraying_asked(ground, member, asked=asked),
    )


def _grown_on(kinds: AbstractSet[str]) -> Iterator[SourceTerm]:
    """Give a term for each thing that she says it grows on, whether or not a map shows it."""
    for word in sorted(kinds):
        kind = hazard_kinds().get(word)
        if kind is None or not kind.hard_on_it:
            raise ValueError(f"{word!r} is no kind of source whose rule holds for what grows on it")
        yield SourceTerm(
            kind=word,
            title=kind.title,
            name="",
            members=0,
            distance_m=0.0,
            nearest_m=0.0,
            direction="",
            value=Band(0.0, 0.0, 0.0),
            weighs=False,
            floor_class=_floor(kind, 0.0, hard=True),
            could_be_floor=_floor(kind, 0.0, hard=True),
            hard=True,
            standing="confirmed",
            past_use="",
            since=None,
            until=None,
            length_scale_m=kind.length_scale_m.value,
            limit_m=kind.distance_m.value if kind.distance_m else None,
            reason=f"It grows on this: {kind.title}: {kind.what}. What grows on it is left, by our rule.",
            source="what she noted of the find",
            kind_source=_said(kind),
            mark=_mark(kind.mark),
            unknown=(),
            whom=extents()[word].whom,
        )


def _floor(kind: HazardKind, distance_m: float, *, hard: bool) -> int:
    if hard:
        return int(model()["inside_hard"].value)
    if kind.distance_m is not None and distance_m <= kind.distance_m.value:
        return int(model()["at_distance"].value)
    return int(model()["in_reach"].value) if distance_m <= kind.reach_m.value else 0


def _said(kind: HazardKind) -> str:
    return ", ".join(filter(None, (kind.source_key, kind.locator)))


def _mark(text: str) -> Mark:
    return next(mark for mark in MARKS if mark == text)
