"""Tests that a newer extract sets anew what an older one said, and leaves alone what she said herself."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.work import books
from tests.work.bring_in import town

WAYS = "SELECT osm_ref, road_class, name, valid_from, valid_to FROM way ORDER BY osm_ref"
OLD, NEW = town.OLD_DAY.isoformat(), town.NEW_DAY.isoformat()
AFTER_BOTH = [
    ("way/10", "tertiary", "Mill Street", OLD, None),
    ("way/11", "primary", "Coast Road", OLD, None),
    ("way/12", "footway", None, OLD, NEW),
    ("way/13", "service", None, NEW, None),
]


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return books.fresh(tmp_path)


def test_an_extract_is_kept_with_its_date_and_ground(book: Path, tmp_path: Path) -> None:
    town.bring(book, town.old_map(tmp_path))
    assert books.only(book, "SELECT data_date, superseded_by FROM extract") == (OLD, None)
    assert books.asked(book, WAYS) == [
        ("way/10", "residential", "Mill Lane", OLD, None),
        ("way/11", "primary", "Coast Road", OLD, None),
        ("way/12", "footway", None, OLD, None),
    ]
    assert books.asked(book, "SELECT kind, name, origin FROM hazard") == [("golf course", "Links", "extract")]


def test_a_newer_extract_sets_anew_and_ends_what_is_gone(book: Path, tmp_path: Path) -> None:
    town.bring(book, town.old_map(tmp_path))
    report = town.bring(book, town.new_map(tmp_path), now=books.LATER)
    assert books.asked(book, WAYS) == AFTER_BOTH
    trees = "SELECT osm_ref, valid_to FROM mapped_tree ORDER BY osm_ref"
    assert books.asked(book, trees) == [("node/30", None), ("node/31", NEW)]
    assert books.asked(book, "SELECT kind, valid_to FROM hazard") == [("golf course", NEW)]
    (file,) = report.files
    assert file.added["way"] == 1
    assert file.changed["way"] == 1


def test_both_at_once_give_the_same(book: Path, tmp_path: Path) -> None:
    town.bring(book, town.new_map(tmp_path), town.old_map(tmp_path))
    assert books.asked(book, WAYS) == AFTER_BOTH


def test_the_older_extract_is_superseded(book: Path, tmp_path: Path) -> None:
    town.bring(book, town.old_map(tmp_path))
    town.bring(book, town.new_map(tmp_path), now=books.LATER)
    asked = "SELECT o.data_date, n.data_date FROM extract o LEFT JOIN extract n ON n.id = o.superseded_by"
    assert sorted(books.asked(book, asked), key=str) == [(OLD, NEW), (NEW, None)]


def test_an_older_extract_after_a_newer_says_nothing_new_of_what_the_newer_knows(
    book: Path, tmp_path: Path
) -> None:
    town.bring(book, town.new_map(tmp_path))
    before = {row[0]: row for row in books.asked(book, WAYS)}
    town.bring(book, town.old_map(tmp_path), now=books.LATER)
    after = {row[0]: row for row in books.asked(book, WAYS)}
    assert {ref: after[ref][1:3] for ref in before} == {ref: before[ref][1:3] for ref in before}
    assert all(after[ref][4] is None for ref in before)


def test_what_only_the_older_extract_holds_does_not_come_back(book: Path, tmp_path: Path) -> None:
    town.bring(book, town.new_map(tmp_path))
    town.bring(book, town.old_map(tmp_path), now=books.LATER)
    standing = "SELECT osm_ref FROM {} WHERE valid_to IS NULL ORDER BY osm_ref"
    assert books.asked(book, standing.format("way")) == [("way/10",), ("way/11",), ("way/13",)]
    assert books.asked(book, standing.format("mapped_tree")) == [("node/30",)]
    assert books.asked(book, standing.format("hazard")) == []


def test_what_is_gone_and_comes_back_stands_again(book: Path, tmp_path: Path) -> None:
    town.bring(book, town.old_map(tmp_path))
    town.bring(book, town.new_map(tmp_path))
    again = town.old_map(tmp_path, "town_2025.osm")
    again.write_text(again.read_text("utf-8").replace(OLD, "2025-03-03"), "utf-8")
    town.bring(book, again, now=books.LATER)
    (path,) = [row for row in books.asked(book, WAYS) if row[0] == "way/12"]
    assert path == ("way/12", "footway", None, OLD, None)


def test_what_lies_outside_the_newer_ground_stands(book: Path, tmp_path: Path) -> None:
    town.bring(book, town.old_map(tmp_path))
    small = town.new_map(tmp_path)
    text = small.read_text("utf-8").replace('minlat="48.59"', 'minlat="48.598"')
    small.write_text(text.replace('maxlat="48.62"', 'maxlat="48.603"'), "utf-8")
    town.bring(book, small, now=books.LATER)
    standing = "SELECT osm_ref FROM {} WHERE valid_to IS NULL ORDER BY osm_ref"
    assert ("way/12",) in books.asked(book, standing.format("way"))
    assert books.asked(book, standing.format("hazard")) == [("way/20",)]
    assert books.asked(book, "SELECT count(*) FROM extract WHERE superseded_by IS NOT NULL") == [(0,)]


def test_her_counts_and_what_she_was_told_stay(book: Path, tmp_path: Path) -> None:
    town.bring(book, *town.tables(tmp_path), town.old_map(tmp_path))
    counts = books.asked(book, "SELECT * FROM traffic_count")
    told = books.asked(book, "SELECT * FROM hazard WHERE origin = 'seen'")
    assert len(counts) == len(told) == 1
    town.bring(book, town.new_map(tmp_path), now=books.LATER)
    assert books.asked(book, "SELECT * FROM traffic_count") == counts
    assert books.asked(book, "SELECT * FROM hazard WHERE origin = 'seen'") == told


def test_the_same_map_written_anew_doubles_nothing(book: Path, tmp_path: Path) -> None:
    town.bring(book, town.old_map(tmp_path))
    twin = town.old_map(tmp_path, "twin.osm")
    twin.write_text(twin.read_text("utf-8").replace('version="1" ', 'version="2" '), "utf-8")
    report = town.bring(book, twin, now=books.LATER)
    (file,) = report.files
    assert dict(file.added) == {"extract": 1}
    assert dict(file.changed) == {}
    assert books.only(book, "SELECT count(*) FROM way") == (3,)


def test_the_index_follows_what_is_set_anew(book: Path, tmp_path: Path) -> None:
    town.bring(book, town.old_map(tmp_path))
    moved = town.new_map(tmp_path)
    moved.write_text(moved.read_text("utf-8").replace('lon="-19.41" lat="48.6"', 'lon="-19.415" lat="48.6"'))
    town.bring(book, moved, now=books.LATER)
    asked = "SELECT r.minx FROM rtree_way_geom r JOIN way w ON w.id = r.id WHERE w.osm_ref = 'way/10'"
    (west,) = books.only(book, asked)
    assert west == pytest.approx(-19.415, abs=1e-5)
