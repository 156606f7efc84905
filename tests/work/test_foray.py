"""Tests what is told of a day out: planned against done, what it taught, what waits."""

from __future__ import annotations

import datetime
from pathlib import Path

import pytest

from sitebook.analysis.season.spots import on_days
from sitebook.records.results.day_plan import ForayDone
from sitebook.work import opened
from sitebook.work.adding import add
from sitebook.work.foray import foray_done, forays
from sitebook.work.forays_named import named_foray
from sitebook.work.seasons import seasons_of
from tests.work import books, made_forays
from tests.work.bring_in import town

DAY = made_forays.DAY
MILL = "Mill Park,2025-10-04,2025-10-04T10:42:00Z,40,2,planned,no"
QUAY = "Quay Wood,2025-10-04,2025-10-04T14:05:00Z,20,1,passing,yes"
PAST = ("Mill Park,2025-09-20,,30,1,planned,yes", "Quay Wood,2025-09-20,,30,1,planned,yes")


def _book(folder: Path, *, with_day: bool = True) -> Path:
    """Make a book of three sites, two visits before the day, and those of the day."""
    path = books.fresh(folder)
    header = "site,local_date,started_at,search_minutes,searchers,reason,looked_for_all"
    files = [
        books.table(
            folder,
            "site",
            "name,lon,lat,radius_m",
            "Mill Park,-19.4,48.602,60",
            "Quay Wood,-19.392,48.608,60",
            "Far Wood,-19.38,48.61,60",
        ),
        books.table(
            folder, "host_tree", "site,tag,taxon,lon,lat", "Mill Park,B1,Betula pendula,-19.4,48.602"
        ),
        books.table(folder, "visit", header, *PAST, *((MILL, QUAY) if with_day else ())),
    ]
    looks = ["Mill Park,2025-09-20,,B1,Leccinum scabrum,10,not seen"]
    finds = ["Quay Wood,2025-09-20,1,1,Leccinum scabrum,"]
    if with_day:
        looks += [
            "Mill Park,2025-10-04,2025-10-04T10:42:00Z,B1,Leccinum scabrum,10,found",
            "Mill Park,2025-10-04,2025-10-04T10:42:00Z,,Boletus edulis,10,not seen",
        ]
        finds += [
            "Mill Park,2025-10-04,2,1,Leccinum scabrum,B1",
            "Mill Park,2025-10-04,,3,,",
        ]
    files += [
        books.table(folder, "look", "site,local_date,started_at,host_tree,taxon,minutes,outcome", *looks),
        books.table(
            folder, "find", "site,found_on,collection_number,individual_count,name,host_tree", *finds
        ),
    ]
    made = [file for file in files if file.name == "site.csv"]
    town.bring(path, *made)
    made_forays.keep(path, "Mill Park", "Far Wood", now=books.NOW)
    town.bring(path, *(file for file in files if file not in made), now=books.LATER)
    return path


def _done(path: Path) -> ForayDone:
    with opened(path) as book:
        answer = foray_done(book, named_foray(book))
    assert answer.page is not None
    assert answer.page.startswith("<!doctype html>")
    return answer.result


def test_planned_stands_beside_done_in_the_order_of_the_day(tmp_path: Path) -> None:
    done = _done(_book(tmp_path))
    mill, quay, far = done.stops
    assert [stop.spot.site_name for stop in done.stops] == ["Mill Park", "Quay Wood", "Far Wood"]
    assert [stop.turn for stop in done.stops] == [1, None, 2]
    assert (mill.planned_at, mill.planned_min, mill.chance) == ("09:30", 40.0, 0.35)
    assert (mill.arrived_at, mill.search_min, mill.looks, mill.looks_empty) == ("09:42", 40.0, 2, 1)
    assert mill.finds == ("OV 2: Leccinum scabrum, 1 body", "draft: not named, 3 bodies")
    assert mill.said == "Begun 12 min later than planned."
    assert (quay.arrived_at, quay.looks, quay.looks_empty, quay.finds) == ("13:05", 1, 1, ())
    assert quay.said == "Not planned, visited all the same."
    assert (far.arrived_at, far.search_min, far.looks, far.said) == ("", None, 0, "Planned, not visited.")
    assert (done.finds, done.looks, done.looks_empty) == (2, 3, 2)
    assert done.hours_planned == 7.0
    assert done.hours_out == pytest.approx((14 * 60 + 25 - 10 * 60 - 42) / 60.0)
    assert done.planned_kilometres is not None
    assert done.planned_kilometres > 3.0
    assert any("1 find has no name yet" in said for said in done.waiting)
    assert any("1 find has no collection number" in said for said in done.waiting)


def test_the_chance_before_is_that_of_a_book_without_the_day(tmp_path: Path) -> None:
    for name in ("with", "without"):
        (tmp_path / name).mkdir()
    learned = {(one.taxon_name, one.spot.name): one for one in _done(_book(tmp_path / "with")).learned}
    found, empty = learned["Leccinum scabrum", "B1"], learned["Boletus edulis", "Mill Park"]
    assert found.before < found.after
    assert empty.before > empty.after
    assert "it was found" in found.said
    assert "it was not seen" in empty.said
    with opened(_book(tmp_path / "without", with_day=False)) as book:
        seasons = seasons_of(book)
        (fitted,) = (one for one in seasons.fitted if one.taxon_name == "Leccinum scabrum")
        spot = next(spot for key, spot in seasons.spots.items() if spot.tag == "B1" and key[1])
        chance = on_days(fitted, [spot], [DAY], seasons.weather_of).chance[0, 0]
    assert found.before == pytest.approx(float(chance), rel=1e-6)


def test_a_walk_that_two_receivers_recorded_counts_once(tmp_path: Path) -> None:
    path = _book(tmp_path)
    begun = "2025-10-04T10:42:00"
    walk = town.walk(tmp_path / "one.gpx", [(-19.4, 48.602, 20.0), (-19.392, 48.608, 20.0)], begun=begun)
    other = town.walk(tmp_path / "two.gpx", [(-19.4, 48.602, 18.0)], begun="2025-10-04T10:43:00")
    late = town.walk(tmp_path / "late.gpx", [(-19.38, 48.61, 10.0)], begun="2025-10-04T15:00:00")
    town.bring(path, walk, now=books.LATER + datetime.timedelta(minutes=1))
    alone = _done(path).kilometres
    assert alone is not None
    town.bring(path, other, now=books.LATER + datetime.timedelta(minutes=2))
    assert _done(path).kilometres == pytest.approx(alone)
    town.bring(path, late, now=books.LATER + datetime.timedelta(minutes=3))
    done = _done(path)
    assert done.kilometres == pytest.approx(alone + 20 * 10.3 / 1000.0, abs=0.01)
    assert [stop.spot.site_name for stop in done.stops][-1] == "Far Wood"
    assert done.stops[-1].arrived_at == "14:00"
    assert any("rests on a track alone" in said for said in done.waiting)


def test_a_foray_nobody_went_on_and_the_list_of_all(tmp_path: Path) -> None:
    path = _book(tmp_path)
    later = DAY + datetime.timedelta(days=7)
    made_forays.keep(path, "Quay Wood", on=later, name="next", now=books.NOW)
    done = _done(path)
    assert (done.on, done.finds, done.looks, done.hours_out, done.kilometres) == (later, 0, 0, None, None)
    assert done.learned == ()
    with opened(path) as book:
        told = [(line.on, line.planned, line.visited, line.unplanned) for line in forays(book).result]
        assert told == [(later, 1, 0, 0), (DAY, 2, 1, 1)]
        add(
            book,
            "visit",
            {"site": "Quay Wood", "local_date": later.isoformat(), "reason": "planned"},
            now=books.LATER,
        )
        assert forays(book).result[0].visited == 1
