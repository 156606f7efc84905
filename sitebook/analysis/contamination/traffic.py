"""Settles how many vehicles a day each stretch of road is taken to carry, and who says so."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray

from sitebook.analysis.contamination import parameters, traffic_words
from sitebook.analysis.contamination.carriageways import twins_of
from sitebook.analysis.contamination.counts import Spot, breaks, speaking, spots_of
from sitebook.analysis.contamination.kerb_count import daily
from sitebook.analysis.contamination.portals import open_spans
from sitebook.analysis.contamination.stretches import (
    SHORTEST_M,
    Span,
    Stretch,
    at,
    carries_motors,
    cut,
    holds,
    stretches_of,
)
from sitebook.citations import Mark
from sitebook.ground.projection import LocalMetres
from sitebook.records.map_data import TrafficCount, Way
from sitebook.records.results.contamination import Band

__all__ = ["Network", "Road", "carries_motors", "network"]

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Road:
    """One stretch of road with the traffic taken for it.

    Parameters
    ----------
    name
        Its name, or its class in words where it has none.
    road_class
        Value of its highway tag; "" for a road of the past.
    line_m
        Its centre line (k, 2) [m].
    traffic
        Vehicles a day on this line, with the ends of the range.
    source
        Number and where it comes from, in words.
    mark
        How well that is known.
    half_width_m
        Half its width [m].
    past_use
        What it was in the past; "" for a road of today.
    """

    name: str
    road_class: str
    line_m: Floats
    traffic: Band
    source: str
    mark: Mark
    half_width_m: float = 0.0
    past_use: str = ""


@dataclass(frozen=True)
class Network:
    """The roads that count, and what was left aside.

    Parameters
    ----------
    roads
        Roads with motor traffic in the open, tunnels just behind their portals among them.
    tunnels
        Roads with motor traffic that run underground; they do not count.
    strange
        Ways whose class the table of traffic does not know.
    unused_counts
        Counts that lie by no motor road.
    """

    roads: tuple[Road, ...]
    tunnels: tuple[Road, ...]
    strange: tuple[Way, ...]
    unused_counts: tuple[TrafficCount, ...]


@dataclass(frozen=True)
class _State:
    """What holds for a span of a stretch: a twin beside it, daylight, and the count that speaks."""

    twin: bool
    in_the_open: bool
    spot: Spot | None


@dataclass(frozen=True)
class _Around:
    """What may change along a stretch: where it has a twin, where its tunnel is open, counts it hears."""

    twin: Sequence[Span]
    portal: Sequence[Span]
    number: int
    spots: Sequence[Spot]


def network(
    ways: Sequence[Way], counts: Sequence[TrafficCount], frame: LocalMetres, *, today: datetime.date
) -> Network:
    """Settle the traffic of every road that carries motors.

    Ways are first joined into stretches, so that nothing depends on how the map cuts its roads. A count
    stands in the place of the class number on its road within `count_speaks` of the road model, the
    nearest of several. The two carriageways of one road carry half of its vehicles each. Tunnels count
    near their portals alone.

    Parameters
    ----------
    ways
        Mapped ways; those no longer there today are left aside.
    counts
        Counts of hers.
    frame
        Metres round the place.
    today
        Day of the review.
    """
    there = [way for way in ways if way.valid_to is None or way.valid_to > today]
    stretches = stretches_of([way for way in there if way.road_class in parameters.road_classes()], frame)
    twins = twins_of(stretches)
    standing = list({count.uuid: count for count in counts if count.withdrawn_at is None}.values())
    spots, unused = spots_of(standing, stretches, twins.partners, frame)
    portals = open_spans(stretches, {spot.stretch for spot in spots})
    roads: list[Road] = []
    tunnels: list[Road] = []
    for number, stretch in enumerate(stretches):
        around = _Around(
            twins.spans[number], portals[number], number, [spot for spot in spots if number in spot.heard]
        )
        for span, state in _spans(stretch, around):
            road = _road(stretch, span, state)
            if road is not None:
                (roads if state.in_the_open else tunnels).append(road)
    return Network(
        roads=tuple(roads),
        tunnels=tuple(tunnels),
        strange=tuple(way for way in there if way.road_class not in parameters.road_classes()),
        unused_counts=unused,
    )


def _spans(stretch: Stretch, around: _Around) -> Iterator[tuple[Span, _State]]:
    """Yield the spans of a stretch in which nothing changes."""
    inner = {end for span in (*around.twin, *around.portal) for end in span}
    inner |= set(breaks(stretch, around.spots))
    ends = sorted({0.0, stretch.length_m, *(end for end in inner if 0.0 < end < stretch.length_m)})
    found: list[tuple[Span, _State]] = []
    for begin, end in pairwise(ends):
        if end - begin < SHORTEST_M:
            continue
        middle = 0.5 * (begin + end)
        state = _State(
            twin=holds(around.twin, middle),
            in_the_open=not stretch.like.tunnel or holds(around.portal, middle),
            spot=speaking(at(stretch, middle), around.number, around.spots),
        )
        if found and found[-1][1] == state:
            found[-1] = ((found[-1][0][0], end), state)
        else:
            found.append(((begin, end), state))
    yield from found


def _road(stretch: Stretch, span: Span, state: _State) -> Road | None:
    like = stretch.like
    if state.spot is None and not like.motors:
        return None
    line = cut(stretch, span)
    if state.spot is None:
        traffic, source, mark = _by_class(like.road_class, oneway=like.oneway, twin=state.twin)
    else:
        traffic, source, mark = _by_count(stretch, line, state.spot, twin=state.twin)
    if like.tunnel and state.in_the_open:
        source += f", {parameters.value('portal_depth'):.0f} m of a tunnel behind its portal [our choice]"
    name = like.name or f"{parameters.road_classes()[like.road_class].said} without a name"
    return Road(name, like.road_class, line, traffic, source, mark, like.half_width_m)


def _by_class(road_class: str, *, oneway: bool, twin: bool) -> tuple[Band, str, Mark]:
    cited = parameters.road_classes()[road_class].vehicles_per_day
    number, factor = cited.value * (0.5 if twin else 1.0), parameters.value("traffic_band")
    band = Band(number, number / factor, number * factor)
    return band, traffic_words.by_class(band, road_class, oneway=oneway, twin=twin), cited.mark


def _by_count(stretch: Stretch, line: Floats, spot: Spot, *, twin: bool) -> tuple[Band, str, Mark]:
    like, count = stretch.like, spot.count
    one = count.counts_directions == "one"
    times = 0.5 if twin and not one else 2.0 if one and not like.oneway else 1.0
    whole = daily(count, like.road_class, only=spot.only)
    band = Band(whole.central * times, whole.low * times, whole.high * times)
    away_m = float(shapely.distance(shapely.LineString(line), shapely.Point(spot.at_m)))
    said = traffic_words.by_count(band, spot, oneway=like.oneway, twin=twin, away_m=away_m)
    return band, said, "computed"
