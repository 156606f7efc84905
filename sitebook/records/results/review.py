"""What is known of the sources of pollution round one place, in full."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from shapely.geometry.base import BaseGeometry

from sitebook.citations import Mark
from sitebook.records.results.contamination import Band, NearSource
from sitebook.records.results.road_index import ParameterEffect, Profile
from sitebook.records.results.source_term import SourceTerm
from sitebook.records.results.species import SpeciesReview
from sitebook.records.results.spray_term import SprayTerm
from sitebook.records.results.test_reading import TestReading


def class_words(place_class: int | None, could_be: int | None, *, unknown: bool) -> str:
    """Say a class in a few words, with what it could be, and that something is not known."""
    if place_class is None:
        return "class not known (U)"
    more = f", could be {could_be}" if could_be is not None and could_be > place_class else ""
    return f"class {place_class}{more}{', some things not known (U)' if unknown else ''}"


@dataclass(frozen=True)
class Question:
    """Something not known, and whom to ask.

    Parameters
    ----------
    what
        What is not known, in words.
    whom
        Who may know; "" where nobody can be named.
    """

    what: str
    whom: str


@dataclass(frozen=True)
class ClassReason:
    """One thing that puts a place into a class.

    Parameters
    ----------
    place_class
        The class it makes, 0 to 4.
    words
        Why, in a sentence with distance, number and source.
    mark
        How well the number behind it is known; thresholds are our choice throughout.
    """

    place_class: int
    words: str
    mark: Mark


@dataclass(frozen=True)
class Spread:
    """A value over the points of a place.

    Parameters
    ----------
    lowest, median, highest
        The central index there [1].
    points
        How many points were looked at.
    """

    lowest: float
    median: float
    highest: float
    points: int


@dataclass(frozen=True)
class TreeValue:
    """What was found at one host tree of a site.

    Parameters
    ----------
    tag
        What she calls the tree.
    taxon_name
        Kind of tree; "" where not named.
    place_class, could_be
        Its classes, as those of a place.
    index
        Traffic index with its band; None where no map covers the tree.
    reason
        The weightiest reason in a few words.
    unknown
        What is not known at the tree, in words, as that no map covers it.
    """

    tag: str
    taxon_name: str
    place_class: int | None
    could_be: int | None
    index: Band | None
    reason: str
    unknown: tuple[str, ...] = ()

    @property
    def class_said(self) -> str:
        """The class in a few words, with what it could be, and that something is not known."""
        return class_words(self.place_class, self.could_be, unknown=bool(self.unknown))


@dataclass(frozen=True)
class DrawnLine:
    """A road near a place.

    Parameters
    ----------
    name
        Its name, or its class in words.
    width_m
        Its full width [m].
    underground
        Whether it runs in a tunnel.
    shape_m
        Centre line in metres east and north of the middle of the drawing.
    """

    name: str
    width_m: float
    underground: bool
    shape_m: BaseGeometry


@dataclass(frozen=True)
class DrawnGround:
    """A piece of ground near a place.

    Parameters
    ----------
    title
        What it is, in words.
    kind
        "source" for a mapped or told one, "spraying", or "covered" for ground the map data cover.
    shape_m
        Its shape in metres east and north of the middle of the drawing.
    """

    title: str
    kind: str
    shape_m: BaseGeometry


@dataclass(frozen=True)
class Surroundings:
    """What a small map of a place shows.

    Parameters
    ----------
    half_side_m
        Half the side of the square that is drawn [m].
    outline_m
        The place itself, in metres east and north of the middle of the drawing.
    worst_m
        The point whose class stands (east, north) [m].
    trees
        Tag and position (east, north) of each host tree [m].
    roads, grounds
        What lies in the square.
    """

    half_side_m: float
    outline_m: BaseGeometry
    worst_m: tuple[float, float]
    trees: tuple[tuple[str, float, float], ...]
    roads: tuple[DrawnLine, ...]
    grounds: tuple[DrawnGround, ...]


@dataclass(frozen=True)
class PlaceReview:
    """What is known of the sources of pollution round one place.

    Parameters
    ----------
    name
        The site's name, the label of a find, or the position in words.
    lon, lat
        The worst point looked at, WGS 84 [deg].
    place_class
        0 to 4; None where no map covers the place and nobody told of anything.
    could_be
        Highest class within the ranges; None where there is no class.
    because
        What makes the class, the weightiest first.
    could_because
        What makes the class that could be, where it is higher.
    unknown
        Each thing not known, in words; empty where all that was asked for is known.
    questions
        The same with whom to ask.
    traffic_index
        Index at the worst point with its 90 % band [1]; 1 is the kerb of an endless straight road with
        10,000 vehicles a day. None where no map covers the place.
    effects
        What each parameter does to the index, the one that widens it most first.
    area_term
        Area term at the worst point with its range [1].
    sources
        Roads, the nearest first.
    terms
        Other sources, the weightiest first.
    sprayings
        Sprayings, and words that there was none.
    spread
        The index over the points of the place; None where none could be computed.
    trees
        The value at each host tree; empty where there is none.
    tests
        Laboratory tests, the newest first; they stand before everything that is modelled.
    species
        What is written of the taxa found here; never multiplied with the place.
    evidence
        What speaks against reading much into a class, in sentences with their sources.
    profile
        The index across the nearest road; None where no road is near.
    surroundings
        What a small map shows; None where it was not asked for.
    looked_for
        What was looked for and how far, and what the whole map shows none of, in sentences.
    words
        The class in words, ending in what it does not say.
    reach_m
        How far roads were looked for [m].
    data_date
        Date of the map data; None where the extract does not say.
    points_looked_at
        How many points of the place were computed; the worst one stands.
    uncertainty_m
        Uncertainty of the position that the ranges cover [m].
    site_id
        The site's id; None for a find or a position.
    """

    name: str
    lon: float
    lat: float
    place_class: int | None
    could_be: int | None
    unknown: tuple[str, ...]
    traffic_index: Band | None
    sources: tuple[NearSource, ...]
    words: str
    reach_m: float
    data_date: datetime.date | None
    points_looked_at: int
    because: tuple[ClassReason, ...] = ()
    could_because: tuple[ClassReason, ...] = ()
    questions: tuple[Question, ...] = ()
    effects: tuple[ParameterEffect, ...] = ()
    area_term: Band | None = None
    terms: tuple[SourceTerm, ...] = ()
    sprayings: tuple[SprayTerm, ...] = ()
    spread: Spread | None = None
    trees: tuple[TreeValue, ...] = ()
    tests: tuple[TestReading, ...] = ()
    species: tuple[SpeciesReview, ...] = ()
    evidence: tuple[str, ...] = ()
    profile: Profile | None = None
    surroundings: Surroundings | None = None
    looked_for: tuple[str, ...] = ()
    uncertainty_m: float = 0.0
    site_id: int | None = None

    @property
    def class_said(self) -> str:
        """The class in a few words, with what it could be, and that something is not known."""
        return class_words(self.place_class, self.could_be, unknown=bool(self.unknown))
