"""Tests that a restored book is the book that was backed up, and that nothing is restored by halves."""

from __future__ import annotations

import hashlib
import json
import resource
import sqlite3
import zipfile
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pyogrio
import pytest

from sitebook import errors
from sitebook.records.columns import meanings
from sitebook.records.kinds import KINDS
from sitebook.records.results.safekeeping import Restored
from sitebook.store import upgrade
from sitebook.store.book import engine_for
from sitebook.work.opening import opened
from sitebook.work.restoring import restore
from sitebook.work.safekeeping import back_up
from tests.store.breaking import broken, faults
from tests.store.finds import write
from tests.work import books
from tests.work.photographed import book_with_photos, originals

LAYERS = [name for name, kind in KINDS.items() if any(m.geometry for m in meanings(kind).values())]


@pytest.fixture
def path(tmp_path: Path) -> Path:
    folder = tmp_path / "home"
    folder.mkdir()
    return book_with_photos(folder)


@pytest.fixture
def new(tmp_path: Path) -> Path:
    folder = tmp_path / "new"
    folder.mkdir()
    return folder / "restored.gpkg"


def _backed_up(path: Path) -> Path:
    with opened(path) as book:
        return back_up(book, to=None, now=books.NOW, today=books.TODAY).result.path


def _restored(zip_path: Path, to: Path) -> Restored:
    return restore(zip_path, to).result


def _nothing_in(folder: Path) -> bool:
    return not list(folder.iterdir())


def _rebuilt(zip_path: Path, change: Callable[[dict[str, bytes]], None]) -> Path:
    """Pack a backup anew with something changed, the manifest made to fit unless that is what is changed."""
    with zipfile.ZipFile(zip_path) as packed:
        content = {name: packed.read(name) for name in packed.namelist()}
    change(content)
    rebuilt = zip_path.with_name("rebuilt.zip")
    with zipfile.ZipFile(rebuilt, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, text in content.items():
            packed.writestr(name, text)
    return rebuilt


def _with_book(content: dict[str, bytes], book: bytes) -> None:
    """Put another book in, as if it had been backed up so."""
    said = json.loads(content["manifest.json"])
    said["members"][0] |= {"sha256": hashlib.sha256(book).hexdigest(), "size_bytes": len(book)}
    content["sitebook.gpkg"], content["manifest.json"] = book, json.dumps(said).encode()


def test_a_restored_book_equals_the_one_backed_up(path: Path, new: Path) -> None:
    done = _restored(_backed_up(path), new)
    assert books.contents(new) == books.contents(path)
    assert originals(new) == originals(path)
    assert books.only(new, "PRAGMA application_id") == books.only(path, "PRAGMA application_id")
    assert (done.faults, done.upgrade_needed, done.path) == ((), False, new)
    assert faults(new) == {}
    assert {p.name for p in new.parent.iterdir()} == {"restored.gpkg", "restored.gpkg.photos"}
    write(new, 1, 1.0)


@pytest.mark.source(
    item="",
    what="layers of a restored book and features in each",
    value="those of the book that was backed up",
    source="GDAL, through pyogrio",
    mark="computed",
)
def test_gdal_reads_each_layer_of_a_restored_book(path: Path, new: Path) -> None:
    _restored(_backed_up(path), new)
    for layer in LAYERS:
        before = pyogrio.read_info(path, layer=layer, force_feature_count=True, force_total_bounds=True)
        after = pyogrio.read_info(new, layer=layer, force_feature_count=True, force_total_bounds=True)
        for said in ("crs", "features", "geometry_type", "total_bounds"):
            assert after[said] == before[said]
        assert list(after["fields"]) == list(before["fields"])
    assert pyogrio.read_info(new, layer="find", force_feature_count=True)["features"] == 2


@pytest.mark.parametrize("leftover", ["", "-journal", "-wal", "-shm"])
def test_nothing_that_lies_there_is_written_over(leftover: str, path: Path, new: Path) -> None:
    zip_path = _backed_up(path)
    there = new.with_name(new.name + leftover)
    there.write_bytes(b"mine")
    with pytest.raises(errors.BookExists) as told:
        _restored(zip_path, new)
    assert str(there) in str(told.value)
    assert there.read_bytes() == b"mine"
    assert list(new.parent.iterdir()) == [there]


def test_a_journal_of_another_book_would_spoil_a_restored_one(path: Path, new: Path) -> None:
    """Why a journal in the way is refused: SQLite would take the restored book back by it."""
    journal = new.with_name(new.name + "-journal")
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("PRAGMA cache_size=1")
        other.execute("BEGIN")
        for number in range(100):
            other.execute("INSERT INTO setting (setting_key, value_text) VALUES (?, ?)", (number, "x" * 3000))
        left = path.with_name(path.name + "-journal").read_bytes()
        other.execute("COMMIT")
    zip_path = _backed_up(path)
    _restored(zip_path, new)
    journal.write_bytes(left)
    assert books.asked(new, "SELECT count(*) FROM setting") != [(100,)]


def test_photos_that_lie_there_already_are_left_and_the_others_laid_beside_them(
    path: Path, new: Path
) -> None:
    zip_path = _backed_up(path)
    _restored(zip_path, new)
    new.unlink()
    gone, changed, _ = sorted(originals(new))
    folder = new.with_name(new.name + ".photos")
    (folder / gone).unlink()
    _restored(zip_path, new)
    assert originals(new) == originals(path)
    new.unlink()
    (folder / changed).write_bytes(b"another")
    with pytest.raises(errors.BookExists, match="another file lies"):
        _restored(zip_path, new)
    assert (folder / changed).read_bytes() == b"another"
    assert not new.exists()


def test_a_newer_book_is_refused_in_words(path: Path, new: Path) -> None:
    def newer_manifest(content: dict[str, bytes]) -> None:
        said = json.loads(content["manifest.json"]) | {"schema": "9999"}
        content["manifest.json"] = json.dumps(said).encode()

    def newer_book(content: dict[str, bytes]) -> None:
        copy = path.with_name("newer.gpkg")
        copy.write_bytes(content["sitebook.gpkg"])
        broken(copy, "UPDATE alembic_version SET version_num = '9999'")
        _with_book(content, copy.read_bytes())

    zip_path = _backed_up(path)
    for change in (newer_manifest, newer_book):
        with pytest.raises(errors.BookTooNew, match="newer sitebook") as told:
            _restored(_rebuilt(zip_path, change), new)
        assert "rebuilt.zip" in str(told.value)
        assert _nothing_in(new.parent)


def test_an_older_book_is_restored_and_can_be_upgraded(path: Path, new: Path, tmp_path: Path) -> None:
    older = tmp_path / "older.gpkg"
    upgrade.create(older, "0005")
    engine = engine_for(older)
    with engine.connect() as connection, connection.begin():
        connection.exec_driver_sql(
            "INSERT INTO person (uuid, created_at, changed_at, name, initials) "
            "VALUES ('p', '2025-10-01T12:00:00.000Z', '2025-10-01T12:00:00.000Z', 'Orla', 'OV')"
        )
    rebuilt = _rebuilt(_backed_up(path), lambda content: _with_book(content, older.read_bytes()))
    done = _restored(rebuilt, new)
    assert done.upgrade_needed
    assert books.asked(new, "SELECT initials FROM person") == [("OV",)]
    with pytest.raises(errors.BookTooOld, match="sitebook upgrade"), opened(new):
        pass


def test_a_torn_book_inside_is_refused(path: Path, new: Path) -> None:
    def tear(content: dict[str, bytes]) -> None:
        book = bytearray(content["sitebook.gpkg"])
        book[30 * 4096 : 60 * 4096] = bytes(30 * 4096)
        _with_book(content, bytes(book))

    def nonsense(content: dict[str, bytes]) -> None:
        _with_book(content, b"Dear diary" * 1000)

    zip_path = _backed_up(path)
    for change in (tear, nonsense):
        with pytest.raises(errors.BackupDamaged, match="the book in this backup") as told:
            _restored(_rebuilt(zip_path, change), new)
        assert "\n" not in str(told.value)
        assert _nothing_in(new.parent)


def test_a_photo_that_the_manifest_forgot_is_missed(path: Path, new: Path) -> None:
    def forget(content: dict[str, bytes]) -> None:
        said = json.loads(content["manifest.json"])
        content.pop(said["members"].pop()["name"])
        content["manifest.json"] = json.dumps(said).encode()

    with pytest.raises(errors.BackupDamaged, match="lacks the photo"):
        _restored(_rebuilt(_backed_up(path), forget), new)
    assert _nothing_in(new.parent)


def test_what_was_missing_when_it_was_made_is_told_and_the_rest_restored(path: Path, new: Path) -> None:
    gone = min(originals(path))
    (path.with_name(path.name + ".photos") / gone).unlink()
    done = _restored(_backed_up(path), new)
    assert books.contents(new) == books.contents(path)
    (fault,) = done.faults
    assert gone in fault
    assert "is missing" in fault


def test_an_altered_member_leaves_nothing_behind(path: Path, new: Path) -> None:
    def alter(content: dict[str, bytes]) -> None:
        name = next(name for name in content if name.endswith(".jpg"))
        content[name] = content[name].replace(b"first", b"other")

    with pytest.raises(errors.BackupDamaged, match="is not what it was"):
        _restored(_rebuilt(_backed_up(path), alter), new)
    assert _nothing_in(new.parent)


@pytest.mark.parametrize("most_bytes", [100, 300_000, 1_000_000])
def test_no_room_is_told_and_nothing_is_left(most_bytes: int, path: Path, new: Path) -> None:
    zip_path = _backed_up(path)
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (most_bytes, before[1]))
    try:
        with pytest.raises(errors.FileNotWritable):
            _restored(zip_path, new)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)
    assert _nothing_in(new.parent)


def test_a_folder_that_is_not_there_is_told(path: Path, tmp_path: Path) -> None:
    with pytest.raises(errors.FileNotWritable, match="no such folder"):
        _restored(_backed_up(path), tmp_path / "none" / "book.gpkg")
