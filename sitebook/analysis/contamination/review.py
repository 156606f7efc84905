"""Reviews one place: its class from every mapped and told source, with reasons and what is not known."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from sitebook.analysis.contamination import hazards, parameters, questions, reasons, sprayings
from sitebook.analysis.contamination.classes import class_of, words_of
from sitebook.analysis.contamination.coverage import Coverage, coverage_of
from sitebook.analysis.contamination.evidence import evidence
from sitebook.analysis.contamination.looked_for import looked_for, nothing_found
from sitebook.analysis.contamination.past_roads import old_roads
from sitebook.analysis.contamination.place import Floats, Known, Place
from sitebook.analysis.contamination.profile import across
from sitebook.analysis.contamination.reasons import Found
from sitebook.analysis.contamination.road_index import index_at
from sitebook.analysis.contamination.surroundings import surroundings
from sitebook.analysis.contamination.traffic import Network, Road, carries_motors, network
from sitebook.ground.distance import to_lines
from sitebook.ground.projection import LocalMetres, centre_of
from sitebook.records.results.review import PlaceReview, Question, Spread, TreeValue
from sitebook.records.results.road_index import IndexAt
from sitebook.records.results.source_term import SourceTerm
from sitebook.records.results.spray_term import SprayTerm

NO_MAP = "no map data covers this place"
NO_MAP_OF_TREE = "roads: no map covers it"
NO_ROADS = "no motor road in the extract at all"


@dataclass(frozen=True)
class _Looked:
    """What was found round a place, before it is told.

    Parameters
    ----------
    frame
        Metres round the place.
    points_m
        Its points and trees (n, 2) [m].
    cover
        What the map data cover of them.
    net
        Roads with their traffic, and what was left aside.
    roads
        The roads that count, those of past petrol among them.
    blank
        Whether roads are not known at all: no map, or a map without any.
    found
        What was found at each point.
    """

    frame: LocalMetres
    points_m: Floats
    cover: Coverage
    net: Network
    roads: Sequence[Road]
    blank: bool
    found: tuple[Found, ...]

    @property
    def worst(self) -> Found:
        """The point whose class stands: the highest class, then what it could be, then the index."""
        return max(self.found, key=lambda point: point.weight)


def review_place(
    place: Place, known: Known, *, today: datetime.date, with_drawings: bool = False
) -> PlaceReview:
    """Review one place; of several points the worst one stands.

    Parameters
    ----------
    place
        What is asked about.
    known
        What the book holds round it, as loaded for `place.needs`, `hazards.needs` and `sprayings.needs`.
    today
        Day of the review.
    with_drawings
        Whether the profile across the nearest road and the small map are wanted too.
    """
    looked = _look(place, known, today)
    worst = looked.worst
    ranges = tuple(point.index.index.central for point in looked.found if point.index is not None)
    lon, lat = (float(value) for value in place.all_points[worst.number])
    asked = tuple(_asked(place, known, looked, today))
    index = worst.index
    at_worst = looked.points_m[worst.number]
    return PlaceReview(
        name=place.name,
        lon=lon,
        lat=lat,
        place_class=worst.place_class,
        could_be=None if worst.place_class is None else max(p.could_be or 0 for p in looked.found),
        unknown=tuple(question.what for question in asked),
        traffic_index=index.index if index is not None else None,
        sources=index.roads if index is not None else (),
        words=words_of(worst.place_class, nothing_found(), tuple(_tunnels(looked))),
        reach_m=parameters.value("reach"),
        data_date=known.data_date,
        points_looked_at=len(looked.found),
        because=reasons.because(worst),
        could_because=reasons.could_because(max(looked.found, key=lambda p: (p.could_be or 0, p.weight))),
        questions=asked,
        effects=index.effects if index is not None else (),
        area_term=worst.area_term,
        terms=worst.terms,
        sprayings=worst.sprayings,
        spread=Spread(min(ranges), float(np.median(ranges)), max(ranges), len(ranges)) if ranges else None,
        trees=tuple(_trees(place, looked)),
        evidence=evidence(),
        profile=across(at_worst, looked.roads) if with_drawings and index is not None else None,
        surroundings=surroundings(place, known, looked.frame, at_worst) if with_drawings else None,
        looked_for=looked_for(known.kinds_in_book),
        uncertainty_m=place.radius_m,
        site_id=place.site_id,
    )


def found_at(place: Place, known: Known, *, today: datetime.date) -> tuple[Found, ...]:
    """Give what was found at each point of a place, its trees last, as `review_place` weighs them."""
    return _look(place, known, today).found


def _look(place: Place, known: Known, today: datetime.date) -> _Looked:
    points = place.all_points
    frame = LocalMetres(*centre_of(points))
    points_m = frame.to_metres(points)
    cover = coverage_of(points, known.covered, frame, parameters.value("reach"))
    net = network(known.ways, known.counts, frame, today=today)
    roads = (*net.roads, *old_roads(known.hazards, frame, today))
    total = known.motor_roads_in_extract
    no_roads = not (sum(map(carries_motors, known.ways)) if total is None else total) and not net.roads
    blank = no_roads or not cover.inside.any()
    indices = _indices(points_m, cover, roads, place.radius_m) if not blank else [None] * len(points)
    terms = hazards.terms_at(
        points, known.hazards, today=today, uncertainty_m=place.radius_m, grows_on=place.grows_on
    )
    sprayed = sprayings.spray_terms_at(
        points, known.sprayings, today=today, rain=known.rain, uncertainty_m=place.radius_m
    )
    found = tuple(
        _found(number, index, own_terms, own_sprayings)
        for number, (index, own_terms, own_sprayings) in enumerate(zip(indices, terms, sprayed, strict=True))
    )
    return _Looked(frame, points_m, cover, net, roads, blank, found)


def _indices(
    points_m: Floats, cover: Coverage, roads: Sequence[Road], uncertainty_m: float
) -> list[IndexAt | None]:
    """Give the index at each point that a map covers."""
    inside = np.flatnonzero(cover.inside)
    found: list[IndexAt | None] = [None] * len(points_m)
    for number, index in zip(
        inside, index_at(points_m[inside], roads, uncertainty_m=uncertainty_m), strict=True
    ):
        found[int(number)] = index
    return found


def _found(
    number: int,
    index: IndexAt | None,
    terms: tuple[SourceTerm, ...],
    sprayed: tuple[SprayTerm, ...],
) -> Found:
    """Put one point into its class, by all that was found at it."""
    area = hazards.area_term_of(terms)
    floors = [(term.floor_class, term.could_be_floor) for term in terms]
    floors += [(spray.floor_class, spray.could_be_floor) for spray in sprayed]
    floor, could_floor = (
        (max(column, default=0) for column in zip(*floors, strict=True)) if floors else (0, 0)
    )
    traffic, edge_m, near_m = (
        (index.index, index.edge_m, index.nearest_edge_m) if index is not None else reasons.NO_TRAFFIC
    )
    stands = class_of(traffic.central, edge_m, area.central, floor)
    could = max(stands, class_of(traffic.high, near_m, area.high, max(could_floor, floor)))
    silent = index is None and stands == 0
    return Found(
        number=number,
        index=index,
        area_term=area,
        terms=terms,
        sprayings=sprayed,
        place_class=None if silent else stands,
        could_be=None if silent else could,
    )


def _asked(place: Place, known: Known, looked: _Looked, today: datetime.date) -> list[Question]:
    """Give everything that is not known of a place, with whom to ask."""
    asked: list[Question] = []
    if not looked.cover.inside.any():
        asked += questions.no_map(NO_MAP)
    elif looked.blank:
        asked += questions.no_map(NO_ROADS)
    else:
        asked += questions.of_map(looked.cover, known.data_date, today)
        inside_m = looked.points_m[looked.cover.inside]
        asked += questions.of_empty_ground(inside_m, known.ways, looked.frame)
        asked += questions.of_roads(looked.points_m, looked.net, looked.frame)
    asked += questions.of_position(place)
    for point in looked.found:
        asked += questions.of_sources(point)
    return list(dict.fromkeys(asked))


def _tunnels(looked: _Looked) -> list[str]:
    """Name tunnels near by, which count at their portals alone."""
    tunnels, limit = looked.net.tunnels, parameters.value("tunnel_note")
    distances = to_lines(looked.points_m, [road.line_m for road in tunnels]).min(axis=0)
    near: dict[str, float] = {}
    for road, distance in zip(tunnels, distances, strict=True):
        if distance <= limit:
            near[road.name] = min(float(distance), near.get(road.name, np.inf))
    return [
        f"A tunnel ({name}) runs {distance:.0f} m away; only its portals are counted."
        for name, distance in near.items()
    ]


def _unknown_at_tree(point: Found) -> Iterator[str]:
    """Say what is not known at one tree: roads where no map covers it, and what its sources ask."""
    if point.index is None:
        yield NO_MAP_OF_TREE
    yield from (question.what for question in questions.of_sources(point))


def _trees(place: Place, looked: _Looked) -> list[TreeValue]:
    first = len(looked.found) - len(place.trees)
    return [
        TreeValue(
            tag=tree.tag,
            taxon_name=tree.taxon_name,
            place_class=point.place_class,
            could_be=point.could_be,
            index=point.index.index if point.index is not None else None,
            reason=reasons.shortly(point),
            unknown=tuple(_unknown_at_tree(point)),
        )
        for tree, point in zip(place.trees, looked.found[first:], strict=True)
    ]
