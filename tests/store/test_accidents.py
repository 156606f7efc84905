"""Tests that each accident to the book's file is told in one line, and never made worse."""

from __future__ import annotations

import os
import random
import resource
import sqlite3
import subprocess
import tempfile
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

import pytest
from sqlalchemy import text

from sitebook import errors
from sitebook.records.book import Setting
from sitebook.records.kinds import KINDS
from sitebook.records.site import Site
from sitebook.store import rows
from sitebook.store.accidents import in_words, number_of
from sitebook.store.book import opened, writing
from sitebook.store.geopackage import register_functions
from tests.store.forking import all_told, forked
from tests.work import books

WORST = 200_000
NOBODY = 65534


def _accident(number: int) -> sqlite3.Error:
    error = sqlite3.OperationalError("said by the database")
    error.sqlite_errorcode = number
    return error


@pytest.mark.parametrize(
    ("number", "kind", "said"),
    [
        (sqlite3.SQLITE_BUSY, errors.BookBusy, "another program"),
        (sqlite3.SQLITE_BUSY_RECOVERY, errors.BookBusy, "another program"),
        (sqlite3.SQLITE_LOCKED, errors.BookBusy, "another program"),
        (sqlite3.SQLITE_FULL, errors.BookNotWritable, "disk is full"),
        (sqlite3.SQLITE_READONLY, errors.BookNotWritable, "write-protected"),
        (sqlite3.SQLITE_READONLY_DIRECTORY, errors.BookNotWritable, "write-protected"),
        (sqlite3.SQLITE_READONLY_ROLLBACK, errors.BookNotWritable, "-journal together"),
        (sqlite3.SQLITE_CANTOPEN, errors.BookNotWritable, "permissions"),
        (sqlite3.SQLITE_IOERR_WRITE, errors.BookNotWritable, "while the book was written"),
        (sqlite3.SQLITE_IOERR_FSYNC, errors.BookNotWritable, "while the book was written"),
        (sqlite3.SQLITE_IOERR_READ, errors.BookDamaged, "while the book was read"),
        (sqlite3.SQLITE_IOERR_SHORT_READ, errors.BookDamaged, "damaged"),
        (sqlite3.SQLITE_CORRUPT, errors.BookDamaged, "last copy"),
        (sqlite3.SQLITE_NOTADB, errors.BookDamaged, "last copy"),
        (sqlite3.SQLITE_CONSTRAINT_UNIQUE, errors.BookDamaged, "refused a row"),
        (sqlite3.SQLITE_ERROR, errors.BookDamaged, "sitebook check"),
    ],
)
def test_each_kind_of_accident_has_its_words(number: int, kind: type[Exception], said: str) -> None:
    told = in_words(_accident(number), Path("book.gpkg"))
    assert type(told) is kind
    assert said in str(told)
    assert str(told).startswith("book.gpkg: ")
    assert "\n" not in str(told)


@pytest.mark.parametrize(
    ("said", "number"),
    [
        ("database is locked", sqlite3.SQLITE_BUSY),
        ("attempt to write a readonly database", sqlite3.SQLITE_READONLY),
        ("database or disk is full", sqlite3.SQLITE_FULL),
        ("unable to open database file", sqlite3.SQLITE_CANTOPEN),
        ("disk I/O error", sqlite3.SQLITE_IOERR),
        ("malformed text in its list of tables", sqlite3.SQLITE_CORRUPT),
        ("file is not a database", sqlite3.SQLITE_CORRUPT),
        ("anything else", 0),
    ],
)
def test_an_accident_without_its_number_is_known_by_its_words(said: str, number: int) -> None:
    assert number_of(sqlite3.DatabaseError(said)) == number


def _write(path: Path, value: str = "x") -> None:
    with opened(path, wait_s=0.05) as book, writing(book):
        rows.insert(book, [Setting(setting_key=value[:20], value_text=value)])


def _read(path: Path) -> None:
    with opened(path, wait_s=0.05) as book:
        for kind in KINDS.values():
            rows.records(book, kind, withdrawn=True)


def _told(deed: Callable[[Path], None], path: Path) -> errors.SitebookError | None:
    try:
        deed(path)
    except errors.SitebookError as error:
        return error
    return None


def _told_by_child(deed: Callable[[], None], prepare: Callable[[], object]) -> str:
    """Give what a deed says in a child process of its own, prepared first; empty when it went well."""

    def work(telling: int) -> None:
        try:
            prepare()
            deed()
        except errors.SitebookError as error:
            os.write(telling, str(error).encode())

    return all_told(*forked(work)).decode()


@pytest.fixture
def open_folder() -> Iterator[Path]:
    """Give a folder that another user may enter."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        folder.chmod(0o755)
        yield folder


def _become_nobody() -> None:
    if os.getuid() == 0:
        os.setgroups([])
        os.setgid(NOBODY)
        os.setuid(NOBODY)


def test_a_file_that_may_not_grow_is_told_and_stays_as_it_was(tmp_path: Path) -> None:
    path = books.fresh(tmp_path)
    before = path.read_bytes()
    limit = (len(before), len(before))

    def deed() -> None:
        _write(path, "x" * WORST)

    said = _told_by_child(deed, lambda: resource.setrlimit(resource.RLIMIT_FSIZE, limit))
    assert said.endswith("[book-not-writable]"), said
    assert "\n" not in said
    _read(path)
    assert path.read_bytes() == before
    assert books.only(path, "PRAGMA integrity_check") == ("ok",)


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """Give a disk of 3 MB, or skip where none may be mounted."""
    folder = tmp_path / "disk"
    folder.mkdir()
    mounted = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=3m", "none", str(folder)], capture_output=True, check=False
    )
    if mounted.returncode != 0:
        pytest.skip("no disk may be mounted here")
    yield folder
    subprocess.run(["umount", str(folder)], check=True)


def test_a_full_disk_is_told_and_the_book_stays_as_it_was(small_disk: Path) -> None:
    path = books.fresh(small_disk)
    before = path.read_bytes()
    with pytest.raises(errors.BookNotWritable, match="the disk is full") as told:
        _write(path, "x" * 3_000_000)
    assert "\n" not in str(told.value)
    assert path.read_bytes() == before
    assert [p.name for p in small_disk.iterdir()] == [path.name]
    _write(path)


def test_a_write_protected_disk_lets_the_book_be_read(small_disk: Path) -> None:
    path = books.fresh(small_disk)
    subprocess.run(["mount", "-o", "remount,ro", str(small_disk)], check=True)
    _read(path)
    with pytest.raises(errors.BookNotWritable, match="write-protected"):
        _write(path)


def test_a_half_done_change_on_a_write_protected_disk_is_told(small_disk: Path) -> None:
    path = books.fresh(small_disk)
    _half_done(path)
    before = path.read_bytes()
    subprocess.run(["mount", "-o", "remount,ro", str(small_disk)], check=True)
    with pytest.raises(errors.BookNotWritable, match="in the middle of a change"):
        _read(path)
    assert path.read_bytes() == before


@pytest.mark.parametrize(("file_mode", "folder_mode"), [(0o444, 0o555), (0o444, 0o777), (0o666, 0o555)])
def test_a_write_protected_book_can_be_read_and_says_so_when_written(
    file_mode: int, folder_mode: int, open_folder: Path
) -> None:
    path = books.fresh(open_folder)
    path.chmod(file_mode)
    open_folder.chmod(folder_mode)
    before = path.read_bytes()
    assert _told_by_child(lambda: _read(path), _become_nobody) == ""
    said = _told_by_child(lambda: _write(path), _become_nobody)
    assert said.endswith("[book-not-writable]"), said
    assert path.read_bytes() == before
    open_folder.chmod(0o755)


def test_a_book_that_may_not_be_read_is_told(open_folder: Path) -> None:
    path = books.fresh(open_folder)
    path.chmod(0o000)
    said = _told_by_child(lambda: _read(path), _become_nobody)
    assert said.endswith("[book-not-writable]"), said
    path.chmod(0o644)
    open_folder.chmod(0o000)
    said = _told_by_child(lambda: _read(path), _become_nobody)
    assert said.endswith("[book-not-writable]"), said
    open_folder.chmod(0o755)


@pytest.mark.parametrize("lock", ["BEGIN IMMEDIATE", "BEGIN EXCLUSIVE"])
def test_a_locked_book_is_told_and_then_free_again(lock: str, tmp_path: Path) -> None:
    path = books.fresh(tmp_path)
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute(lock)
        with pytest.raises(errors.BookBusy, match="another program"):
            _write(path)
        if lock == "BEGIN EXCLUSIVE":
            with pytest.raises(errors.BookBusy):
                _read(path)
        other.execute("ROLLBACK")
    _write(path)


def test_a_long_reader_makes_a_writer_give_up_and_nothing_half_is_kept(tmp_path: Path) -> None:
    path = books.fresh(tmp_path)
    with closing(sqlite3.connect(path, isolation_level=None)) as other, opened(path, wait_s=0.05) as book:
        other.execute("BEGIN")
        other.execute("SELECT count(*) FROM setting").fetchone()
        with pytest.raises(errors.BookBusy), writing(book):
            rows.insert(book, [Setting(setting_key="a", value_text="1")])
        other.execute("ROLLBACK")
        assert rows.records(book, Setting) == []
        with writing(book):
            rows.insert(book, [Setting(setting_key="b", value_text="1")])
    assert books.asked(path, "SELECT setting_key FROM setting") == [("b",)]


def _half_done(path: Path) -> None:
    """Leave the book as a machine does that stops while a change is being written."""
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        register_functions(other)
        other.execute("PRAGMA cache_size=1")
        other.execute("BEGIN IMMEDIATE")
        for number in range(200):
            other.execute("INSERT INTO setting (setting_key, value_text) VALUES (?, ?)", (number, "x" * 3000))
        other.execute("UPDATE book SET title = 'half done'")
        torn = {p: p.read_bytes() for p in (path, path.with_name(path.name + "-journal"))}
        other.execute("ROLLBACK")
    for place, content in torn.items():
        place.write_bytes(content)


def test_a_change_that_was_cut_off_is_taken_back(tmp_path: Path) -> None:
    path = books.fresh(tmp_path)
    before = path.read_bytes()
    _half_done(path)
    assert path.read_bytes() != before
    with opened(path) as book:
        assert rows.records(book, Setting) == []
        assert book.connection.execute(text("SELECT title FROM book")).scalar() == "Vennaray"
    assert path.read_bytes() == before
    assert [p.name for p in tmp_path.iterdir()] == [path.name]


def test_a_journal_cut_off_as_well_is_taken_back_or_told(tmp_path: Path) -> None:
    path = books.fresh(tmp_path)
    _half_done(path)
    journal = path.with_name(path.name + "-journal")
    whole, torn = journal.read_bytes(), path.read_bytes()
    for kept in (0, 3, 512, len(whole) // 2):
        path.write_bytes(torn)
        journal.write_bytes(whole[:kept])
        told = _told(_read, path)
        assert told is None or "\n" not in str(told)
        journal.unlink(missing_ok=True)


def test_what_a_map_program_left_in_its_own_mode_is_read_and_put_right(tmp_path: Path) -> None:
    path = books.fresh(tmp_path)
    with closing(sqlite3.connect(path)) as other:
        other.execute("PRAGMA journal_mode=WAL")
        other.execute("INSERT INTO setting (setting_key, value_text) VALUES ('a', '1')")
        other.commit()
        left = {p.name: p.read_bytes() for p in tmp_path.iterdir()}
    assert set(left) == {path.name, f"{path.name}-wal", f"{path.name}-shm"}
    for name, content in left.items():
        (tmp_path / name).write_bytes(content)
    with opened(path) as book:
        assert [s.setting_key for s in rows.records(book, Setting)] == ["a"]
    assert [p.name for p in tmp_path.iterdir()] == [path.name]


def _tear(path: Path, noise: random.Random) -> bytes:
    content = bytearray(path.read_bytes())
    page = noise.randrange(len(content) // 4096) * 4096
    kind = noise.randrange(4)
    if kind == 0:
        content = content[: noise.randrange(len(content))]
    elif kind == 1:
        content[page : page + 4096] = bytes(4096)
    elif kind == 2:
        content[page : page + 4096] = noise.randbytes(4096)
    else:
        other = noise.randrange(len(content) // 4096) * 4096
        content[page : page + 4096] = content[other : other + 4096]
    path.write_bytes(bytes(content))
    return bytes(content)


@pytest.mark.parametrize("seed", range(60))
def test_a_torn_book_is_told_in_one_line_and_never_made_worse(seed: int, tmp_path: Path) -> None:
    path = books.fresh(tmp_path)
    torn = _tear(path, random.Random(seed))  # noqa: S311
    for deed in (_read, _write):
        told = _told(deed, path)
        if told is not None:
            assert "\n" not in str(told)
            assert told.slug in ("book-damaged", "not-a-book", "book-too-new", "book-too-old")
            assert path.read_bytes() == torn
            assert not path.with_name(path.name + "-journal").exists()


def test_a_torn_geometry_is_told_as_damage(tmp_path: Path) -> None:
    path = books.fresh(tmp_path)
    with closing(sqlite3.connect(path)) as other, other:
        other.execute("DROP TRIGGER rtree_site_geom_insert")
        other.execute(
            "INSERT INTO site (uuid, created_at, changed_at, name, sensitivity, geom) "
            "VALUES ('s', '2025-10-01T12:00:00.000Z', '2025-10-01T12:00:00.000Z', 'A', 'withheld', x'4750')"
        )
    with opened(path) as book, pytest.raises(errors.BookDamaged, match="table site"):
        rows.records(book, Site)
