"""Copies a whole book while it is in use, and looks whether a copy is whole."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from sitebook import errors
from sitebook.store import book as store_book
from sitebook.store.accidents import told_in_words

_ABOUT_THE_COPY = (sqlite3.SQLITE_FULL, sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN)
_ABOUT_WRITING = (sqlite3.SQLITE_IOERR_WRITE, sqlite3.SQLITE_IOERR_FSYNC, sqlite3.SQLITE_IOERR_TRUNCATE)


def copy_aside(path: Path, to: Path, wait_s: float | None = None) -> None:
    """Copy a book with SQLite's own backup, so that the copy is whole whatever else goes on.

    A lock for reading is taken first and waited for: without it the backup would try without end.

    Parameters
    ----------
    path
        The book's file.
    to
        Where the copy goes.
    wait_s
        How long to wait for another program that holds the book [s]; None for `BUSY_TIMEOUT_S`.

    Raises
    ------
    BookExists
        When a file lies at the copy's place.
    BookDamaged, BookNotWritable, BookBusy, FileNotWritable
        When no whole copy could be made; then nothing of it is left.
    """
    if to.exists():
        raise errors.BookExists(
            "an earlier copy already lies here", where=str(to), remedy="Move it away, then try again."
        )
    timeout_s = store_book.BUSY_TIMEOUT_S if wait_s is None else wait_s
    try:
        with (
            told_in_words(path),
            _told_of_copy(to),
            closing(sqlite3.connect(path, timeout=timeout_s, isolation_level=None)) as source,
            closing(sqlite3.connect(to)) as copy,
        ):
            source.execute("BEGIN")
            _reading(source)
            source.backup(copy)
            _require_whole(copy, path, "quick_check")
    except BaseException:
        to.unlink(missing_ok=True)
        raise


def require_whole(path: Path) -> None:
    """Read every page of a database's file.

    Raises
    ------
    BookDamaged
        When something is wrong with it.
    """
    with told_in_words(path), closing(sqlite3.connect(path)) as copy:
        _require_whole(copy, path, "integrity_check")


def _reading(connection: sqlite3.Connection) -> None:
    """Load the list of tables, which takes the lock; a damaged one may be told in text that is no text."""
    try:
        connection.execute("SELECT count(*) FROM sqlite_master").fetchone()
    except UnicodeDecodeError as error:
        raise sqlite3.DatabaseError("malformed text in its list of tables") from error


def _require_whole(copy: sqlite3.Connection, path: Path, pragma: str) -> None:
    """Look at a copy before it is relied on: a backup takes pages as they are, torn ones too."""
    _reading(copy)
    (said,) = copy.execute(f"PRAGMA {pragma}(1)").fetchone()
    if said != "ok":
        raise errors.BookDamaged(
            f"the book's file is damaged ({said})",
            where=str(path),
            remedy="Keep this file as it is and go back to your last copy.",
        )


@contextmanager
def _told_of_copy(to: Path) -> Iterator[None]:
    """Tell of the copy's place, not of the book, when it is the copy that cannot be written."""
    try:
        yield
    except sqlite3.Error as error:
        number = getattr(error, "sqlite_errorcode", 0)
        if number & 0xFF not in _ABOUT_THE_COPY and number not in _ABOUT_WRITING:
            raise
        raise errors.FileNotWritable(
            f"the copy cannot be written ({error})",
            where=str(to.parent),
            remedy="Make room there, lift the write protection, or name another place.",
        ) from error
