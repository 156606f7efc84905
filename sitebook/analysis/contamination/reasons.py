"""Says what puts one point of a place into its class, and what could put it higher."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from sitebook.analysis.contamination import parameters
from sitebook.analysis.contamination.classes import AREA_STEPS, CLOSE_CLASS, STEPS, area_class, index_class
from sitebook.analysis.contamination.hazards import area_term_of
from sitebook.analysis.contamination.hazards import model as areas_model
from sitebook.records.results.contamination import Band, NearSource, index_words
from sitebook.records.results.review import ClassReason
from sitebook.records.results.road_index import IndexAt
from sitebook.records.results.source_term import SourceTerm
from sitebook.records.results.spray_term import SprayTerm

NO_TRAFFIC = (Band(0.0, 0.0, 0.0), math.inf, math.inf)
"""Index and distances to a road's edge where no road is known."""


@dataclass(frozen=True)
class Found:
    """What was found at one point of a place.

    Parameters
    ----------
    number
        Which of the place's points.
    index
        The traffic index; None where no map covers the point.
    area_term
        Area term of the sources that weigh [1].
    terms, sprayings
        Other sources, and sprayings.
    place_class, could_be
        Its classes; None where nothing is known.
    """

    number: int
    index: IndexAt | None
    area_term: Band
    terms: tuple[SourceTerm, ...]
    sprayings: tuple[SprayTerm, ...]
    place_class: int | None
    could_be: int | None

    @property
    def weight(self) -> tuple[int, int, float, float]:
        """Order of points: class, what it could be, index, area term."""
        stands = -1 if self.place_class is None else self.place_class
        index = self.index.index.central if self.index is not None else 0.0
        return stands, self.could_be or 0, index, self.area_term.central


def because(point: Found) -> tuple[ClassReason, ...]:
    """Give what makes the class of a point, the weightiest first; empty where nothing does."""
    if not point.place_class:
        return ()
    found = [reason for reason in _reasons(point) if reason.place_class == point.place_class]
    return tuple(found)


def could_because(point: Found) -> tuple[ClassReason, ...]:
    """Give what makes the class a point could have, where that is higher than the one it has."""
    if point.place_class is None or point.could_be is None or point.could_be <= point.place_class:
        return ()
    return tuple(reason for reason in _could(point) if reason.place_class == point.could_be)


def shortly(point: Found) -> str:
    """Give the weightiest reason of a point in a few words."""
    if point.place_class is None:
        return "nothing is known here"
    found = sorted(_short(point), key=lambda pair: -pair[0])
    return found[0][1] if found else "nothing that the book can weigh"


def _reasons(point: Found) -> Iterator[ClassReason]:
    for spray in point.sprayings:
        if spray.floor_class:
            yield ClassReason(spray.floor_class, spray.reason, spray.mark)
    for term in point.terms:
        if term.floor_class:
            yield ClassReason(term.floor_class, term.reason, "our choice")
    if by_area := area_class(point.area_term.central):
        strongest = _strongest(point)
        yield ClassReason(by_area, _area_words(point.area_term, by_area, strongest), "our choice")
    if point.index is not None:
        yield from _road_reasons(point.index)


def _road_reasons(at: IndexAt) -> Iterator[ClassReason]:
    if by_index := index_class(at.index.central):
        strongest = max(at.roads, key=lambda road: road.value)
        yield ClassReason(by_index, _index_words(at, by_index, strongest), strongest.mark)
    if at.edge_m <= parameters.value("close_road"):
        nearest = min(at.roads, key=lambda road: road.edge_m)
        yield ClassReason(CLOSE_CLASS, _close_words(nearest, at.edge_m), "our choice")


def _could(point: Found) -> Iterator[ClassReason]:
    for spray in point.sprayings:
        yield ClassReason(spray.could_be_floor, spray.reason, spray.mark)
    for term in point.terms:
        yield ClassReason(term.could_be_floor, term.reason, "our choice")
    if area_class(point.area_term.high):
        strongest, high = _strongest(point), point.area_term.high
        words = f"The upper end of the area term of {strongest.title.lower()} is {index_words(high)}."
        yield ClassReason(area_class(high), words, "our choice")
    if point.index is None:
        return
    high, at = point.index.index.high, point.index
    if index_class(high):
        driver = f"; what widens the range most is {at.driver}" if at.driver else ""
        words = f"The upper end of its 90 % band (our choice of ranges) is {index_words(high)}{driver}."
        yield ClassReason(index_class(high), words, "our choice")
    if at.nearest_edge_m <= parameters.value("close_road"):
        words = "Within the uncertainty of its position the place may lie by the edge of a motor road."
        yield ClassReason(CLOSE_CLASS, words, "our choice")


def _strongest(point: Found) -> SourceTerm:
    """Give the nearest term of the kind whose area term is the largest."""
    weighing = [term for term in point.terms if term.weighs]
    kinds = dict.fromkeys(term.kind for term in weighing)
    own = [[term for term in weighing if term.kind == kind] for kind in kinds]
    return max(own, key=lambda terms: area_term_of(terms).high)[0]


def _area_words(area: Band, by_area: int, strongest: SourceTerm) -> str:
    step = areas_model()[dict(AREA_STEPS)[by_area]].value
    name = f" ({strongest.name})" if strongest.name else ""
    return (
        f"{strongest.title}{name}: its area term here is {index_words(area.central)} "
        f"({area.ends_said}); from {step:g} on a place is of class {by_area} (our choice)."
    )


def _index_words(at: IndexAt, by_index: int, strongest: NearSource) -> str:
    step, index = parameters.value(dict(STEPS)[by_index]), at.index
    return (
        f"Roads: the traffic index here is {index_words(index.central)} "
        f"({index.ends_said}, 90 % band); "
        f"from {step:g} on a place is of class {by_index} (our choice). "
        f"Most of it comes from {strongest.name}, {strongest.distance_m:.0f} m from its centre line: "
        f"{strongest.source}."
    )


def _close_words(nearest: NearSource, edge_m: float) -> str:
    limit = parameters.model()["close_road"].value
    return (
        f"{nearest.name}: its edge is {edge_m:.0f} m away. Within {limit:g} m of a motor road "
        "a place is at least of class 2 (our choice; the first 5 m of European roadside soils held the "
        "highest chromium, copper, nickel, lead and zinc, werkenthin2014)."
    )


def _short(point: Found) -> Iterator[tuple[int, str]]:
    for spray in point.sprayings:
        if spray.floor_class:
            yield spray.floor_class, f"spraying of {spray.ground}"
    for term in point.terms:
        if term.floor_class:
            yield term.floor_class, f"{term.title.lower()}, {term.distance_m:.0f} m"
    if by_area := area_class(point.area_term.central):
        yield by_area, f"{_strongest(point).title.lower()}, area term {index_words(point.area_term.central)}"
    if point.index is not None and (by_index := index_class(point.index.index.central)):
        strongest = max(point.index.roads, key=lambda road: road.value)
        yield by_index, f"{strongest.name}, {strongest.edge_m:.0f} m from its edge"
    if point.index is not None and point.index.edge_m <= parameters.value("close_road"):
        nearest = min(point.index.roads, key=lambda road: road.edge_m)
        yield CLOSE_CLASS, f"{nearest.name}, {nearest.edge_m:.0f} m from its edge"
