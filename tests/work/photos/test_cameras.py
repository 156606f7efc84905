"""Tests of setting a camera's clock right: photos in the book, photos to come, and what she set herself."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from sitebook import errors
from sitebook.records.book import Setting
from sitebook.store import history, rows
from sitebook.store.history import Act, acting
from sitebook.work.opening import opened
from sitebook.work.photos.cameras import ClockSet, list_cameras, set_clock
from tests.work.books import LATER, fresh
from tests.work.photos.outing import brought, finds, instant, north, photo, photos, together, walk

CAMERA = "Vennar Box 2"


def clock_set(book: Path, offset_s: float, camera: str = CAMERA) -> ClockSet:
    """Set a camera's clock right."""
    with opened(book) as open_book:
        return set_clock(open_book, camera, offset_s, now=LATER).result


def test_photos_match_the_track_once_the_clock_is_right(tmp_path: Path) -> None:
    book = fresh(tmp_path)
    brought(book, walk(tmp_path), photo(tmp_path, "a.jpg", 604.5, None))
    assert finds(book) == []
    done = clock_set(book, -36_000, "vennar  box 2")
    assert (done.set_anew, done.left_alone, done.finds_made) == (1, 0, 1)
    found = photos(book)["a.jpg"]
    assert (found.taken_at, found.clock_offset_s, found.position_from) == (instant(4.5), -36_000.0, "track")
    assert found.geom is not None
    assert found.geom.centroid.y == pytest.approx(north(90)[1], abs=1e-6)
    assert finds(book)[0].found_at == instant(4.5)


def test_photos_to_come_take_the_offset_along(tmp_path: Path) -> None:
    book = fresh(tmp_path)
    brought(book, photo(tmp_path, "a.jpg", 0))
    clock_set(book, -120)
    brought(book, photo(tmp_path, "b.jpg", 10), photo(tmp_path, "other.jpg", 10, camera="Box 3"))
    assert photos(book)["b.jpg"].taken_at == instant(8)
    assert photos(book)["other.jpg"].taken_at == instant(10)
    with opened(book) as open_book:
        lines = {line.camera: line for line in list_cameras(open_book).result}
    assert (lines[CAMERA].photos, lines[CAMERA].offset_s, lines[CAMERA].set_by_her) == (2, -120.0, True)
    assert not lines["Vennar Box 3"].set_by_her


def test_setting_it_again_starts_from_the_cameras_own_clock(tmp_path: Path) -> None:
    book = fresh(tmp_path)
    brought(book, photo(tmp_path, "a.jpg", 0))
    for offset_s, minute in ((-120, -2), (60, 1), (0, 0)):
        clock_set(book, offset_s)
        assert photos(book)["a.jpg"].taken_at == instant(minute)


def test_a_draft_find_follows_its_photo_unless_she_changed_it(tmp_path: Path) -> None:
    book = fresh(tmp_path)
    brought(book, walk(tmp_path), photo(tmp_path, "a.jpg", 1, None), photo(tmp_path, "b.jpg", 11, None))
    hers = finds(book)[1]
    with opened(book) as open_book, acting(open_book, Act("change find", LATER)):
        history.amend(open_book, hers, {"found_at": instant(11.5)})
    done = clock_set(book, 60)
    assert (done.set_anew, done.finds_moved) == (2, 1)
    moved, stayed = finds(book)
    assert moved.found_at == instant(2)
    assert moved.geom is not None
    assert moved.geom.centroid.y == pytest.approx(north(40)[1], abs=1e-6)
    assert stayed.found_at == instant(11.5)
    assert together(book) == [["a.jpg"], ["b.jpg"]]


def test_a_photo_whose_time_she_set_herself_stays(tmp_path: Path) -> None:
    book = fresh(tmp_path)
    brought(book, photo(tmp_path, "a.jpg", 0), photo(tmp_path, "b.jpg", 20))
    mine = photos(book)["a.jpg"]
    with opened(book) as open_book, acting(open_book, Act("change photo", LATER)):
        history.amend(open_book, mine, {"taken_at": instant(5)})
    done = clock_set(book, 60)
    assert (done.set_anew, done.left_alone) == (1, 1)
    assert photos(book)["a.jpg"].taken_at == instant(5)
    assert photos(book)["b.jpg"].taken_at == instant(21)


@pytest.mark.parametrize("offset_s", [math.nan, math.inf, 1e9])
def test_an_offset_that_cannot_be_is_refused(tmp_path: Path, offset_s: float) -> None:
    book = fresh(tmp_path)
    brought(book, photo(tmp_path, "a.jpg", 0))
    with pytest.raises(errors.ValueImpossible):
        clock_set(book, offset_s)


def test_an_unknown_camera_is_refused_with_those_there_are(tmp_path: Path) -> None:
    book = fresh(tmp_path)
    brought(book, photo(tmp_path, "a.jpg", 0))
    with pytest.raises(errors.RecordMissing) as caught:
        clock_set(book, 5, "Box")
    assert CAMERA in str(caught.value)


def test_an_offset_that_is_no_number_in_the_book_counts_as_none(tmp_path: Path) -> None:
    book = fresh(tmp_path)
    with opened(book) as open_book, acting(open_book, Act("import", LATER)):
        rows.insert(open_book, [Setting(setting_key=f"clock_offset_s:{CAMERA}", value_text="soon", unit="s")])
    brought(book, photo(tmp_path, "a.jpg", 0))
    assert photos(book)["a.jpg"].taken_at == instant(0)
