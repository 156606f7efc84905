"""Measures the way that a kept foray planned, along the ways of the book's maps."""

from __future__ import annotations

import datetime
import math

from sitebook.store.book import Book
from sitebook.work.answer import Progress
from sitebook.work.day_kept import asked_again
from sitebook.work.foray_day import ForayDay
from sitebook.work.settings import settings_of
from sitebook.work.ways import travel_of, ways_of


def planned_km(
    book: Book, day: ForayDay, *, now: datetime.datetime | None, progress: Progress
) -> float | None:
    """Give the length of the way from the start over the planned stops to the end [km]; None without one.

    The ways are those that the book's maps hold by now, which need not be those it was planned on.
    """
    planned = [stop.site_id for stop in day.stops if stop.turn is not None]
    sites = [day.sites[site_id] for site_id in planned if site_id in day.sites]
    if not sites:
        return None
    asked = asked_again(book, day.foray, settings_of(book))
    points = [site.geom.representative_point() for site in sites]
    places = [(point.x, point.y) for point in points]
    graph = ways_of(book, near=asked.start, now=now, progress=progress)
    travel = travel_of(graph, asked.mode, asked.start, places, asked.ends)
    legs = [travel.leg(number, number + 1) for number in range(len(places) + 1)]
    whole_km = sum(leg.metres for leg in legs) / 1000.0
    return whole_km if math.isfinite(whole_km) else None
