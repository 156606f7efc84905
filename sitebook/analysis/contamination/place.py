"""What a review is asked about, and what the book holds round it."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from sitebook.analysis.contamination import parameters
from sitebook.analysis.contamination.sprayings import RainSeen, Told
from sitebook.ground.projection import Window, refuse_impossible, windows_round
from sitebook.records.map_data import Hazard, TrafficCount, Way
from sitebook.records.results.review import Question

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class TreeAt:
    """One host tree of a place.

    Parameters
    ----------
    tag, taxon_name
        What she calls it, and its kind; "" where not named.
    lon, lat
        Its foot, WGS 84 [deg].
    """

    tag: str
    taxon_name: str
    lon: float
    lat: float


@dataclass(frozen=True)
class Place:
    """A place to be reviewed.

    Parameters
    ----------
    name
        The site's name, the label of a find, or the position in words.
    points_lonlat
        Points that stand for it (n, 2): its middle, its outline; WGS 84 [deg].
    shape
        Its outline or point, WGS 84; None for a bare position.
    trees
        Its host trees; each is looked at besides the points.
    uncertainty_m
        Uncertainty of its position [m]; None where it was not noted, 0 for drawn outlines.
    grows_on
        Kinds of source that what she gathers grows on, as "treated timber".
    asks
        What is not known of it besides, with whom to ask.
    site_id
        The site's id; None for a find or a position.
    """

    name: str
    points_lonlat: Floats
    shape: BaseGeometry | None = None
    trees: tuple[TreeAt, ...] = ()
    uncertainty_m: float | None = 0.0
    grows_on: frozenset[str] = frozenset()
    asks: tuple[Question, ...] = ()
    site_id: int | None = None

    def __post_init__(self) -> None:
        if not len(self.points_lonlat):
            raise ValueError("a place needs at least one point")
        for lon, lat in self.all_points:
            refuse_impossible(float(lon), float(lat))

    @property
    def all_points(self) -> Floats:
        """Points of the place, then its trees (n, 2) [deg]."""
        own = np.asarray(self.points_lonlat, dtype=np.float64).reshape(-1, 2)
        return np.vstack([own, *([[tree.lon, tree.lat]] for tree in self.trees)])

    @property
    def radius_m(self) -> float:
        """Uncertainty that the ranges cover [m], 0 where none was noted."""
        return self.uncertainty_m or 0.0


@dataclass(frozen=True)
class Known:
    """What the book holds round a place.

    Parameters
    ----------
    ways, counts
        Mapped ways and traffic counts in the windows of `needs`.
    hazards
        Mapped and told sources, each kind within its reach.
    sprayings
        Sprayings within their reach, with what was in them and what laboratories found.
    covered
        Ground that the extracts cover, WGS 84 [deg].
    rain
        Rain by day, for what washes leaves.
    data_date
        Date of the oldest map data; None where an extract does not say.
    motor_roads_in_extract
        How many motor roads the extracts hold in all, so that a place far from roads is told from a map
        without roads; None: as many as are in `ways`.
    kinds_in_book
        Kinds of source of which the book holds at least one, anywhere; None: not counted.
    """

    ways: Sequence[Way] = ()
    counts: Sequence[TrafficCount] = ()
    hazards: Sequence[Hazard] = ()
    sprayings: Sequence[Told] = ()
    covered: Sequence[BaseGeometry] = ()
    rain: RainSeen = field(default_factory=RainSeen)
    data_date: datetime.date | None = None
    motor_roads_in_extract: int | None = None
    kinds_in_book: frozenset[str] | None = None


def needs(place: Place) -> tuple[Window, ...]:
    """Say which ground must be loaded: ways, counts and extracts that touch it.

    Returns
    -------
    tuple of Window
        One rectangle, or two where the ground crosses 180 degrees of longitude.
    """
    margin = parameters.value("count_speaks") + parameters.value("count_match") + place.radius_m
    return windows_round(place.all_points, parameters.value("reach") + margin)
