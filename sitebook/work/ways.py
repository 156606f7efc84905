"""Gives the graph of the mapped ways, the travel between stops over it, and what is to be said of both."""

from __future__ import annotations

import contextlib
import datetime
import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np
import shapely

from sitebook import errors
from sitebook.analysis.foray import pace, ways_kept
from sitebook.analysis.foray.car_travel import travel_by_car
from sitebook.analysis.foray.pace import MODES, Floats, Mode
from sitebook.analysis.foray.ways_graph import WaysGraph, build
from sitebook.analysis.foray.ways_travel import travel
from sitebook.citations import Cited
from sitebook.ground.projection import HOLDS_TO_M, LocalMetres, windows_round
from sitebook.records.map_data import Extract
from sitebook.records.outing import Track
from sitebook.records.results.route import Leg
from sitebook.records.site import Site
from sitebook.reference import reader
from sitebook.store import derived, map_data, rows
from sitebook.store.book import Book
from sitebook.work.answer import Progress, silent

KIND = "graph of ways"

ONE_GROUND_M = Cited(25_000.0, "m", "ours", "our choice")
"""Extracts nearer to each other than this share a graph; others lie on sheets of metres of their own."""

HOW: dict[Mode, str] = {"foot": "on foot", "bicycle": "by bicycle", "car": "by car"}

LonLat = tuple[float, float]


class Journeys(Protocol):
    """Travel between a start, stops and an end, numbered in this order from 0."""

    @property
    def minutes(self) -> Floats:
        """From each place to each [min]."""

    def leg(self, start: int, end: int, /) -> Leg:
        """Give the way from one place to another."""


@dataclass(frozen=True)
class _Ground:
    """Extracts that lie near each other."""

    extracts: tuple[Extract, ...]

    @property
    def key(self) -> str:
        return "ways of " + self.extracts[0].uuid

    @property
    def ids(self) -> list[int]:
        return [extract.id or 0 for extract in self.extracts]


def ways_of(
    book: Book,
    *,
    near: LonLat | None = None,
    now: datetime.datetime | None = None,
    progress: Progress = silent,
) -> WaysGraph | None:
    """Give the graph of all mapped ways of one ground; one that is kept and still holds is not made again.

    Parameters
    ----------
    book
        The book.
    near
        Place that says which ground is meant where the book holds maps far apart, WGS 84 [deg]; None
        takes the ground with the most sites.
    now
        Instant noted for a graph that is kept for the next question, UTC; None to keep none.
    progress
        Hears how far it is.

    Returns
    -------
    WaysGraph or None
        None where no way is mapped within reach of the place.
    """
    grounds = _grounds(rows.records(book, Extract))
    ground = _meant(book, grounds, near)
    if ground is None:
        return None
    tracks = _tracks(book, ground)
    wanted = _hash(book, ground, tracks)
    known = derived.kept_of(book, KIND, ground.key)
    if known is not None and known.input_hash == wanted:
        with contextlib.suppress(ValueError):
            return ways_kept.unpack(known.payload)
    progress("joining ways", 0, 1)
    graph = build(map_data.ways_of_extracts(book, ground.ids), tracks=tracks)
    progress("joining ways", 1, 1)
    if not len(graph.first):
        return None
    if now is not None:
        fresh = {ground.key: (wanted, ways_kept.pack(graph))}
        with contextlib.suppress(errors.BookBusy, errors.BookNotWritable):
            derived.put_in_place(book, KIND, fresh, now=now, standing={each.key for each in grounds})
    return graph


def travel_of(
    graph: WaysGraph | None,
    mode: Mode,
    start: LonLat,
    stops: Sequence[LonLat],
    end: LonLat,
    *,
    car_at: LonLat | None = None,
) -> Journeys:
    """Find the travel between a start, some stops and an end.

    Parameters
    ----------
    graph
        The ways; None where none is mapped, for straight lines with the stated detour.
    mode
        How one travels.
    start, end
        Where the day starts and ends, WGS 84 [deg].
    stops
        The stops, WGS 84 [deg].
    car_at
        Where the car stands at the start, WGS 84 [deg]; None: at the start itself.

    Returns
    -------
    Journeys
        `minutes` (n + 2, n + 2) and `leg(i, j)`, in the order start, stops, end.
    """
    ways = graph if graph is not None else build((), around=start)
    if mode == "car":
        return travel_by_car(ways, start, stops, end, car_at=car_at)
    return travel(ways, mode, [start, *stops, end])


def travel_said(graph: WaysGraph | None, mode: Mode, legs: Sequence[Leg]) -> tuple[str, ...]:
    """Say how ways and times were reckoned, and what is not known of them, one sentence each.

    Parameters
    ----------
    graph
        The ways; None where none is mapped.
    mode
        How one travels.
    legs
        The ways of the route.
    """
    said = [_ways_said(graph, mode), *_unmapped_said(graph, legs)]
    if mode == "bicycle" and graph is not None:
        said.append("A bicycle is pushed on foot ways, unless the map says that it may be ridden there.")
    if mode == "car":
        change = pace.value("park_change")
        said.append(
            "Where to leave the car is a guess from the map: look at the signs on the spot;"
            f" {change:g} minutes are taken for parking and setting off again."
        )
    said.append(_heights_said(graph, mode))
    if graph is not None:
        said.append(
            "Fences and water between a way and a place, locked gates, forbidden turns, ferries and traffic"
            " are not known."
        )
    return tuple(said)


def _ways_said(graph: WaysGraph | None, mode: Mode) -> str:
    if graph is None:
        return f"The book holds no map of this ground: {_detour_said(mode)}."
    speeds = [speed.value for speed in pace.speeds(mode).values()]
    across = float(pace.hiking_speed_kmh(0.0)) * pace.value("off_way_share")
    speeds_said = f"{HOW[mode]} at {min(speeds):.2g} to {max(speeds):.2g} km/h by their class"
    return (
        f"Ways are those of the map, {speeds_said}, which is partly our choice; from the nearest way to a"
        f" place one walks across country at {across:.1f} km/h."
    )


def _heights_said(graph: WaysGraph | None, mode: Mode) -> str:
    whose = {"foot": "every way", "bicycle": "every way", "car": "every walk"}[mode]
    on_foot_m = graph.length_m[np.isfinite(graph.networks["foot"].forward_min)].sum() if graph else 0.0
    told_m = graph.length_m[graph.with_heights].sum() if graph else 0.0
    if told_m == 0.0 or mode == "bicycle":
        return f"Heights are not heeded: {whose} is reckoned as level, so that hills take longer than told."
    return (
        f"Heights are known from tracks on {told_m / 1000.0:.1f} of {on_foot_m / 1000.0:.1f} km of ways for"
        " walkers; all others are reckoned as level, so that hills take longer than told."
    )


def _unmapped_said(graph: WaysGraph | None, legs: Sequence[Leg]) -> list[str]:
    without = sum(any(part.unmapped for part in leg.parts) for leg in legs)
    if graph is None or not without:
        return []
    of_all = f"{without} of {len(legs)} legs" if len(legs) > 1 else "the one leg"
    modes = [m for m in MODES if any(part.unmapped and part.mode == m for leg in legs for part in leg.parts)]
    return [
        f"On {of_all} no way is mapped, or for a part only: there {', and '.join(map(_detour_said, modes))}."
    ]


def _detour_said(mode: Mode) -> str:
    detour, speed = pace.value(f"detour_{mode}"), pace.value(f"unmapped_{mode}")
    how = HOW[mode]
    return f"the straight line times {detour:g} is taken, {how} at {speed:g} km/h, which is our choice"


def _tracks(book: Book, ground: _Ground) -> list[Track]:
    """Give the tracks with heights that touch the ground of some extracts."""
    told = rows.table_for(Track).c.point_elevations_m.is_not(None)
    near = (rows.in_window(book, Track, extract.geom.bounds, told) for extract in ground.extracts)
    return sorted({t.uuid: t for found in near for t in found}.values(), key=lambda track: track.uuid)


def _hash(book: Book, ground: _Ground, tracks: Sequence[Track]) -> str:
    """Give the SHA-256 of everything a graph is made of: ways, tracks, speeds, and how it is made."""
    numbers = sorted((name, cited.value) for name, cited in pace.model().items())
    walked = [(track.point_elevations_m, shapely.to_wkb(track.geom)) for track in tracks]
    ways = map_data.hash_of_ways(book, ground.ids)
    told = (ways_kept.LAYOUT, numbers, reader.rows("way_speeds"), ways, walked)
    return hashlib.sha256(repr(told).encode()).hexdigest()


def _meant(book: Book, grounds: Sequence[_Ground], near: LonLat | None) -> _Ground | None:
    if not grounds:
        return None
    if near is None:
        sites = [site.geom.centroid for site in rows.records(book, Site)]
        held = [sum(bool(e.geom.covers(p)) for p in sites for e in g.extracts) for g in grounds]
        return grounds[int(np.argmax(held))]
    away = [_away_m(ground, near) for ground in grounds]
    nearest = int(np.argmin(away))
    return grounds[nearest] if away[nearest] <= HOLDS_TO_M.value else None


def _away_m(ground: _Ground, near: LonLat) -> float:
    """Give how far a place lies from the ground of some extracts [m]; 0 on it."""
    frame, place = LocalMetres(*near), shapely.Point(0.0, 0.0)
    return float(min(frame.shape_to_metres(each.geom).distance(place) for each in ground.extracts))


def _grounds(extracts: Sequence[Extract]) -> list[_Ground]:
    """Put extracts together that lie near each other, or are joined by others that do."""
    parts: list[list[Extract]] = []
    for extract in extracts:
        near = [part for part in parts if any(_near(extract, other) for other in part)]
        parts = [part for part in parts if part not in near]
        parts.append(sorted([extract, *(e for part in near for e in part)], key=lambda e: e.id or 0))
    return [_Ground(tuple(part)) for part in sorted(parts, key=lambda part: part[0].id or 0)]


def _near(one: Extract, other: Extract) -> bool:
    windows = windows_round(shapely.get_coordinates(one.geom), ONE_GROUND_M.value)
    return any(shapely.box(*window).intersects(other.geom) for window in windows)
