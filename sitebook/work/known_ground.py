"""Loads what the book holds round a place, for a review of it."""

from __future__ import annotations

import datetime
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar

from sitebook.analysis.contamination import hazards, parameters, sprayings
from sitebook.analysis.contamination.place import Known, Place, needs
from sitebook.analysis.contamination.sprayings import RainSeen, Told
from sitebook.ground.projection import LocalMetres, Window
from sitebook.records.lab_test import LabResult, LabTest
from sitebook.records.map_data import Extract, Hazard, TrafficCount, Way
from sitebook.records.spraying import Spraying, SprayingActive
from sitebook.records.weather import WeatherDay, WeatherStation
from sitebook.store import map_data, rows
from sitebook.store.book import Book
from sitebook.work.stations import distance_m

R = TypeVar("R", Extract, Way, TrafficCount)

OneTest = tuple[LabTest, tuple[LabResult, ...]]


@dataclass(frozen=True)
class Ground:
    """What is the same for every place of a book, loaded once.

    Parameters
    ----------
    book
        The book.
    actives
        What was in each spraying, by its id.
    tests
        Every laboratory test with its results.
    rain
        Each weather station with the rain it measured.
    motor_roads
        How many motor roads the extracts hold in all.
    kinds
        Kinds of source of which the book holds at least one.
    """

    book: Book
    actives: Mapping[int, tuple[SprayingActive, ...]]
    tests: tuple[OneTest, ...]
    rain: tuple[tuple[WeatherStation, RainSeen], ...]
    motor_roads: int
    kinds: frozenset[str]

    def round(self, place: Place) -> Known:
        """Load what lies round a place."""
        windows = needs(place)
        extracts = _each_once(e for window in windows for e in rows.in_window(self.book, Extract, window))
        standing = [e for e in extracts if e.superseded_by is None]
        dates = [e.data_date for e in standing if e.data_date is not None]
        return Known(
            ways=_ways(self.book, windows),
            counts=_counts(self.book, windows),
            hazards=self._hazards(place),
            sprayings=self._sprayings(place),
            covered=[extract.geom for extract in extracts],
            rain=self._rain_at(place),
            data_date=min(dates, default=None),
            motor_roads_in_extract=self.motor_roads,
            kinds_in_book=self.kinds,
        )

    def _rain_at(self, place: Place) -> RainSeen:
        """Give the rain of the station nearest to a place; one that says not where it is comes last."""
        lon, lat = (float(value) for value in place.all_points[0])
        frame = LocalMetres(lon, lat)
        nearest = min(self.rain, key=lambda pair: distance_m(frame, pair[0]), default=None)
        return nearest[1] if nearest is not None else RainSeen()

    def _hazards(self, place: Place) -> list[Hazard]:
        kind = rows.table_for(Hazard).c.kind
        found: dict[int, Hazard] = {}
        for wanted in hazards.needs(place.all_points, uncertainty_m=place.radius_m):
            for window in wanted.windows:
                near = rows.in_window(self.book, Hazard, window, kind.in_(wanted.kinds))
                found |= {hazard.id or 0: hazard for hazard in near}
        return list(found.values())

    def _sprayings(self, place: Place) -> list[Told]:
        windows = sprayings.needs(place.all_points, uncertainty_m=place.radius_m)
        near = {s.id or 0: s for window in windows for s in rows.in_window(self.book, Spraying, window)}
        return [
            Told(spraying, self.actives.get(key, ()), _asked_about(self.tests, key))
            for key, spraying in near.items()
        ]


def ground_of(book: Book) -> Ground:
    """Load what is the same for every place of a book."""
    actives: dict[int, list[SprayingActive]] = defaultdict(list)
    for active in rows.records(book, SprayingActive):
        actives[active.spraying_id].append(active)
    return Ground(
        book=book,
        actives={key: tuple(own) for key, own in actives.items()},
        tests=tests_of(book),
        rain=_rain_by_station(book),
        motor_roads=map_data.how_many_of_classes(book, parameters.classes_to_load()),
        kinds=frozenset(map_data.hazard_kinds_held(book)),
    )


def tests_of(book: Book) -> tuple[OneTest, ...]:
    """Give every laboratory test with its results, in the order they were kept."""
    results: dict[int, list[LabResult]] = defaultdict(list)
    for result in rows.records(book, LabResult):
        results[result.lab_test_id].append(result)
    return tuple((test, tuple(results[test.id or 0])) for test in rows.records(book, LabTest))


def _ways(book: Book, windows: Sequence[Window]) -> list[Way]:
    return _each_once(way for window in windows for way in map_data.standing_in_window(book, Way, window))


def _counts(book: Book, windows: Sequence[Window]) -> list[TrafficCount]:
    return _each_once(count for window in windows for count in rows.in_window(book, TrafficCount, window))


def _each_once(found: Iterable[R]) -> list[R]:
    """Give each row once, also where it touches both windows at 180 degrees of longitude."""
    return list({row.id: row for row in found}.values())


def _asked_about(tests: Sequence[OneTest], spraying_id: int) -> tuple[OneTest, ...]:
    return tuple(pair for pair in tests if pair[0].spraying_id == spraying_id)


def _rain_by_station(book: Book) -> tuple[tuple[WeatherStation, RainSeen], ...]:
    """Give the rain of each station that measured any; rain gathered over several days is of no one day."""
    by_station: dict[int, dict[datetime.date, float]] = defaultdict(dict)
    for day in rows.records(book, WeatherDay):
        if day.rain_mm is not None and day.covers_days == 1:
            by_station[day.station_id][day.local_date] = day.rain_mm
    stations = rows.records(book, WeatherStation)
    return tuple((s, RainSeen(by_station[s.id or 0])) for s in stations if s.id in by_station)
