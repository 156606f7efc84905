"""Tests that what lies round a place is loaded once, and from what stands."""

from __future__ import annotations

import datetime
from pathlib import Path

import numpy as np
import pytest

from sitebook.analysis.contamination.place import Known, Place
from sitebook.records.map_data import TrafficCount
from sitebook.store import rows
from sitebook.store.book import writing
from sitebook.work import opened
from sitebook.work.known_ground import ground_of
from tests.intake.osm import extracts
from tests.work import books, told_book
from tests.work.bring_in import town
from tests.work.corrections import doing


def _round(path: Path, lon: float, lat: float) -> Known:
    with opened(path) as book:
        return ground_of(book).round(Place("here", np.array([[lon, lat]])))


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return told_book.told(tmp_path)


def test_only_what_stands_is_loaded(book: Path) -> None:
    known = _round(book, -19.4, 48.602)
    assert {way.name for way in known.ways} == {"Mill Street", "Coast Road", None}
    assert len({way.osm_ref for way in known.ways}) == len(known.ways)
    assert known.data_date == town.NEW_DAY
    told = {each.spraying.ground: each for each in known.sprayings}
    assert "Mill Park" in told
    assert [active.rate for active in told["Mill Park"].actives] == [1440.0]


def test_what_lies_far_off_is_not_loaded_but_motor_roads_are_counted_in_all(book: Path) -> None:
    known = _round(book, -10.0, 40.0)
    assert not known.ways
    assert not known.hazards
    assert not known.sprayings
    assert known.motor_roads_in_extract == 3


def test_rain_is_of_the_nearest_station_and_of_single_days(book: Path, tmp_path: Path) -> None:
    head = "code,name,lon,lat"
    far = books.table(tmp_path, "weather_station", head, "hill,hill,-19.2,48.7", name="far")
    near = books.table(tmp_path, "weather_station", head, "mill,mill,-19.4,48.603", name="near")
    rain = books.table(
        tmp_path,
        "weather",
        "station,local_date,rain_mm,covers_days",
        "hill,2025-09-03,50.0,1",
        "mill,2025-09-03,7.5,1",
        "mill,2025-09-06,30.0,3",
        name="rain",
    )
    town.bring(book, far, near, rain)
    rain_mm = _round(book, -19.4, 48.602).rain.rain_mm
    assert rain_mm == {datetime.date(2025, 9, 3): 7.5}
    assert _round(book, -19.2, 48.7).rain.rain_mm == {datetime.date(2025, 9, 3): 50.0}


def test_a_withdrawn_active_and_count_are_not_loaded(book: Path) -> None:
    assert len(_round(book, -19.4, 48.602).counts) == 1
    with opened(book) as found, writing(found):
        rows.update(found, TrafficCount, 1, {"withdrawn_at": books.LATER})
    doing.withdraw(book, "spraying", "Mill Park")
    known = _round(book, -19.4, 48.602)
    assert not known.counts
    assert "Mill Park" not in {each.spraying.ground for each in known.sprayings}


def test_a_road_at_180_degrees_is_loaded_once(tmp_path: Path) -> None:
    path, stamp = books.fresh(tmp_path), 'version="1" timestamp="2024-06-02T10:00:00Z"'
    nodes = [extracts.node(1, 179.999, 10.0, stamp), extracts.node(2, -179.999, 10.0, stamp)]
    road = extracts.way(5, [1, 2], stamp, highway="primary")
    town.bring(path, extracts.write(tmp_path / "far.osm", *nodes, road), far=True)
    known = _round(path, 179.9995, 10.001)
    assert len(known.ways) == 1
