"""Running migrations: a new book from nothing, an older book after a copy of it was kept."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

from alembic import command
from alembic.config import Config
from sqlalchemy import Connection

from sitebook import errors
from sitebook.store import geopackage
from sitebook.store.book import Book, engine_for, look_at, revision_of, told_in_words, writing
from sitebook.store.tables import SCHEMA_HEAD
from sitebook.store.views import create_views

_PACKAGED = Path(__file__).parent / "_migrations"
_REPOSITORY = Path(__file__).parents[2] / "migrations"


def migrations_folder() -> Path:
    """Give the folder of the migrations: beside this file in a wheel, else in the repository."""
    return _PACKAGED if _PACKAGED.is_dir() else _REPOSITORY


def _config(connection: Connection) -> Config:
    config = Config()
    config.set_main_option("script_location", str(migrations_folder()).replace("%", "%%"))
    config.attributes["connection"] = connection
    return config


def migrate(connection: Connection, revision: str = SCHEMA_HEAD) -> None:
    """Bring a connection's database up to a revision, inside the transaction it is in."""
    command.upgrade(_config(connection), revision)
    if revision == SCHEMA_HEAD:
        create_views(connection)


def create(path: Path, revision: str = SCHEMA_HEAD) -> None:
    """Write an empty book, without its `book` row, where no file lies.

    Raises
    ------
    BookExists
        When a file lies there.
    BookNotWritable
        When the file cannot be made.
    """
    if path.exists():
        raise errors.BookExists(
            "a file already lies here", where=str(path), remedy="Choose another name with --book."
        )
    if not path.parent.is_dir():
        raise errors.BookNotWritable(
            "there is no such folder", where=str(path.parent), remedy="Make the folder first."
        )
    try:
        with told_in_words(path), engine_for(path).connect() as connection:
            book = Book(path, connection)
            connection.info["writing"] = True
            with connection.begin():
                geopackage.prepare(connection)
                migrate(book.connection, revision)
    except Exception:
        path.unlink(missing_ok=True)
        raise


def copy_aside(path: Path, to: Path) -> None:
    """Copy a book with SQLite's own backup, so that the copy is whole whatever else goes on.

    Raises
    ------
    BookExists
        When a file lies at the copy's place.
    BookDamaged, BookNotWritable, BookBusy
        When no whole copy could be made; then nothing of it is left.
    """
    if to.exists():
        raise errors.BookExists(
            "an earlier copy already lies here", where=str(to), remedy="Move it away, then try again."
        )
    try:
        with (
            told_in_words(path),
            closing(sqlite3.connect(path)) as source,
            closing(sqlite3.connect(to)) as copy,
        ):
            source.backup(copy)
            _require_whole(copy, path)
    except BaseException:
        to.unlink(missing_ok=True)
        raise


def _require_whole(copy: sqlite3.Connection, path: Path) -> None:
    """Look at a copy before it is relied on: a backup takes torn pages as they are."""
    (said,) = copy.execute("PRAGMA quick_check(1)").fetchone()
    if said != "ok":
        raise errors.BookDamaged(
            f"the book's file is damaged ({said})",
            where=str(path),
            remedy="Keep this file as it is and go back to your last copy.",
        )


def upgrade(path: Path) -> Path | None:
    """Bring an older book up to date after copying it; gives the copy's path, None if it was up to date.

    Raises
    ------
    BookTooNew
        When the book was written by a newer sitebook.
    """
    look_at(path)
    with told_in_words(path), engine_for(path).connect() as connection:
        book = Book(path, connection)
        revision = revision_of(book)
        if revision > SCHEMA_HEAD:
            raise errors.BookTooNew(
                "this book was written by a newer sitebook",
                where=str(path),
                remedy="Install the newer sitebook; nothing in the book was touched.",
            )
        if revision == SCHEMA_HEAD:
            return None
        copy = path.with_name(f"{path.stem}.before-{SCHEMA_HEAD}{path.suffix}")
        connection.rollback()
        copy_aside(path, copy)
        with writing(book):
            migrate(connection)
    return copy


def known_revisions() -> tuple[str, ...]:
    """Give the revisions of the migrations found, oldest first."""
    return tuple(sorted(p.name.split("_")[0] for p in (migrations_folder() / "versions").glob("[0-9]*.py")))
