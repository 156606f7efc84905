"""Tests that a backup is whole or is not there, that it is made while others write, and never over a file."""

from __future__ import annotations

import hashlib
import json
import os
import resource
import shutil
import sqlite3
import subprocess
import zipfile
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any

import pytest

from sitebook import errors
from sitebook.outgo import safekeeping as outgo
from sitebook.records.results.safekeeping import BackedUp
from sitebook.work import safekeeping
from sitebook.work.opening import opened
from sitebook.work.safekeeping import back_up
from tests.store.finds import held, write
from tests.store.forking import all_told, forked
from tests.work import books
from tests.work.photographed import PICTURES, book_with_photos, originals

NAME = "sitebook-2025-10-01.zip"


def _backed_up(path: Path, to: Path | None = None, *, replace: bool = False) -> BackedUp:
    with opened(path) as book:
        return back_up(book, to=to, now=books.NOW, today=books.TODAY, replace=replace).result


def _names(folder: Path) -> set[str]:
    return {p.name for p in folder.iterdir()}


@pytest.fixture
def path(tmp_path: Path) -> Path:
    folder = tmp_path / "home"
    folder.mkdir()
    return book_with_photos(folder)


@pytest.fixture
def stick(tmp_path: Path) -> Path:
    folder = tmp_path / "stick"
    folder.mkdir()
    return folder


def test_a_backup_holds_book_photos_manifest_and_a_word_to_who_finds_it(path: Path, stick: Path) -> None:
    done = _backed_up(path, stick)
    assert done.path == stick / NAME
    assert _names(stick) == {NAME}
    with zipfile.ZipFile(done.path) as packed:
        assert packed.testzip() is None
        photos = {f"sitebook.gpkg.photos/{name}" for name in originals(path)}
        assert set(packed.namelist()) == {"sitebook.gpkg", "README.txt", "manifest.json", *photos}
        said = json.loads(packed.read("manifest.json"))
        for member in said["members"]:
            content = packed.read(member["name"])
            assert (len(content), hashlib.sha256(content).hexdigest()) == (
                member["size_bytes"],
                member["sha256"],
            )
        assert "sitebook restore" in packed.read("README.txt").decode()
    assert said["made_at"] == "2025-10-01T12:00:00.000Z"
    assert said["revision"] == books.revision(path)
    assert done.manifest.missing == done.manifest.altered == ()
    assert done.size_bytes == done.path.stat().st_size


@pytest.mark.source(
    item="",
    what="a backup unpacked by another program, book and folder side by side",
    value="the folder's files byte for byte, and the book's rows",
    source="Info-ZIP's unzip",
    mark="computed",
)
def test_any_unzip_program_gives_book_and_photos(
    path: Path, stick: Path, tmp_path: Path, need_tool: Callable[[str], str]
) -> None:
    done = _backed_up(path, stick)
    subprocess.run([need_tool("unzip"), "-q", done.path, "-d", tmp_path / "by-hand"], check=True)
    assert originals(tmp_path / "by-hand" / "sitebook.gpkg") == originals(path)
    assert books.contents(tmp_path / "by-hand" / "sitebook.gpkg") == books.contents(path)


def test_a_backup_without_a_place_lies_dated_beside_the_book_and_the_next_beside_it(path: Path) -> None:
    assert [_backed_up(path).path.name for _ in range(3)] == [
        NAME,
        "sitebook-2025-10-01-2.zip",
        "sitebook-2025-10-01-3.zip",
    ]


def test_a_file_of_that_name_is_left_alone(path: Path, stick: Path) -> None:
    mine = stick / "mine.zip"
    mine.write_bytes(b"mine")
    with pytest.raises(errors.BookExists, match="--replace"):
        _backed_up(path, mine)
    assert mine.read_bytes() == b"mine"
    _backed_up(path, mine, replace=True)
    assert zipfile.is_zipfile(mine)
    assert _names(stick) == {"mine.zip"}


def test_a_file_that_takes_the_name_meanwhile_is_left_alone(
    path: Path, stick: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def pack(*rest: Any) -> object:  # noqa: ANN401 - handed on as it is
        made = outgo.pack(*rest)
        (stick / "mine.zip").write_bytes(b"mine")
        return made

    monkeypatch.setattr(safekeeping, "pack", pack)
    with pytest.raises(errors.BookExists):
        _backed_up(path, stick / "mine.zip")
    assert (stick / "mine.zip").read_bytes() == b"mine"
    assert _names(stick) == {"mine.zip"}


def test_a_disk_without_second_names_for_a_file_takes_a_backup_too(
    path: Path, stick: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object) -> None:
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr(Path, "hardlink_to", refuse)
    assert zipfile.is_zipfile(_backed_up(path, stick / "a.zip").path)
    (stick / "b.zip").write_bytes(b"mine")
    with pytest.raises(errors.BookExists):
        _backed_up(path, stick / "b.zip")
    assert _names(stick) == {"a.zip", "b.zip"}


@pytest.mark.parametrize(
    ("place", "kind", "said"),
    [
        ("stick-that-is-not-in", errors.BadArgument, "is the stick in"),
        ("copy.gpkg", errors.BadArgument, "ends in .zip"),
        ("none/copy.zip", errors.FileNotWritable, "no such folder"),
    ],
)
def test_a_place_that_cannot_be_meant_is_told(
    place: str, kind: type[Exception], said: str, path: Path, tmp_path: Path
) -> None:
    with pytest.raises(kind, match=said):
        _backed_up(path, tmp_path / place)
    assert _names(tmp_path) == {"home"}


def test_missing_and_altered_originals_are_told_and_the_rest_is_kept(path: Path, stick: Path) -> None:
    one, two, three = sorted(originals(path))
    folder = path.with_name(path.name + ".photos")
    (folder / one).unlink()
    (folder / two).write_bytes(b"rotten")
    manifest = _backed_up(path, stick).manifest
    assert manifest.missing == (f"sitebook.gpkg.photos/{one}",)
    assert manifest.altered == (f"sitebook.gpkg.photos/{two}",)
    assert {m.name for m in manifest.members[1:]} == {f"sitebook.gpkg.photos/{n}" for n in (two, three)}


def test_files_that_belong_to_no_photo_stay_out(path: Path, stick: Path) -> None:
    (path.with_name(path.name + ".photos") / "Thumbs.db").write_bytes(b"x")
    assert len(_backed_up(path, stick).manifest.members) == 1 + len(PICTURES)


def test_a_torn_book_is_not_backed_up(path: Path, stick: Path) -> None:
    (root,) = books.only(path, "SELECT rootpage FROM sqlite_master WHERE name = 'look_alike'")
    assert isinstance(root, int)
    content = bytearray(path.read_bytes())
    content[(root - 1) * 4096 : root * 4096] = bytes(4096)
    path.write_bytes(bytes(content))
    with pytest.raises(errors.BookDamaged, match="last copy"):
        _backed_up(path, stick)
    assert _names(stick) == set()


def test_a_backup_is_made_while_others_write(path: Path, stick: Path) -> None:
    def work(telling: int) -> None:
        os.write(telling, "\n".join(write(path, 60, 60.0)).encode())

    children = [forked(work) for _ in range(2)]
    before = held(path)
    made = [_backed_up(path, stick) for _ in range(3)]
    after = {uuid for child in children for uuid in all_told(*child).decode().split("\n")}
    for done in made:
        with zipfile.ZipFile(done.path) as packed:
            place = Path(packed.extract("sitebook.gpkg", stick / done.path.stem))
        assert before <= held(place)
        assert books.only(place, "PRAGMA integrity_check") == ("ok",)
        assert books.only(place, "SELECT revision FROM book") == (done.manifest.origin.revision,)
    assert after <= held(path)


def test_a_locked_book_is_told(path: Path, stick: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sitebook.store.book.BUSY_TIMEOUT_S", 0.05)
    with opened(path) as book, closing(sqlite3.connect(path, isolation_level=None)) as other:
        book.connection.rollback()
        other.execute("BEGIN EXCLUSIVE")
        with pytest.raises(errors.BookBusy):
            back_up(book, to=stick, now=books.NOW, today=books.TODAY)
    assert _names(stick) == set()


@contextmanager
def short_files(most_bytes: int) -> Iterator[None]:
    """Let no file grow beyond a size inside the block, as a full disk does."""
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (most_bytes, before[1]))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)


@pytest.mark.parametrize("most_bytes", [1000, 200_000, 1_100_000])
def test_no_room_is_told_and_nothing_is_left(most_bytes: int, path: Path, stick: Path) -> None:
    before = path.read_bytes()
    with short_files(most_bytes), pytest.raises(errors.FileNotWritable) as told:
        _backed_up(path, stick)
    assert "\n" not in str(told.value)
    assert _names(stick) == set()
    assert path.read_bytes() == before


def test_a_disk_that_is_too_full_is_told_before_anything_is_written(
    path: Path, stick: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    usage = shutil.disk_usage(stick)._replace(free=1_000_000)
    monkeypatch.setattr(shutil, "disk_usage", lambda _: usage)
    with pytest.raises(errors.FileNotWritable, match=r"MB are needed, 1 MB are free"):
        _backed_up(path, stick)
    assert _names(stick) == set()


def test_a_zip_that_is_not_read_back_the_same_never_gets_its_name(
    path: Path, stick: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def pack(place: Path, *rest: Any) -> object:  # noqa: ANN401 - handed on as it is
        made = outgo.pack(place, *rest)
        content = bytearray(place.read_bytes())
        content[len(content) // 2] ^= 1
        place.write_bytes(bytes(content))
        return made

    monkeypatch.setattr(safekeeping, "pack", pack)
    with pytest.raises(errors.FileNotWritable, match="cannot be read back the same"):
        _backed_up(path, stick)
    assert _names(stick) == set()
