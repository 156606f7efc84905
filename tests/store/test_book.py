"""Tests that a book is kept whole or not at all, and that each accident to it is told in words."""

from __future__ import annotations

import random
import sqlite3
import threading
import time
from collections.abc import Iterator
from contextlib import closing, nullcontext
from pathlib import Path

import pyogrio
import pytest
import shapely

from sitebook import errors
from sitebook.records.book import Setting
from sitebook.records.kinds import KINDS
from sitebook.records.site import Site
from sitebook.store import book as store_book
from sitebook.store import rows
from sitebook.store.book import Book, opened, writing
from tests.work import books


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return books.fresh(tmp_path)


@pytest.fixture
def book(path: Path) -> Iterator[Book]:
    with opened(path) as found:
        yield found


def _setting(text: str) -> Setting:
    return Setting(setting_key=text, value_text="1")


def _fail_after(book: Book, text: str, *, nested: bool = False) -> None:
    with writing(book):
        with writing(book) if nested else nullcontext():
            rows.insert(book, [_setting(text)])
        raise KeyError


def _keys(path: Path) -> set[object]:
    return {row[0] for row in books.asked(path, "SELECT setting_key FROM setting")}


@pytest.mark.parametrize(
    ("pragma", "value"),
    [("foreign_keys", 1), ("journal_mode", "delete"), ("synchronous", 3), ("application_id", 0x47504B47)],
)
def test_durability_is_in_force(pragma: str, value: object, book: Book) -> None:
    assert book.connection.exec_driver_sql(f"PRAGMA {pragma}").scalar() == value


def test_a_book_waits_for_another_before_it_gives_up(book: Book) -> None:
    wait_ms = book.connection.exec_driver_sql("PRAGMA busy_timeout").scalar()
    assert wait_ms == store_book.BUSY_TIMEOUT_S * 1000


def test_a_reference_to_nothing_is_refused(book: Book) -> None:
    with pytest.raises(errors.BookDamaged, match="refused a row"), writing(book):
        rows.insert(book, [Setting(person_id=999, setting_key="a", value_text="1")])
    assert not _keys(book.path)


def test_a_block_is_kept_when_it_ends(book: Book) -> None:
    with writing(book):
        rows.insert(book, [_setting("a")])
        rows.insert(book, [_setting("b")])
    assert _keys(book.path) == {"a", "b"}


def test_nothing_of_a_block_that_fails_is_kept(book: Book) -> None:
    before = book.path.read_bytes()
    with pytest.raises(KeyError):
        _fail_after(book, "a")
    assert book.path.read_bytes() == before
    with writing(book):
        rows.insert(book, [_setting("b")])
    assert _keys(book.path) == {"b"}


def test_nothing_is_seen_by_others_before_the_block_ends(book: Book) -> None:
    with writing(book):
        rows.insert(book, [_setting("a")])
        assert not _keys(book.path)
    assert _keys(book.path) == {"a"}


def test_a_block_inside_another_joins_it(book: Book) -> None:
    before = books.revision(book.path)
    with pytest.raises(KeyError):
        _fail_after(book, "a", nested=True)
    assert not _keys(book.path)
    with writing(book):
        rows.insert(book, [_setting("a")])
        with writing(book):
            rows.insert(book, [_setting("b")])
    assert _keys(book.path) == {"a", "b"}
    assert books.revision(book.path) == before + 1


def test_the_revision_counts_changes_alone(book: Book) -> None:
    before = books.revision(book.path)
    with writing(book):
        rows.records(book, Site)
    assert books.revision(book.path) == before
    with writing(book):
        rows.insert(book, [_setting("a"), _setting("b")])
    assert books.revision(book.path) == before + 1
    with pytest.raises(KeyError):
        _fail_after(book, "c")
    assert books.revision(book.path) == before + 1


def test_a_block_that_changes_nothing_leaves_every_byte(book: Book) -> None:
    before = book.path.read_bytes()
    with writing(book):
        rows.update(book, Setting, 1, {"value_text": "2"})
    assert book.path.read_bytes() == before


def test_bounds_of_a_layer_are_told_with_the_change(book: Book) -> None:
    with writing(book):
        site = Site(
            uuid="1", created_at=books.NOW, changed_at=books.NOW, name="A", radius_m=5.0,
            geom=shapely.Point(-19.4, 48.6),
        )  # fmt: skip
        rows.insert(book, [site])
    said = books.only(
        book.path, "SELECT min_x, min_y, max_x, max_y FROM gpkg_contents WHERE table_name = 'site'"
    )
    assert said == pytest.approx((-19.4, 48.6, -19.4, 48.6), abs=1e-5)


def test_a_second_writer_is_told_that_the_book_is_busy(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(store_book, "BUSY_TIMEOUT_S", 0.05)
    with opened(path) as one, opened(path) as other:
        with writing(one):
            rows.insert(one, [_setting("a")])
            with pytest.raises(errors.BookBusy, match="another program") as told, writing(other):
                rows.insert(other, [_setting("b")])
        assert "\n" not in str(told.value)
        with writing(other):
            rows.insert(other, [_setting("c")])
    assert _keys(path) == {"a", "c"}


def test_a_second_writer_waits_its_turn(path: Path) -> None:
    began = threading.Event()

    def first() -> None:
        with opened(path) as one, writing(one):
            rows.insert(one, [_setting("a")])
            began.set()
            time.sleep(0.3)

    thread = threading.Thread(target=first)
    thread.start()
    assert began.wait(10)
    with opened(path) as other, writing(other):
        assert {s.setting_key for s in rows.records(other, Setting)} == {"a"}
        rows.insert(other, [_setting("b")])
    thread.join()
    assert _keys(path) == {"a", "b"}


def test_a_reader_is_not_kept_waiting_by_a_writer(path: Path) -> None:
    with opened(path) as one, writing(one):
        rows.insert(one, [_setting("a")])
        with opened(path) as other:
            assert rows.records(other, Setting) == []
    assert _keys(path) == {"a"}


def test_a_book_that_cannot_be_written_says_so(book: Book) -> None:
    book.connection.exec_driver_sql("PRAGMA query_only=ON")
    before = book.path.read_bytes()
    with pytest.raises(errors.BookNotWritable, match="cannot be written"), writing(book):
        rows.insert(book, [_setting("a")])
    assert book.path.read_bytes() == before


def test_a_full_disk_is_told_and_keeps_the_book_as_it_was(book: Book) -> None:
    before = book.path.read_bytes()
    book.connection.exec_driver_sql("PRAGMA max_page_count=1")
    with pytest.raises(errors.BookNotWritable, match="full"), writing(book):
        rows.insert(book, [Setting(setting_key="a", value_text="x" * 100_000)])
    assert book.path.read_bytes() == before


def test_no_book_is_told(tmp_path: Path) -> None:
    with pytest.raises(errors.BookMissing, match="sitebook new"), opened(tmp_path / "none.gpkg"):
        pass
    assert not list(tmp_path.iterdir())


def test_a_folder_is_no_book(tmp_path: Path) -> None:
    with pytest.raises(errors.NotABook, match="folder"), opened(tmp_path):
        pass


@pytest.mark.parametrize("content", [b"", b"Dear diary", b"SQLite format 3"])
def test_another_file_is_no_book(content: bytes, tmp_path: Path) -> None:
    path = tmp_path / "diary.gpkg"
    path.write_bytes(content)
    with pytest.raises(errors.NotABook), opened(path):
        pass
    assert path.read_bytes() == content


def test_another_database_is_no_book(tmp_path: Path) -> None:
    path = tmp_path / "other.sqlite"
    with closing(sqlite3.connect(path)) as other, other:
        other.execute("CREATE TABLE book (id INTEGER)")
    before = path.read_bytes()
    with pytest.raises(errors.NotABook), opened(path):
        pass
    assert path.read_bytes() == before


def test_another_geopackage_is_no_book(tmp_path: Path) -> None:
    path = tmp_path / "other.gpkg"
    pyogrio.raw.write(
        path,
        geometry=shapely.to_wkb([shapely.Point(0, 0)]),
        field_data=[],
        fields=[],
        layer="book",
        driver="GPKG",
        geometry_type="Point",
        crs="EPSG:4326",
    )
    before = path.read_bytes()
    with pytest.raises(errors.NotABook), opened(path):
        pass
    assert path.read_bytes() == before


def _read_all(path: Path) -> None:
    with opened(path) as book:
        for kind in KINDS.values():
            rows.records(book, kind)


@pytest.mark.parametrize("kept", [16, 100, 3000, 4096, 200_000])
def test_a_torn_book_is_told_in_words(kept: int, path: Path) -> None:
    torn = path.read_bytes()[:kept]
    path.write_bytes(torn)
    with pytest.raises((errors.BookDamaged, errors.NotABook, errors.BookNotWritable)):
        _read_all(path)
    assert path.read_bytes() == torn


@pytest.mark.parametrize("seed", range(8))
def test_a_book_with_noise_in_it_is_told_in_words(seed: int, path: Path) -> None:
    noise = random.Random(seed)  # noqa: S311
    content = bytearray(path.read_bytes())
    for _ in range(40):
        start = noise.randrange(100, len(content) - 512)
        content[start : start + 512] = noise.randbytes(512)
    path.write_bytes(bytes(content))
    with pytest.raises(errors.SitebookError):
        _read_all(path)


def test_a_newer_book_is_refused_and_left_as_it_is(path: Path) -> None:
    with closing(sqlite3.connect(path)) as other, other:
        other.execute("UPDATE alembic_version SET version_num = '9999'")
    before = path.read_bytes()
    with pytest.raises(errors.BookTooNew, match="newer sitebook"), opened(path):
        pass
    assert path.read_bytes() == before
