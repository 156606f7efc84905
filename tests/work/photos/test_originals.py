"""Tests of the folder beside the book: what is copied, and that nothing stays of what was not kept."""

from __future__ import annotations

import hashlib
import io
from pathlib import Path

import pytest
from PIL import Image

from sitebook import errors
from sitebook.store.photos import photo_folder, photo_path
from sitebook.work.opening import opened
from sitebook.work.photos import originals
from sitebook.work.upkeep import look_over
from tests.work.books import contents, fresh, only, table
from tests.work.photos.outing import brought, photo, photos


def kept(book: Path) -> list[Path]:
    """Give every file in the folder of originals."""
    return sorted(path for path in photo_folder(book).rglob("*") if path.is_file())


def test_originals_lie_under_their_sha256_byte_for_byte(tmp_path: Path) -> None:
    book = fresh(tmp_path)
    path = photo(tmp_path, "a.jpg", 0)
    brought(book, path)
    sha256 = hashlib.sha256(path.read_bytes()).hexdigest()
    assert photos(book)["a.jpg"].sha256 == sha256
    (original,) = kept(book)
    assert original == photo_path(book, sha256, "image/jpeg")
    assert original.relative_to(tmp_path).parts == ("sitebook.gpkg.photos", sha256[:2], f"{sha256}.jpg")
    assert original.read_bytes() == path.read_bytes()
    assert original.stat().st_mode & 0o777 == 0o644
    with opened(book) as open_book:
        assert all(not line.faults for line in look_over(open_book).result)


def test_the_small_picture_in_the_book_holds_no_position(tmp_path: Path) -> None:
    book = fresh(tmp_path)
    brought(book, photo(tmp_path, "a.jpg", 0))
    (content,) = only(book, "SELECT content FROM photo_thumbnail")
    assert isinstance(content, bytes)
    image = Image.open(io.BytesIO(content))
    assert dict(image.getexif()) == {}
    assert b"Exif" not in content
    assert b"Vennar" not in content


def test_an_original_that_lies_there_already_stays(tmp_path: Path) -> None:
    book = fresh(tmp_path)
    path = photo(tmp_path, "a.jpg", 0)
    sha256 = hashlib.sha256(path.read_bytes()).hexdigest()
    there = photo_path(book, sha256, "image/jpeg")
    there.parent.mkdir(parents=True)
    there.write_bytes(path.read_bytes())
    before = there.stat().st_mtime_ns
    brought(book, path)
    assert there.stat().st_mtime_ns == before


def test_nothing_is_kept_of_a_trial(tmp_path: Path) -> None:
    book = fresh(tmp_path)
    before = contents(book)
    assert brought(book, photo(tmp_path, "a.jpg", 0), dry_run=True).made == {"find": 1, "photo_link": 1}
    assert contents(book) == before
    assert not photo_folder(book).exists()


def test_nothing_is_kept_when_a_line_beside_the_photos_is_refused(tmp_path: Path) -> None:
    book = fresh(tmp_path)
    before = contents(book)
    bad = table(tmp_path, "photo_tag", "file_name,tag_number", "a.jpg,twelve")
    with pytest.raises(errors.LinesRefused):
        brought(book, photo(tmp_path, "a.jpg", 0), bad)
    assert contents(book) == before
    assert not photo_folder(book).exists()


def test_nothing_is_left_behind_when_the_disk_is_full(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    book = fresh(tmp_path)
    before = contents(book)
    copied = originals._copied
    asked: list[Path] = []

    def full(path: Path, folder: Path, sha256: str) -> Path:
        asked.append(path)
        if len(asked) == 2:
            raise OSError(28, "No space left on device")
        return copied(path, folder, sha256)

    monkeypatch.setattr(originals, "_copied", full)
    with pytest.raises(errors.BookNotWritable, match="No space left"):
        brought(book, photo(tmp_path, "a.jpg", 0), photo(tmp_path, "b.jpg", 1))
    assert len(asked) == 2
    assert contents(book) == before
    assert not photo_folder(book).exists()


def test_what_lay_in_the_folder_before_stays_when_nothing_is_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    book = fresh(tmp_path)
    brought(book, photo(tmp_path, "a.jpg", 0))
    before = kept(book)

    def full(_path: Path, _folder: Path, _sha256: str) -> Path:
        raise OSError(30, "Read-only file system")

    monkeypatch.setattr(originals, "_copied", full)
    with pytest.raises(errors.BookNotWritable):
        brought(book, photo(tmp_path, "b.jpg", 1))
    assert kept(book) == before


def test_a_file_that_changes_under_the_hand_is_not_kept(tmp_path: Path) -> None:
    book, path = fresh(tmp_path), photo(tmp_path, "a.jpg", 0)
    with (
        pytest.raises(errors.FileUnreadable, match="changed while it was read"),
        originals.keeping_originals(book) as folder,
    ):
        folder.keep(path, "0" * 64, "image/jpeg")
    assert not photo_folder(book).exists()
