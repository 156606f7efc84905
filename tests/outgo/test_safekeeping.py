"""Tests what is written into a backup when an original cannot be read, or the clock is wrong."""

from __future__ import annotations

import datetime
import hashlib
import zipfile
from pathlib import Path

import pytest

from sitebook.outgo import safekeeping
from sitebook.outgo.safekeeping import pack
from sitebook.records.results.safekeeping import BackupOrigin, Manifest
from sitebook.work.answer import silent

NOW = datetime.datetime(2025, 10, 1, 12, 0, tzinfo=datetime.UTC)
CONTENT = b"one picture" * 10
SHA256 = hashlib.sha256(CONTENT).hexdigest()
NAME = "b.gpkg.photos/ab/name.jpg"


def _origin(made_at: datetime.datetime = NOW) -> BackupOrigin:
    return BackupOrigin("b.gpkg", "uuid", "Mine", 7, "0007", "0.1", made_at)


def _packed(tmp_path: Path, made_at: datetime.datetime = NOW) -> tuple[Path, Manifest]:
    book, photo, path = tmp_path / "book", tmp_path / "photo", tmp_path / "a.zip"
    book.write_bytes(b"pages" * 1000)
    originals = [(NAME, SHA256, photo)]
    return path, pack(path, _origin(made_at), book, originals, silent)


def test_an_original_is_stored_as_it_is(tmp_path: Path) -> None:
    (tmp_path / "photo").write_bytes(CONTENT)
    path, manifest = _packed(tmp_path)
    with zipfile.ZipFile(path) as packed:
        assert packed.read(NAME) == CONTENT
        assert packed.getinfo(NAME).compress_type == zipfile.ZIP_STORED
        assert packed.getinfo("b.gpkg").compress_size < 1000
    assert [member.sha256 for member in manifest.members[1:]] == [SHA256]


def test_an_original_whose_disk_fails_midway_is_kept_as_far_as_it_goes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "photo").write_bytes(CONTENT)
    monkeypatch.setattr(safekeeping, "_CHUNK_BYTES", 1000)
    read_before = safekeeping._next_of
    given: list[bytes | None] = []

    def fail_later(source: object) -> bytes | None:
        name = getattr(source, "name", "")
        if Path(str(name)).name != "photo":
            return read_before(source)  # type: ignore[arg-type]
        given.append(CONTENT[:30] if not given else None)
        return given[-1]

    monkeypatch.setattr(safekeeping, "_next_of", fail_later)
    path, manifest = _packed(tmp_path)
    assert manifest.altered == (NAME,)
    with zipfile.ZipFile(path) as packed:
        assert packed.read(NAME) == CONTENT[:30]


def test_a_missing_original_leaves_no_part(tmp_path: Path) -> None:
    path, manifest = _packed(tmp_path)
    assert manifest.missing == (NAME,)
    assert NAME not in zipfile.ZipFile(path).namelist()


def test_a_clock_before_zips_were_invented_stops_nothing(tmp_path: Path) -> None:
    path, _ = _packed(tmp_path, datetime.datetime(1970, 1, 1, tzinfo=datetime.UTC))
    with zipfile.ZipFile(path) as packed:
        assert packed.getinfo("b.gpkg").date_time == (1980, 1, 1, 0, 0, 0)


def test_a_book_that_cannot_be_read_stops_the_backup(tmp_path: Path) -> None:
    with pytest.raises(OSError, match="copy of the book"):
        pack(tmp_path / "a.zip", _origin(), tmp_path / "none", [], silent)
