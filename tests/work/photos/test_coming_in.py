"""Tests of photos coming into a book: draft finds, tracks, tags and home, whatever the order."""

from __future__ import annotations

import itertools
from pathlib import Path

import pytest

from sitebook.work.adding import add
from sitebook.work.opening import opened
from sitebook.work.photos import waiting_photos
from tests.pictures import exif, picture
from tests.work.books import LATER, asked, fresh, table
from tests.work.photos.outing import (
    DAY,
    at_home,
    brought,
    clock,
    finds,
    instant,
    north,
    photo,
    photos,
    shown,
    together,
    walk,
)


def test_photos_of_one_spot_and_time_make_one_draft_find(tmp_path: Path) -> None:
    book, folder = fresh(tmp_path), tmp_path / "pictures"
    for name, minute, metres in (
        ("a.jpg", 0, 0.0),
        ("b.jpg", 2, 8.0),
        ("c.jpg", 9, 8.0),
        ("d.jpg", 10, 90.0),
    ):
        photo(folder, name, minute, metres)
    report = brought(book, folder)
    assert together(book) == [["a.jpg", "b.jpg"], ["c.jpg"], ["d.jpg"]]
    assert report.made == {"find": 3, "photo_link": 4}
    first = finds(book)[0]
    assert (first.found_on, first.found_at) == (DAY, instant(0))
    assert (first.collection_number, first.position_source, first.uncertainty_m) == (None, "photo", 6.0)
    assert first.geom is not None
    assert (first.geom.centroid.x, first.geom.centroid.y) == pytest.approx(north(0), abs=1e-7)
    assert "3 draft finds were made of photos." in report.remarks


def test_photos_that_came_in_two_commands_make_the_same_finds(tmp_path: Path) -> None:
    book = fresh(tmp_path)
    first = photo(tmp_path, "a.jpg", 0)
    second = photo(tmp_path, "b.jpg", 1, 3.0)
    brought(book, second)
    brought(book, first)
    assert together(book) == [["a.jpg", "b.jpg"]]
    assert len(finds(book)) == 1


def test_a_photo_joins_the_visit_of_its_day_and_site(tmp_path: Path) -> None:
    book = fresh(tmp_path)
    lon, lat = north(0)
    site = table(tmp_path, "site", "name,lon,lat,radius_m", f"Garden,{lon},{lat},30")
    visit = table(tmp_path, "visit", "site,local_date,reason", "Garden,2025-10-04,planned")
    brought(book, photo(tmp_path, "a.jpg", 0), visit, site)
    (find,) = finds(book)
    assert find.visit_id is not None


def test_a_waypoint_noted_at_the_spot_is_the_find(tmp_path: Path) -> None:
    book = fresh(tmp_path)
    lon, lat = north(5)
    gpx = tmp_path / "spot.gpx"
    time = f"{instant(1):%Y-%m-%dT%H:%M:%SZ}"
    gpx.write_text(f'<gpx version="1.1"><wpt lat="{lat}" lon="{lon}"><time>{time}</time></wpt></gpx>')
    brought(book, photo(tmp_path, "a.jpg", 0), gpx)
    (find,) = finds(book)
    assert find.position_source == "gpx"
    assert shown(book) == {"a.jpg": [find.id]}


def test_the_same_bytes_under_another_name_are_one_photo(tmp_path: Path) -> None:
    book, folder = fresh(tmp_path), tmp_path / "pictures"
    one = photo(folder, "a.jpg", 0)
    (folder / "z.jpg").write_bytes(one.read_bytes())
    report = brought(book, folder)
    assert [line.reason for line in report.files[0].sorted_lines] == ["z.jpg: the same picture as a.jpg"]
    alone = tmp_path / "again.jpg"
    alone.write_bytes(one.read_bytes())
    brought(book, alone)
    assert list(photos(book)) == ["a.jpg"]
    assert len(finds(book)) == 1
    assert brought(book, folder).files[0].seen_before


def test_a_photo_without_a_place_finds_it_on_the_track_of_the_same_command(tmp_path: Path) -> None:
    book = fresh(tmp_path)
    brought(book, photo(tmp_path, "a.jpg", 4.5, None), walk(tmp_path))
    found = photos(book)["a.jpg"]
    assert found.position_from == "track"
    assert found.geom is not None
    assert (found.geom.centroid.x, found.geom.centroid.y) == pytest.approx(north(90), abs=1e-6)
    assert found.uncertainty_m == pytest.approx(20.0, abs=0.1)
    (find,) = finds(book)
    assert (find.position_source, find.uncertainty_m) == ("track", found.uncertainty_m)


def test_a_track_that_comes_later_gives_its_place_to_a_photo_that_waits(tmp_path: Path) -> None:
    book = fresh(tmp_path)
    report = brought(book, photo(tmp_path, "a.jpg", 4.5, None))
    assert report.remarks[-1] == "1 photo waits for a find (1: its place is not known)."
    assert finds(book) == []
    brought(book, walk(tmp_path))
    assert photos(book)["a.jpg"].position_from == "track"
    assert len(finds(book)) == 1


def test_a_tag_gives_its_photos_to_the_find_of_its_number(tmp_path: Path) -> None:
    book, folder = fresh(tmp_path), tmp_path / "pictures"
    for name, minute in (
        ("before.jpg", 0),
        ("tag12.jpg", 1),
        ("after.jpg", 2),
        ("tag13.jpg", 3),
        ("end.jpg", 4),
    ):
        photo(folder, name, minute)
    numbers = table(tmp_path, "photo_tag", "file_name,tag_number", "tag12.jpg,12", "TAG13.JPG,13")
    site = table(tmp_path, "site", "name,lon,lat,radius_m", "Garden,-19.4,48.6,500")
    known = table(tmp_path, "find", "site,found_on,collection_number,note", "Garden,2025-10-04,13,known")
    brought(book, folder, numbers, known, site)
    by_number = {find.collection_number: find for find in finds(book)}
    assert set(by_number) == {None, 12, 13}
    assert together(book) == [["after.jpg", "tag12.jpg"], ["before.jpg"], ["end.jpg", "tag13.jpg"]]
    assert by_number[13].note == "known"
    assert by_number[13].position_source == "photo"
    assert by_number[13].geom is not None


def test_a_tag_without_a_place_makes_its_find_all_the_same(tmp_path: Path) -> None:
    book = fresh(tmp_path)
    numbers = table(tmp_path, "photo_tag", "file_name,tag_number", "tag.jpg,12")
    brought(book, photo(tmp_path, "tag.jpg", 0, None), photo(tmp_path, "b.jpg", 1, None), numbers)
    (find,) = finds(book)
    assert (find.collection_number, find.geom, find.position_source) == (12, None, "not known")
    assert together(book) == [["b.jpg", "tag.jpg"]]


def test_numbers_may_come_before_or_after_their_pictures(tmp_path: Path) -> None:
    numbers = table(tmp_path, "photo_tag", "file_name,tag_number", "tag.jpg,12")
    picture_path = photo(tmp_path, "tag.jpg", 0)
    for name, order in (("one", (numbers, picture_path)), ("two", (picture_path, numbers))):
        (tmp_path / name).mkdir()
        book = fresh(tmp_path / name)
        for path in order:
            brought(book, path)
        (find,) = finds(book)
        assert find.collection_number == 12
        assert photos(book)["tag.jpg"].tag_number == 12


def test_a_name_that_several_pictures_bear_is_not_guessed_at(tmp_path: Path) -> None:
    book, folder = fresh(tmp_path), tmp_path / "pictures"
    photo(folder / "100", "tag.jpg", 0)
    picture(folder / "101" / "tag.jpg", exif(clock(30), north(0), camera=("Other", "One")))
    numbers = table(tmp_path, "photo_tag", "file_name,tag_number", "tag.jpg,12")
    report = brought(book, folder, numbers)
    assert any("2 pictures are called tag.jpg" in remark for remark in report.remarks)
    assert {find.collection_number for find in finds(book)} == {None}


def test_a_number_on_another_day_is_pointed_out_and_nothing_is_filled(tmp_path: Path) -> None:
    book = fresh(tmp_path)
    numbers = table(tmp_path, "photo_tag", "file_name,tag_number", "tag.jpg,13")
    site = table(tmp_path, "site", "name,lon,lat,radius_m", "Garden,-19.4,48.6,500")
    known = table(tmp_path, "find", "site,found_on,collection_number", "Garden,2024-10-04,13")
    report = brought(book, photo(tmp_path, "tag.jpg", 0), numbers, known, site)
    assert any("taken on 2025-10-04, the find says 2024-10-04" in remark for remark in report.remarks)
    (find,) = finds(book)
    assert find.geom is None


def test_pictures_taken_at_home_wait_and_are_offered_to_the_finds_of_their_day(tmp_path: Path) -> None:
    book = fresh(tmp_path)
    at_home(book, 1000)
    numbers = table(
        tmp_path, "photo_tag", "file_name,tag_number", "field.jpg,12", "desk.jpg,12", "new.jpg,99"
    )
    files = (
        photo(tmp_path, "field.jpg", 0),
        photo(tmp_path, "home.jpg", 200, 1000.0),
        photo(tmp_path, "desk.jpg", 300, 1010.0),
        photo(tmp_path, "slice.jpg", 301, 990.0),
        photo(tmp_path, "new.jpg", 400, 1000.0),
    )
    report = brought(book, *files, numbers)
    (find,) = finds(book)
    assert together(book) == [["desk.jpg", "field.jpg", "slice.jpg"]]
    with opened(book) as open_book:
        waiting = waiting_photos(open_book)
    assert [w.photo.file_name for w in waiting] == ["home.jpg", "new.jpg"]
    assert {w.why for w in waiting} == {"taken at home"}
    assert {w.offers for w in waiting} == {("OV 12",)}
    assert {w.local_date for w in waiting} == {DAY}
    assert "No find has the number 99 yet; photos of its tag wait." in report.remarks
    assert find.geom is not None
    assert find.geom.centroid.y == pytest.approx(north(0)[1], abs=1e-6)


def test_the_order_of_the_files_does_not_matter(tmp_path: Path) -> None:
    lon, lat = north(0)
    files = (
        photo(tmp_path, "a.jpg", 0),
        photo(tmp_path, "tag.jpg", 1, 3.0),
        photo(tmp_path, "c.jpg", 2, None),
        walk(tmp_path, metres_a_minute=2.0),
        table(tmp_path, "photo_tag", "file_name,tag_number", "tag.jpg,12"),
        table(tmp_path, "site", "name,lon,lat,radius_m", f"Garden,{lon},{lat},30"),
    )
    seen = set()
    for number, order in enumerate(itertools.islice(itertools.permutations(files), 0, 720, 61)):
        (tmp_path / str(number)).mkdir()
        book = fresh(tmp_path / str(number))
        brought(book, *order)
        rows = asked(book, "SELECT uuid, collection_number, found_at, visit_id, geom FROM find ORDER BY uuid")
        links = asked(book, "SELECT uuid, photo_id, find_id FROM photo_link ORDER BY uuid")
        seen.add((str(rows), str(links), str(together(book))))
    assert len(seen) == 1


def test_a_photo_from_far_away_makes_no_find(tmp_path: Path) -> None:
    book = fresh(tmp_path)
    brought(book, photo(tmp_path, "a.jpg", 0))
    far = picture(tmp_path / "far.jpg", exif(clock(0), (10.0, 50.0)))
    report = brought(book, far)
    assert len(finds(book)) == 1
    lines = [line.reason for file in report.files for line in file.sorted_lines]
    assert any(line.startswith("far.jpg: no find is made of it, it was taken 2,1") for line in lines)
    assert "1: far from everything in the book" in report.remarks[-1]
    near_far = picture(tmp_path / "near_far.jpg", exif(clock(1), (10.0, 50.001)))
    brought(book, near_far)
    assert len(finds(book)) == 1, "a photo far away is no anchor for others"
    brought(book, picture(tmp_path / "believed.jpg", exif(clock(2), (10.0, 50.0))), far=True)
    assert len(finds(book)) == 2


def test_a_clock_that_is_ahead_of_today_is_pointed_out(tmp_path: Path) -> None:
    book = fresh(tmp_path)
    report = brought(book, picture(tmp_path / "later.jpg", exif("2031:01:01 10:00:00", north(0))))
    assert any("1 photo was ahead of today, as later.jpg" in remark for remark in report.remarks)


def test_a_typed_number_turns_the_draft_into_the_numbered_find(tmp_path: Path) -> None:
    book = fresh(tmp_path)
    brought(book, photo(tmp_path, "a.jpg", 0), photo(tmp_path, "b.jpg", 1))
    (draft,) = finds(book)
    with opened(book) as open_book:
        add(open_book, "photo_tag", {"file_name": "a.jpg", "tag_number": "7"}, now=LATER)
    (find,) = finds(book)
    assert (find.id, find.collection_number) == (draft.id, 7)
    assert together(book) == [["a.jpg", "b.jpg"]]


def test_a_number_typed_for_a_later_photo_parts_the_draft(tmp_path: Path) -> None:
    book = fresh(tmp_path)
    brought(book, *(photo(tmp_path, f"{letter}.jpg", i) for i, letter in enumerate("abc")))
    with opened(book) as open_book:
        add(open_book, "photo_tag", {"file_name": "b.jpg", "tag_number": "7"}, now=LATER)
    assert {find.collection_number for find in finds(book)} == {None, 7}
    assert together(book) == [["a.jpg"], ["b.jpg", "c.jpg"]]
