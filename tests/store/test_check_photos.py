"""Tests that an original which is missing or altered is found, and that a stranger in the folder is told."""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest

from sitebook.store import check_photos
from sitebook.store.book import opened
from sitebook.store.photos import photo_folder, photo_path
from tests.store.breaking import PHOTO, broken, faults, remarks
from tests.work import books

CONTENT = b"\xff\xd8\xff one picture"
SHA256 = hashlib.sha256(CONTENT).hexdigest()
LINE = "photos in the folder beside the book"


@pytest.fixture
def book_path(tmp_path: Path) -> Path:
    """Give a book with one photo that lies where it should."""
    path = broken(books.fresh(tmp_path), PHOTO.format(SHA256))
    place = photo_path(path, SHA256, "image/jpeg")
    place.parent.mkdir(parents=True)
    place.write_bytes(CONTENT)
    return path


def _place(book_path: Path) -> Path:
    return photo_path(book_path, SHA256, "image/jpeg")


def test_an_original_that_is_what_it_was_is_no_fault(book_path: Path) -> None:
    assert faults(book_path) == {}
    assert remarks(book_path) == ()


def test_a_missing_original_is_named(book_path: Path) -> None:
    _place(book_path).unlink()
    (fault,) = faults(book_path)[LINE]
    assert SHA256 in fault
    assert fault.endswith("(IMG.JPG) is missing")


@pytest.mark.parametrize("content", [b"", CONTENT + b"!", CONTENT.replace(b"one", b"two")])
def test_an_altered_original_is_named(content: bytes, book_path: Path) -> None:
    _place(book_path).write_bytes(content)
    (fault,) = faults(book_path)[LINE]
    assert "is not what it was" in fault


def test_a_folder_in_the_place_of_an_original_is_told(book_path: Path) -> None:
    _place(book_path).unlink()
    _place(book_path).mkdir()
    (fault,) = faults(book_path)[LINE]
    assert "cannot be read" in fault


def test_strangers_are_told_and_no_fault(book_path: Path) -> None:
    (photo_folder(book_path) / "Thumbs.db").write_bytes(b"x")
    (photo_folder(book_path) / SHA256[:2] / "letter.txt").write_bytes(b"x")
    assert faults(book_path) == {}
    (remark,) = remarks(book_path)
    assert "belong to no photo of the book: 2" in remark
    assert "sitebook.gpkg.photos/" in remark


def test_a_withdrawn_photo_still_has_its_original(book_path: Path) -> None:
    broken(book_path, "UPDATE photo SET withdrawn_at = created_at")
    _place(book_path).unlink()
    assert "is missing" in faults(book_path)[LINE][0]


def test_each_original_is_counted_as_it_is_read(book_path: Path) -> None:
    told: list[tuple[str, int, int]] = []
    with opened(book_path) as book:
        check_photos.originals(book, lambda what, done, steps: told.append((what, done, steps)))
    assert told == [("photos", 1, 1)]
