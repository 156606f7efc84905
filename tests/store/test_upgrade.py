"""Tests that a new book comes of nothing, and that an older one is copied before it is changed."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
import shapely
from sqlalchemy import Connection

from sitebook import errors
from sitebook.records.book import Book as BookRow
from sitebook.records.person import Person
from sitebook.records.site import Site
from sitebook.records.standing import Row
from sitebook.store import check, rows, upgrade
from sitebook.store.book import engine_for, opened
from sitebook.store.tables import SCHEMA_HEAD
from tests.work import books

OLDER = "0005"
SITES = "SELECT id, uuid, created_at, name, radius_m, sensitivity, geom FROM site"
PERSON = Person(uuid="p", created_at=books.NOW, changed_at=books.NOW, name="Orla Vennar", initials="OV")
ROW = BookRow(
    uuid="4f0c2a3e-58a1-4b55-9d0e-6a7f3c2b1d00",
    title="Old",
    owner_id=1,
    zone="UTC",
    units="metric",
    revision=7,
    made_with="0.0.1",
)
SITE = Site(
    uuid="s",
    created_at=books.NOW,
    changed_at=books.NOW,
    name="Mill Park",
    radius_m=20.0,
    geom=shapely.Point(-19.4, 48.6),
)


def _insert_as_then(connection: Connection, record: Row) -> None:
    """Insert the columns that the table had at that revision."""
    table = rows.table_for(type(record))
    there = {row[1] for row in connection.exec_driver_sql(f"PRAGMA table_info({table.name})")}
    values = {name: value for name, value in rows.values_of(record).items() if value is not None}
    connection.execute(table.insert().values({n: v for n, v in values.items() if n in there}))


@pytest.fixture
def older(tmp_path: Path) -> Path:
    """Make a book of the last sitebook but one, with a site in it."""
    path = tmp_path / "old.gpkg"
    upgrade.create(path, OLDER)
    engine = engine_for(path)
    with engine.connect() as connection, connection.begin():
        for record in (PERSON, ROW, SITE):
            _insert_as_then(connection, record)
    engine.dispose()
    return path


def test_the_newest_migration_is_the_one_that_is_asked_for() -> None:
    known = upgrade.known_revisions()
    assert known[-1] == SCHEMA_HEAD
    assert list(known) == sorted(set(known))


def test_each_migration_follows_the_one_before() -> None:
    known = upgrade.known_revisions()
    for revision, before in zip(known, (None, *known), strict=False):
        (path,) = (upgrade.migrations_folder() / "versions").glob(f"{revision}_*.py")
        text = path.read_text("utf-8")
        assert f'revision = "{revision}"' in text
        assert f"down_revision = {before and chr(34) + before + chr(34)}" in text


@pytest.mark.parametrize("word", ["PRAGMA", "batch_alter_table", "DROP TABLE", "drop_table"])
def test_no_migration_would_lose_triggers_or_durability(word: str) -> None:
    for path in (upgrade.migrations_folder() / "versions").glob("*.py"):
        assert word not in path.read_text("utf-8")


def test_a_book_is_never_made_over_a_file(tmp_path: Path) -> None:
    path = tmp_path / "letter.txt"
    path.write_text("Dear")
    with pytest.raises(errors.BookExists):
        upgrade.create(path)
    assert path.read_text() == "Dear"


def test_a_book_in_no_folder_is_told(tmp_path: Path) -> None:
    with pytest.raises(errors.BookNotWritable, match="folder"):
        upgrade.create(tmp_path / "none" / "book.gpkg")
    assert not list(tmp_path.iterdir())


def test_nothing_is_left_of_a_book_that_could_not_be_made(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_: object) -> None:
        raise KeyError

    monkeypatch.setattr(upgrade, "create_views", fail)
    with pytest.raises(KeyError):
        upgrade.create(tmp_path / "book.gpkg")
    assert not list(tmp_path.iterdir())


def test_an_older_book_is_refused_with_the_remedy(older: Path) -> None:
    before = older.read_bytes()
    with pytest.raises(errors.BookTooOld, match="sitebook upgrade"), opened(older):
        pass
    assert older.read_bytes() == before


def test_an_older_book_is_copied_whole_then_brought_up_to_date(older: Path) -> None:
    site = books.asked(older, SITES)
    copy = upgrade.upgrade(older)
    assert copy is not None
    assert copy.parent == older.parent
    assert books.only(copy, "SELECT version_num FROM alembic_version") == (OLDER,)
    assert books.only(copy, "PRAGMA integrity_check") == ("ok",)
    assert books.asked(copy, SITES) == site
    with opened(older) as book:
        assert [(s.name, s.geom) for s in rows.records(book, Site)] == [(SITE.name, SITE.geom)]
        assert not [line for line in check.look_over(book) if line.faults]
    assert books.asked(older, SITES) == site
    assert books.only(older, "SELECT version_num FROM alembic_version") == (SCHEMA_HEAD,)
    assert len(rows_in_index(older)) == 1


def rows_in_index(path: Path) -> list[tuple[object, ...]]:
    return books.asked(path, "SELECT id FROM rtree_site_geom")


def test_an_upgraded_book_has_the_tables_of_a_new_one(older: Path, tmp_path: Path) -> None:
    upgrade.upgrade(older)
    asked = "SELECT type, name, sql FROM sqlite_master WHERE name NOT LIKE 'sqlite_%' ORDER BY type, name"
    assert books.asked(older, asked) == books.asked(books.fresh(tmp_path), asked)


def test_an_upgrade_that_fails_leaves_the_book_as_it_was(
    older: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = older.read_bytes()

    def fail(*_: object) -> None:
        raise KeyError

    monkeypatch.setattr(upgrade, "create_views", fail)
    with pytest.raises(KeyError):
        upgrade.upgrade(older)
    assert older.read_bytes() == before


def test_an_earlier_copy_is_never_written_over(older: Path) -> None:
    copy = older.with_name(f"old.before-{SCHEMA_HEAD}.gpkg")
    copy.write_text("an earlier copy")
    before = older.read_bytes()
    with pytest.raises(errors.BookExists, match="copy"):
        upgrade.upgrade(older)
    assert copy.read_text() == "an earlier copy"
    assert older.read_bytes() == before


def test_a_book_that_is_up_to_date_is_left_alone(tmp_path: Path) -> None:
    path = books.fresh(tmp_path)
    before = path.read_bytes()
    assert upgrade.upgrade(path) is None
    assert path.read_bytes() == before
    assert [p.name for p in tmp_path.iterdir()] == [path.name]


def test_a_newer_book_is_not_touched(tmp_path: Path) -> None:
    path = books.fresh(tmp_path)
    with closing(sqlite3.connect(path)) as other, other:
        other.execute("UPDATE alembic_version SET version_num = '9999'")
    before = path.read_bytes()
    with pytest.raises(errors.BookTooNew):
        upgrade.upgrade(path)
    assert path.read_bytes() == before
    assert [p.name for p in tmp_path.iterdir()] == [path.name]


@pytest.mark.parametrize("kept", [16, 100, 3000, 4096])
def test_a_torn_book_is_told_in_words(kept: int, tmp_path: Path) -> None:
    path = books.fresh(tmp_path)
    path.write_bytes(path.read_bytes()[:kept])
    with pytest.raises(errors.SitebookError):
        upgrade.upgrade(path)


def test_a_torn_book_is_not_copied_in_silence(older: Path) -> None:
    older.write_bytes(older.read_bytes()[: older.stat().st_size // 2])
    with pytest.raises(errors.SitebookError):
        upgrade.upgrade(older)
