"""Tests that a track becomes visits of the sites it crosses, and that finds inside them join."""

from __future__ import annotations

import datetime
from pathlib import Path

import pytest

from sitebook.work import opened
from sitebook.work.settings import set_value
from tests.work import books
from tests.work.bring_in import town

MILL, QUAY = (-19.4000, 48.6020), (-19.3920, 48.6080)
BOTH = [(*MILL, 12.0), (*QUAY, 9.0)]
VISITS = """SELECT s.name, v.local_date, v.started_at, v.search_minutes, v.reason, v.looked_for_all,
    v.effort_assumed FROM visit v JOIN site s ON s.id = v.site_id ORDER BY v.started_at"""


@pytest.fixture
def book(tmp_path: Path) -> Path:
    path = books.fresh(tmp_path)
    town.bring(path, town.sites(tmp_path))
    return path


def test_a_track_over_two_sites_makes_two_visits_with_assumed_effort(book: Path, tmp_path: Path) -> None:
    report = town.bring(book, town.walk(tmp_path / "walk.gpx", BOTH))
    mill, quay = books.asked(book, VISITS)
    assert mill[:3] == ("Mill Park", "2025-09-01", "2025-09-01T09:00:00.000Z")
    assert quay[:2] == ("Quay Wood", "2025-09-01")
    assert isinstance(mill[3], float)
    assert mill[3] == pytest.approx(12.0, abs=1.0)
    assert quay[3] == pytest.approx(9.0, abs=1.0)
    assert mill[4:] == quay[4:] == ("passing", 0, 1)
    assert report.made == {"visit": 2}
    assert any("assumed" in remark for remark in report.remarks)


def test_sites_that_come_after_the_track_are_matched_too(tmp_path: Path) -> None:
    before, after, together = (books.fresh(tmp_path, f"{n}.gpkg") for n in ("before", "after", "together"))
    sites, walk = town.sites(tmp_path), town.walk(tmp_path / "walk.gpx", BOTH)
    town.bring(before, sites)
    town.bring(before, walk)
    town.bring(after, walk)
    town.bring(after, sites)
    town.bring(together, walk, sites)
    assert books.asked(after, VISITS) == books.asked(before, VISITS) == books.asked(together, VISITS)


def test_the_visit_of_that_day_takes_the_track_and_the_minutes(book: Path, tmp_path: Path) -> None:
    visit = books.table(tmp_path, "visit", "site,local_date,reason", "Mill Park,2025-09-01,planned")
    report = town.bring(book, visit, town.walk(tmp_path / "walk.gpx", BOTH[:1]))
    asked = "SELECT track_id, search_minutes, reason, looked_for_all, effort_assumed FROM visit"
    track, minutes, *rest = books.only(book, asked)
    assert track == 1
    assert minutes == pytest.approx(12.0, abs=1.0)
    assert rest == ["planned", 1, 0]
    assert "visit" not in report.made


def test_minutes_she_noted_stand(book: Path, tmp_path: Path) -> None:
    visit = books.table(
        tmp_path, "visit", "site,local_date,search_minutes,reason", "Mill Park,2025-09-01,40,planned"
    )
    town.bring(book, visit)
    town.bring(book, town.walk(tmp_path / "walk.gpx", BOTH[:1]), now=books.LATER)
    assert books.asked(book, "SELECT track_id, search_minutes FROM visit") == [(1, 40.0)]


def test_a_table_of_visits_brought_after_the_track_is_the_same_visit(book: Path, tmp_path: Path) -> None:
    visit = books.table(
        tmp_path, "visit", "site,local_date,search_minutes,reason", "Mill Park,2025-09-01,40,planned"
    )
    town.bring(book, town.walk(tmp_path / "walk.gpx", BOTH[:1]))
    town.bring(book, visit, now=books.LATER)
    asked = "SELECT track_id, search_minutes, reason, looked_for_all, effort_assumed FROM visit"
    assert books.asked(book, asked) == [(1, 40.0, "planned", 1, 0)]
    town.bring(book, _again(visit), now=books.LATER)
    assert books.asked(book, asked) == [(1, 40.0, "planned", 1, 0)]


def _again(path: Path) -> Path:
    path.write_text(path.read_text("utf-8") + "# again\n", "utf-8")
    return path


def test_passing_through_is_no_visit(book: Path, tmp_path: Path) -> None:
    report = town.bring(book, town.walk(tmp_path / "walk.gpx", [(*MILL, 0.5), (-19.41, 48.595, 5.0)]))
    assert books.asked(book, VISITS) == []
    assert "visit" not in report.made


def test_a_track_of_the_night_belongs_to_the_local_date(book: Path, tmp_path: Path) -> None:
    town.bring(book, town.walk(tmp_path / "walk.gpx", BOTH[:1], begun="2025-09-02T00:20:00"))
    assert books.only(book, "SELECT local_date FROM visit") == ("2025-09-01",)


def test_a_lone_find_inside_joins_the_visit(book: Path, tmp_path: Path) -> None:
    marks = [
        ("inside", -19.40003, 48.60202, "2025-09-01T09:04:00Z"),
        ("outside", -19.4100, 48.5950, "2025-09-01T09:05:00Z"),
        ("another day", -19.40003, 48.60203, "2025-09-03T09:05:00Z"),
    ]
    town.bring(book, town.walk(tmp_path / "walk.gpx", BOTH, waypoints=marks))
    asked = "SELECT note, visit_id IS NOT NULL FROM find ORDER BY id"
    joined = {str(note): bool(visit) for note, visit in books.asked(book, asked)}
    assert sum(joined.values()) == 1
    assert [visit for note, visit in joined.items() if "inside" in note] == [True]


def test_the_same_walk_again_makes_no_second_visit(book: Path, tmp_path: Path) -> None:
    walk = town.walk(tmp_path / "walk.gpx", BOTH)
    town.bring(book, walk)
    before = books.asked(book, VISITS)
    walk.write_text(walk.read_text("utf-8") + "<!-- copied -->", "utf-8")
    report = town.bring(book, walk, now=books.LATER)
    assert books.asked(book, VISITS) == before
    assert "visit" not in report.made


def test_a_setting_moves_the_pace_that_counts_as_search(tmp_path: Path) -> None:
    walk = town.walk(tmp_path / "walk.gpx", BOTH[:1])
    path = books.fresh(tmp_path, "slow.gpkg")
    with opened(path) as found:
        set_value(found, "walking_limit_kmh", "0.5")
    town.bring(path, town.sites(tmp_path), walk)
    assert books.asked(path, VISITS) == []


def test_a_track_without_times_makes_no_visit(book: Path, tmp_path: Path) -> None:
    walk = town.walk(tmp_path / "walk.gpx", BOTH)
    text = walk.read_text("utf-8")
    at = datetime.datetime(2025, 9, 1, 9, tzinfo=datetime.UTC)
    for _ in range(60):
        text = text.replace(f"<time>{at:%Y-%m-%dT%H:%M:%SZ}</time>", "")
        at += datetime.timedelta(seconds=30)
    walk.write_text(text, "utf-8")
    town.bring(book, walk)
    assert books.asked(book, "SELECT started_at FROM track") == [(None,)]
    assert books.asked(book, VISITS) == []


def test_what_comes_with_a_track_enters_no_rate(book: Path, tmp_path: Path) -> None:
    town.bring(book, town.walk(tmp_path / "walk.gpx", BOTH))
    asked = "SELECT count(*) FROM visit WHERE looked_for_all = 1 OR effort_assumed = 0"
    assert books.only(book, asked) == (0,)
    assert books.only(book, "SELECT count(*) FROM look") == (0,)
