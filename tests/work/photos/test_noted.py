"""Tests that photos join the finds of a returned sheet, by the number noted and by the hour."""

from __future__ import annotations

from pathlib import Path

import pytest

from sitebook.work.corrections.undoing import undo
from sitebook.work.corrections.withdrawing import withdraw
from sitebook.work.opening import opened
from sitebook.work.photos import waiting_photos
from sitebook.work.photos.noted import number_of
from tests.intake.field_return import made_lines
from tests.work.books import LATER, fresh, only, table
from tests.work.photos.outing import AN_HOUR, brought, finds, instant, north, photo, photos, shown, together

SITE_LON, SITE_LAT = north(0)


def _sheet(book: Path, *told: dict[str, object], name: str = "entries") -> Path:
    """Write a sheet of one visit with a find for each of these, named 0, 1, and so on."""
    (uuid,) = only(book, "SELECT uuid FROM book")
    lines = [made_lines.visit(book=str(uuid))]
    lines += [
        made_lines.find(f"{number}", book=str(uuid), **says)  # type: ignore[arg-type]
        for number, says in enumerate(told)
    ]
    path = book.parent / f"{name}.jsonl"
    path.write_bytes(made_lines.as_file(*lines))
    return path


def _at(minute: float) -> str:
    return f"{instant(minute):%Y-%m-%dT%H:%M:%SZ}"


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """Give a book with the site of the sheet."""
    path = fresh(tmp_path)
    brought(path, table(tmp_path, "site", "name,lon,lat,radius_m", f"Harbour wood,{SITE_LON},{SITE_LAT},60"))
    return path


def _notes(book: Path) -> dict[str, str | None]:
    """Give the note of the find that each photo shows."""
    by_id = {find.id: find for find in finds(book)}
    return {name: by_id[ids[0]].note for name, ids in shown(book).items()}


@pytest.mark.parametrize("order", [(0, 1, 2), (1, 2, 0), (2, 0, 1)])
def test_photos_and_sheet_in_any_order_join_by_number_and_by_hour(book: Path, order: tuple[int, ...]) -> None:
    folder = book.parent
    parts = (
        [photo(folder, "IMG_0412.jpg", 30, 10.0), photo(folder, "IMG_0413.jpg", 31, 12.0)],
        [photo(folder, "IMG_0500.jpg", 62, None)],
        [_sheet(book, {"photos": "412", "found_at": _at(5)}, {"found_at": _at(61), "note": "by hour"})],
    )
    for number, part in enumerate(order):
        brought(book, *parts[part], now=LATER + number * AN_HOUR)
    joined = {"IMG_0412.jpg": "photos: 412", "IMG_0413.jpg": "photos: 412", "IMG_0500.jpg": "by hour"}
    assert _notes(book) == joined
    by_number = next(find for find in finds(book) if find.note == "photos: 412")
    assert len(finds(book)) == 2
    assert by_number.geom is not None
    assert by_number.position_source == "photo"


def test_a_number_that_two_photos_or_two_finds_share_decides_nothing(book: Path) -> None:
    folder = book.parent
    two = [photo(folder, "A_0412.jpg", 30, None), photo(folder, "B_0412.jpg", 90, None, camera="Box 3")]
    shared: list[dict[str, object]] = [{"photos": "412"}, {"photos": "413"}, {"photos": "413"}]
    brought(book, *two, photo(folder, "A_0413.jpg", 200, None), _sheet(book, *shared))
    assert together(book) == []
    with opened(book) as open_book:
        assert len(waiting_photos(open_book)) == 3


def test_two_finds_of_one_hour_leave_a_photo_waiting_and_one_far_off_is_no_find_of_the_site(
    book: Path,
) -> None:
    folder = book.parent
    brought(book, photo(folder, "a.jpg", 30, None), photo(folder, "b.jpg", 90, 500.0))
    brought(book, _sheet(book, {"found_at": _at(29)}, {"found_at": _at(31)}, {"found_at": _at(90)}))
    assert together(book) == [["b.jpg"]]
    assert len(finds(book)) == 4


def test_an_undone_sheet_gives_its_photos_back_and_what_was_taken_off_by_hand_stays_off(book: Path) -> None:
    folder = book.parent
    brought(book, photo(folder, "a7.jpg", 30, 10.0), now=LATER)
    sheet = _sheet(book, {"photos": "7"})
    brought(book, sheet, now=LATER + AN_HOUR)
    assert _notes(book) == {"a7.jpg": "photos: 7"}
    with opened(book) as open_book:
        undo(open_book, now=LATER + 2 * AN_HOUR)
    assert _notes(book) == {"a7.jpg": None}
    brought(book, sheet, now=LATER + 3 * AN_HOUR)
    assert _notes(book) == {"a7.jpg": "photos: 7"}
    (key,) = only(book, "SELECT uuid FROM photo_link WHERE withdrawn_at IS NULL")
    with opened(book) as open_book:
        withdraw(open_book, "photo_link", str(key), now=LATER + 4 * AN_HOUR)
    brought(book, _sheet(book, {"photos": "7"}, {}, name="more"), now=LATER + 5 * AN_HOUR)
    assert _notes(book) == {}
    assert list(photos(book)) == ["a7.jpg"]


def test_the_number_of_a_photo_is_the_last_in_its_name() -> None:
    names = ("IMG_0412.JPG", "20251004_120233.jpg", "P1000007.HEIC", "note.jpg", "7.2.jpg")
    assert [number_of(name) for name in names] == [412, 120233, 1000007, None, 2]
