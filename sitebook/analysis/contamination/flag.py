"""Reviews the roads round one place: its class, what that rests on, and what is not known."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from shapely.geometry.base import BaseGeometry

from sitebook.analysis.contamination import parameters
from sitebook.analysis.contamination.classes import class_of, words_of
from sitebook.analysis.contamination.coverage import Coverage, coverage_of
from sitebook.analysis.contamination.roads import line_shares
from sitebook.analysis.contamination.traffic import Network, Road, carries_motors, network
from sitebook.ground.distance import to_lines
from sitebook.ground.projection import LocalMetres, Window, centre_of, refuse_impossible, windows_round
from sitebook.records.map_data import TrafficCount, Way
from sitebook.records.results.contamination import Band, NearSource
from sitebook.records.results.review import PlaceReview

Floats = NDArray[np.float64]

NEAREST = 5
"""How many roads are named at most, besides one farther off that adds more than any of them."""

NO_MAP = "no map data covers this place"
NO_ROADS = "no motor road in the extract at all"


@dataclass(frozen=True)
class _Place:
    """What was computed at one point.

    Parameters
    ----------
    number
        Which point of the place.
    index
        Traffic index with its range [1].
    distance_m
        Distance to each road (k,) [m].
    added
        What each road adds at the central, low and high traffic (3, k) [1].
    """

    number: int
    index: Band
    distance_m: Floats
    added: Floats

    @property
    def motor_road_m(self) -> float:
        """Distance to the nearest motor road within the reach [m], inf where there is none."""
        nearest = float(self.distance_m.min(initial=np.inf))
        return nearest if nearest <= parameters.value("reach") else np.inf

    @property
    def place_class(self) -> int:
        """The class at the central traffic."""
        return class_of(self.index.central, self.motor_road_m)

    @property
    def could_be(self) -> int:
        """The class at the high traffic."""
        return class_of(self.index.high, self.motor_road_m)


def needs(points_lonlat: ArrayLike) -> tuple[Window, ...]:
    """Say which ground must be loaded for a review: ways, counts and extracts that touch it.

    Parameters
    ----------
    points_lonlat
        Points of the place (n, 2), WGS 84 [deg].

    Returns
    -------
    tuple of Window
        One rectangle, or two where the ground crosses 180 degrees of longitude.
    """
    margin = parameters.value("count_speaks") + parameters.value("count_match")
    return windows_round(_checked(points_lonlat), parameters.value("reach") + margin)


def review_place(
    name: str,
    points_lonlat: ArrayLike,
    roads: Sequence[Way],
    counts: Sequence[TrafficCount],
    covered: Sequence[BaseGeometry],
    *,
    today: datetime.date,
    data_date: datetime.date | None = None,
    motor_roads_in_extract: int | None = None,
) -> PlaceReview:
    """Review the roads round one place; of several points the worst one stands.

    The index is that of `roads.traffic_index` with the central numbers, the distance being that to the
    centre line. Its range is that of the traffic alone.

    Parameters
    ----------
    name
        The site's name, or the position in words.
    points_lonlat
        Points of the place (n, 2): its middle, its outline, its trees; WGS 84 [deg].
    roads
        Ways in the windows of `needs`; those without motors are passed over.
    counts
        Traffic counts in the same windows.
    covered
        Ground that the extracts cover, WGS 84 [deg].
    today
        Day of the review.
    data_date
        Date of the map data; None where the extract does not say.
    motor_roads_in_extract
        How many motor roads the extracts hold in all, so that a place far from roads is told from a map
        without roads; None: as many as are in `roads`.

    Raises
    ------
    PositionImpossible
        When a point is not on the globe.
    ValueError
        When no point is given.
    """
    points = _checked(points_lonlat)
    frame = LocalMetres(*centre_of(points))
    cover = coverage_of(points, covered, frame, parameters.value("reach"))
    if not cover.inside.any():
        return _not_known(name, points, data_date, NO_MAP)
    total = motor_roads_in_extract
    found = network(roads, counts, frame, today=today)
    if not (sum(map(carries_motors, roads)) if total is None else total) and not found.roads:
        return _not_known(name, points, data_date, NO_ROADS, *_ends(cover))
    places = _computed(frame.to_metres(points), np.flatnonzero(cover.inside), found.roads)
    worst = max(places, key=lambda p: (p.place_class, p.could_be, p.index.central))
    remarks = _tunnel_remarks(frame.to_metres(points[cover.inside]), found.tunnels)
    return PlaceReview(
        name=name,
        lon=float(points[worst.number, 0]),
        lat=float(points[worst.number, 1]),
        place_class=worst.place_class,
        could_be=max(place.could_be for place in places),
        unknown=(*_ends(cover), *_gaps(points, found, frame), *_age(data_date, today)),
        traffic_index=worst.index,
        sources=_sources(worst, found.roads),
        words=words_of(worst.place_class, worst.motor_road_m, remarks),
        reach_m=parameters.value("reach"),
        data_date=data_date,
        points_looked_at=len(places),
    )


def _checked(points_lonlat: ArrayLike) -> Floats:
    points = np.asarray(points_lonlat, dtype=np.float64).reshape(-1, 2)
    if not len(points):
        raise ValueError("a place needs at least one point")
    for lon, lat in points:
        refuse_impossible(float(lon), float(lat))
    return points


def _computed(points_m: Floats, numbers: NDArray[np.int64], roads: Sequence[Road]) -> list[_Place]:
    lines = [road.line_m for road in roads]
    shares = line_shares(points_m[numbers], lines)
    distances = to_lines(points_m[numbers], lines)
    traffic = np.array([[r.traffic.central, r.traffic.low, r.traffic.high] for r in roads]).reshape(-1, 3)
    load = (traffic / parameters.value("unit_traffic")) ** parameters.value("traffic_power")
    return [
        _place(int(number), share * load.T, distance)
        for number, share, distance in zip(numbers, shares, distances, strict=True)
    ]


def _place(number: int, added: Floats, distance_m: Floats) -> _Place:
    central, low, high = (float(value) for value in added.sum(axis=1))
    return _Place(number, Band(central, low, high), distance_m, added)


def _sources(place: _Place, roads: Sequence[Road]) -> tuple[NearSource, ...]:
    """Name the nearest roads, pieces of one name, class and source taken together, and the strongest."""
    groups: dict[tuple[str, str, str], list[int]] = {}
    for number in np.argsort(place.distance_m, kind="stable"):
        road = roads[number]
        if place.distance_m[number] <= parameters.value("reach"):
            groups.setdefault((road.name, road.road_class, road.mark), []).append(int(number))
    sources = [_source(place, roads, members) for members in groups.values()]
    named = sources[:NEAREST]
    strongest = max(sources, key=lambda s: s.value, default=None)
    return tuple(named) if strongest is None or strongest in named else (*named, strongest)


def _source(place: _Place, roads: Sequence[Road], members: list[int]) -> NearSource:
    nearest = roads[members[0]]
    value, low, high = (float(v) for v in place.added[:, members].sum(axis=1))
    distance = float(place.distance_m[members[0]])
    return NearSource(
        kind="road",
        name=nearest.name,
        distance_m=distance,
        value=value,
        low=low,
        high=high,
        vehicles_per_day=nearest.traffic.central,
        reason=_reason(distance, nearest, len(members)),
        source=nearest.source,
        mark=nearest.mark,
    )


def _reason(distance_m: float, road: Road, pieces: int) -> str:
    said = parameters.road_classes()[road.road_class].said
    several = f" ({pieces} mapped pieces)" if pieces > 1 else ""
    return f"{said}{several} with about {road.traffic.central:,.0f} vehicles a day, {distance_m:.0f} m away"


def _ends(cover: Coverage) -> tuple[str, ...]:
    outside = int((~cover.inside).sum())
    said = [f"{outside} of {cover.inside.size} points lie outside the map data"] if outside else []
    if cover.end is not None:
        said.append(f"the map ends {cover.end.distance_m:.0f} m to the {cover.end.direction}")
    return tuple(said)


def _gaps(points: Floats, found: Network, frame: LocalMetres) -> tuple[str, ...]:
    """Say which ways and counts within the reach could not be used."""
    places, reach = frame.to_metres(points), parameters.value("reach")
    near = to_lines(places, frame.lines_to_metres([w.geom for w in found.strange])).min(axis=0) <= reach
    words = sorted({way.road_class for way, is_near in zip(found.strange, near, strict=True) if is_near})
    said = [f'ways of the class "{word}" have no number of vehicles and do not count' for word in words]
    limit = f"{parameters.value('count_match'):.0f} m"
    for count in found.unused_counts:
        spot = frame.lines_to_metres([count.geom])[0][0]
        if np.hypot(*(places - spot).T).min() <= reach:
            said.append(f"the count by {count.source} has no motor road within {limit} and was not used")
    return tuple(said)


def _age(data_date: datetime.date | None, today: datetime.date) -> tuple[str, ...]:
    if data_date is None:
        return ("the map data do not say their date",)
    years = (today - data_date).days / 365.25
    if years < parameters.value("old_map"):
        return ()
    return (f"the map data are {years:.0f} years old; roads may have changed since",)


def _tunnel_remarks(points_m: Floats, tunnels: Sequence[Road]) -> tuple[str, ...]:
    distances = to_lines(points_m, [road.line_m for road in tunnels]).min(axis=0)
    near: dict[str, float] = {}
    for road, distance in zip(tunnels, distances, strict=True):
        if distance <= parameters.value("tunnel_note"):
            near[road.name] = min(float(distance), near.get(road.name, np.inf))
    return tuple(
        f"A tunnel ({name}) runs {distance:.0f} m away and is not counted." for name, distance in near.items()
    )


def _not_known(name: str, points: Floats, data_date: datetime.date | None, *unknown: str) -> PlaceReview:
    return PlaceReview(
        name=name,
        lon=float(points[0, 0]),
        lat=float(points[0, 1]),
        place_class=None,
        could_be=None,
        unknown=unknown,
        traffic_index=None,
        sources=(),
        words=words_of(None, np.inf),
        reach_m=parameters.value("reach"),
        data_date=data_date,
        points_looked_at=0,
    )
