"""The open book: one SQLite connection with its transactions."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import URL, Connection, Engine, NullPool, create_engine, event

from sitebook import errors
from sitebook.store import geopackage
from sitebook.store.accidents import told_in_words
from sitebook.store.tables import SCHEMA_HEAD

BUSY_TIMEOUT_S = 10.0
_SQLITE_MAGIC = b"SQLite format 3\x00"
_WRITING = "writing"


@dataclass
class Book:
    """An open book.

    Parameters
    ----------
    path
        Where it lies.
    connection
        Its one connection.
    """

    path: Path
    connection: Connection


def engine_for(path: Path, wait_s: float | None = None) -> Engine:
    """Make an engine on a book's file with the durability a book must have.

    Parameters
    ----------
    path
        The book's file.
    wait_s
        How long to wait for another program that holds the book [s]; None for `BUSY_TIMEOUT_S`.
    """
    timeout_s = BUSY_TIMEOUT_S if wait_s is None else wait_s
    place = URL.create("sqlite", database=str(path))
    engine = create_engine(place, poolclass=NullPool, connect_args={"timeout": timeout_s})

    @event.listens_for(engine, "connect")
    def _connected(driver: sqlite3.Connection, _record: object) -> None:
        driver.isolation_level = None
        geopackage.register_functions(driver)
        try:
            for pragma in ("foreign_keys=ON", "journal_mode=DELETE", "synchronous=EXTRA"):
                driver.execute(f"PRAGMA {pragma}")
        except UnicodeDecodeError as error:
            raise sqlite3.DatabaseError("malformed text in its list of tables") from error

    @event.listens_for(engine, "begin")
    def _begun(connection: Connection) -> None:
        immediate = connection.info.get(_WRITING, False)
        connection.exec_driver_sql("BEGIN IMMEDIATE" if immediate else "BEGIN")

    return engine


@contextmanager
def opened(path: Path, wait_s: float | None = None) -> Iterator[Book]:
    """Open a book that is at today's tables.

    Parameters
    ----------
    path
        The book's file.
    wait_s
        How long to wait for another program that holds the book [s]; None for `BUSY_TIMEOUT_S`.

    Raises
    ------
    BookMissing, NotABook, BookTooNew, BookTooOld
        When there is no such book, or it cannot be used as it is.
    BookBusy, BookNotWritable, BookDamaged
        When the file cannot be read or written.
    """
    look_at(path)
    with told_in_words(path), engine_for(path, wait_s).connect() as connection:
        book = Book(path, connection)
        require_revision(book)
        yield book


@contextmanager
def writing(book: Book) -> Iterator[None]:
    """Hold the book for writing: all of the block is kept, or nothing of it.

    A block inside another joins it. The book's revision goes up by one when anything changed.
    """
    if book.connection.info.get(_WRITING):
        yield
        return
    if book.connection.in_transaction():
        book.connection.rollback()
    book.connection.info[_WRITING] = True
    try:
        with told_in_words(book.path), book.connection.begin():
            before = _changes(book)
            yield
            if _changes(book) != before:
                geopackage.tell_extents(book.connection)
                book.connection.exec_driver_sql("UPDATE book SET revision = revision + 1")
    finally:
        book.connection.info[_WRITING] = False
        _take_back(book)


def _take_back(book: Book) -> None:
    """End a transaction that SQLite left open when it could not be kept, as while a reader held the file."""
    driver = _driver(book)
    if driver.in_transaction:
        driver.rollback()


def _changes(book: Book) -> int:
    return _driver(book).total_changes


def _driver(book: Book) -> sqlite3.Connection:
    driver = book.connection.connection.driver_connection
    if not isinstance(driver, sqlite3.Connection):
        raise TypeError("a book is an SQLite file")
    return driver


def look_at(path: Path) -> None:
    """Say in words why a path is no book, before any connection is made."""
    try:
        if not path.exists():
            raise errors.BookMissing(
                "there is no book here",
                where=str(path),
                remedy="Make one with `sitebook new`, or name another with --book.",
            )
        if path.is_dir():
            raise errors.NotABook(
                "this is a folder", where=str(path), remedy="Name the book's file inside it with --book."
            )
        with path.open("rb") as file:
            head = file.read(len(_SQLITE_MAGIC))
    except OSError as error:
        raise errors.BookNotWritable(
            f"the book cannot be read ({error.strerror})",
            where=str(path),
            remedy="Look at the permissions of the file and its folder, and whether the disk is whole.",
        ) from error
    if not head:
        raise errors.NotABook(
            "this file is empty",
            where=str(path),
            remedy="If it was your book, keep it as it is and go back to your last copy.",
        )
    if head != _SQLITE_MAGIC:
        raise errors.NotABook(
            "this file is no book of sitebook",
            where=str(path),
            remedy="Name the book with --book; to read this file into a book use `sitebook import`.",
        )


def revision_of(book: Book) -> str:
    """Give the revision of the tables the book is at.

    Raises
    ------
    NotABook
        When the file is a database of something else.
    """
    tables = set(
        book.connection.exec_driver_sql("SELECT name FROM sqlite_master WHERE type = 'table'").scalars()
    )
    application = book.connection.exec_driver_sql("PRAGMA application_id").scalar()
    if application != geopackage.APPLICATION_ID or not {"book", "alembic_version"} <= tables:
        raise errors.NotABook(
            "this database is no book of sitebook",
            where=str(book.path),
            remedy="Name the book with --book.",
        )
    found = book.connection.exec_driver_sql("SELECT version_num FROM alembic_version").scalar()
    return str(found)


def require_revision(book: Book) -> None:
    """Refuse a book whose tables are newer or older than today's."""
    revision = revision_of(book)
    if revision > SCHEMA_HEAD:
        raise errors.BookTooNew(
            "this book was written by a newer sitebook",
            where=str(book.path),
            remedy="Install the newer sitebook; nothing in the book was touched.",
        )
    if revision < SCHEMA_HEAD:
        raise errors.BookTooOld(
            "this book was written by an older sitebook",
            where=str(book.path),
            remedy="Run `sitebook upgrade`: it keeps a copy first, then brings the book up to date.",
        )
