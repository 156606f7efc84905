"""Says what is not known of a place, and who may know it."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Sequence

import numpy as np

from sitebook.analysis.contamination import parameters
from sitebook.analysis.contamination.coverage import Coverage
from sitebook.analysis.contamination.place import Floats, Place
from sitebook.analysis.contamination.reasons import Found
from sitebook.analysis.contamination.traffic import Network
from sitebook.ground.distance import to_lines
from sitebook.ground.projection import LocalMetres
from sitebook.records.map_data import Way
from sitebook.records.results.review import Question
from sitebook.records.results.spray_term import SprayTerm

WIDER_MAP = "bring in a map extract that reaches farther"
DAYS_A_YEAR = 365.25


def no_map(what: str) -> Iterator[Question]:
    """Say that roads are not known at all."""
    yield Question(what, WIDER_MAP)


def of_map(cover: Coverage, data_date: datetime.date | None, today: datetime.date) -> Iterator[Question]:
    """Say what the map does not reach, and how old it is."""
    if outside := int((~cover.inside).sum()):
        verb = "lies" if outside == 1 else "lie"
        yield Question(f"{outside} of {cover.inside.size} points {verb} outside the map data", WIDER_MAP)
    if cover.end is not None:
        yield Question(f"the map ends {cover.end.distance_m:.0f} m to the {cover.end.direction}", WIDER_MAP)
    if data_date is None:
        yield Question("the map data do not say their date", "bring in an extract that says its date")
        return
    years = (today - data_date).days / DAYS_A_YEAR
    if years >= parameters.value("old_map"):
        said = f"the map data are {years:.0f} years old; roads may have changed since"
        yield Question(said, "bring in a newer extract")


def of_empty_ground(points_m: Floats, ways: Sequence[Way], frame: LocalMetres) -> Iterator[Question]:
    """Say that the map holds no way of any kind near a place, so that it may hold nothing at all there."""
    reach = parameters.value("reach")
    if (to_lines(points_m, frame.lines_to_metres([way.geom for way in ways])) > reach).all(axis=1).any():
        said = f"the map shows no road, path or track within {reach:,.0f} m"
        yield Question(f"{said}; it may hold nothing here, though its frame reaches so far", WIDER_MAP)


def of_roads(points_m: Floats, net: Network, frame: LocalMetres) -> Iterator[Question]:
    """Say which ways and counts within the reach could not be used."""
    reach = parameters.value("reach")
    near = to_lines(points_m, frame.lines_to_metres([w.geom for w in net.strange])).min(axis=0) <= reach
    words = sorted({way.road_class for way, is_near in zip(net.strange, near, strict=True) if is_near})
    for word in words:
        said = f'ways of the class "{word}" have no number of vehicles and do not count'
        yield Question(said, "count there: sitebook add count")
    for count in net.unused_counts:
        spot = frame.lines_to_metres([count.geom])[0][0]
        if np.hypot(*(points_m - spot).T).min() <= reach:
            limit = f"{parameters.value('count_match'):.0f} m"
            said = f"the count by {count.source} has no motor road within {limit}"
            yield Question(f"{said} and was not used", "look at the position of the count")


def of_position(place: Place) -> Iterator[Question]:
    """Say that nobody noted how exact a position is."""
    if place.uncertainty_m is None:
        said = "how exact the position is was not noted, so the range leaves it out"
        yield Question(said, "measure it again on the spot")
    yield from place.asks


def of_sources(point: Found) -> Iterator[Question]:
    """Say what is not known of other sources and sprayings at one point."""
    done = any(s.inside and s.state == "done" and not s.ended for s in point.sprayings)
    never = next((spray for spray in point.sprayings if spray.inside and spray.state == "never"), None)
    for term in point.terms:
        for what in term.unknown:
            if what != term.spraying_asked:
                yield Question(what, term.whom)
            elif never is not None:
                said = f"{term.called}: sprayed since? not known; never before, {never.source}"
                yield Question(said, term.whom)
            elif not (done and term.distance_m == 0.0):
                yield Question(what, term.whom)
    for spray in point.sprayings:
        for what in spray.unknown:
            yield Question(what, spray.whom if _asks(spray, what) else "")


def _asks(spray: SprayTerm, what: str) -> bool:
    """Tell whether something not known of a spraying is a question that somebody may answer."""
    return spray.state == "not known" or what.endswith("?")
