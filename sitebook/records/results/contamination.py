"""What a review of roads round a place answers."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from sitebook.citations import Mark


@dataclass(frozen=True)
class Band:
    """A central value between the ends of its range."""

    central: float
    low: float
    high: float


@dataclass(frozen=True)
class NearSource:
    """One source near a place, with what it adds and how that is known.

    Parameters
    ----------
    kind
        Kind of source, as "road".
    name
        Its name, or its class where it has none.
    distance_m
        Distance from the place to its centre line or edge [m].
    value, low, high
        What it adds to the traffic index, with the ends of the range [1].
    vehicles_per_day
        Traffic used; None for a source without traffic.
    reason
        Why it counts, in words.
    source
        Where the number comes from.
    mark
        How well that is known.
    """

    kind: str
    name: str
    distance_m: float
    value: float
    low: float
    high: float
    vehicles_per_day: float | None
    reason: str
    source: str
    mark: Mark


@dataclass(frozen=True)
class PlaceReview:
    """What is known of roads round one place.

    Parameters
    ----------
    name
        The site's name, or the position in words.
    lon, lat
        The worst point looked at, WGS 84 [deg].
    place_class
        0 to 4, roads only; None where no road data covers the place.
    could_be
        Highest class within the range; None where no road data covers the place.
    unknown
        Each thing not known, in words; empty where all that was asked for is known.
    traffic_index
        Index with its range [1]; 1 is the kerb of an endless straight road with 10,000 vehicles a day.
    sources
        Nearest roads first.
    words
        The class in words, ending in what it does not say.
    reach_m
        How far roads were looked for [m].
    data_date
        Date of the map data; None where the extract does not say.
    points_looked_at
        How many points of the place were computed; the worst one stands.
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
