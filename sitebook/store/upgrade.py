"""Running migrations: a new book from nothing, an older book after a copy of it was kept."""

from __future__ import annotations

from pathlib import Path

from alembic import command
from alembic.config import Config
from sqlalchemy import Connection

from sitebook import errors
from sitebook.store import geopackage
from sitebook.store.accidents import told_in_words
from sitebook.store.book import Book, engine_for, look_at, revision_of, writing
from sitebook.store.copying import copy_aside
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
