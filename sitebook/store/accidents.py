"""Tells in words what an accident of the database means and what to do about it."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy.exc import DBAPIError

from sitebook import errors

_PRIMARY = 0xFF
_ABOUT_WRITING = (
    sqlite3.SQLITE_IOERR_WRITE,
    sqlite3.SQLITE_IOERR_FSYNC,
    sqlite3.SQLITE_IOERR_DIR_FSYNC,
    sqlite3.SQLITE_IOERR_TRUNCATE,
    sqlite3.SQLITE_IOERR_DELETE,
)
_WORDS = {
    sqlite3.SQLITE_BUSY: ("locked", "busy"),
    sqlite3.SQLITE_READONLY: ("readonly", "read-only"),
    sqlite3.SQLITE_FULL: ("full",),
    sqlite3.SQLITE_CANTOPEN: ("unable to open",),
    sqlite3.SQLITE_IOERR: ("disk i/o",),
    sqlite3.SQLITE_CORRUPT: ("malformed", "not a database"),
    sqlite3.SQLITE_CONSTRAINT: ("constraint failed",),
}
"""What the database says of each kind of accident, for one that comes without its number."""


@contextmanager
def told_in_words(path: Path) -> Iterator[None]:
    """Turn every accident of the database inside the block into one of our errors."""
    try:
        yield
    except DBAPIError as error:
        raise in_words(error.orig or error, path) from error
    except sqlite3.Error as error:
        raise in_words(error, path) from error


def number_of(accident: BaseException) -> int:
    """Give SQLite's number of an accident, by its words where it bears none; 0 for any other."""
    said = str(accident).lower()
    by_words = (number for number, words in _WORDS.items() if any(word in said for word in words))
    number = getattr(accident, "sqlite_errorcode", None)
    return int(number) if number is not None else next(by_words, 0)


def in_words(accident: BaseException, path: Path) -> errors.SitebookError:
    """Give one of our errors for an accident of the database."""
    number = number_of(accident)
    if number == sqlite3.SQLITE_READONLY_ROLLBACK:
        return _half_done(path)
    if number == sqlite3.SQLITE_IOERR_SHORT_READ:
        return _damaged(accident, path)
    if number in _ABOUT_WRITING:
        return _not_written(accident, path)
    tell = _TOLD.get(number & _PRIMARY, _not_as_expected)
    return tell(accident, path)


def _busy(_: BaseException, path: Path) -> errors.SitebookError:
    return errors.BookBusy(
        "another program is writing in the book",
        where=str(path),
        remedy="Close it or wait a moment, then try again; nothing of this try was kept.",
    )


def _full(_: BaseException, path: Path) -> errors.SitebookError:
    return errors.BookNotWritable(
        "the book cannot be written, for the disk is full",
        where=str(path),
        remedy="Make room, then try again; nothing of this try was kept and the book is as it was before.",
    )


def _read_only(_: BaseException, path: Path) -> errors.SitebookError:
    return errors.BookNotWritable(
        "the book cannot be written, for it or its folder is write-protected",
        where=str(path),
        remedy="Lift the protection, or copy the book to a folder of your own; nothing was kept.",
    )


def _half_done(path: Path) -> errors.SitebookError:
    return errors.BookNotWritable(
        "the book was left in the middle of a change, and where it lies that cannot be taken back",
        where=str(path),
        remedy=f"Copy it and {path.name}-journal together to a folder of your own and open it there.",
    )


def _not_opened(accident: BaseException, path: Path) -> errors.SitebookError:
    return errors.BookNotWritable(
        f"the book cannot be opened or written where it lies ({accident})",
        where=str(path),
        remedy="Look at the permissions of the file and its folder; nothing was kept.",
    )


def _not_written(accident: BaseException, path: Path) -> errors.SitebookError:
    return errors.BookNotWritable(
        f"the disk gave an error while the book was written ({accident})",
        where=str(path),
        remedy="Look whether the disk is full or the stick was pulled out; nothing of this try was kept.",
    )


def _not_read(accident: BaseException, path: Path) -> errors.SitebookError:
    return errors.BookDamaged(
        f"the disk gave an error while the book was read ({accident})",
        where=str(path),
        remedy="Copy the file to another disk and try there; else go back to your last copy.",
    )


def _damaged(accident: BaseException, path: Path) -> errors.SitebookError:
    return errors.BookDamaged(
        f"the book's file is damaged ({accident})",
        where=str(path),
        remedy="Keep this file as it is and go back to your last copy.",
    )


def _row_refused(accident: BaseException, path: Path) -> errors.SitebookError:
    return errors.BookDamaged(
        f"the book refused a row ({accident})",
        where=str(path),
        remedy="Run `sitebook check`; nothing was kept.",
    )


def _not_as_expected(accident: BaseException, path: Path) -> errors.SitebookError:
    return errors.BookDamaged(
        f"the book's tables are not as sitebook made them ({accident})",
        where=str(path),
        remedy="Run `sitebook check`; nothing was kept.",
    )


_TOLD: dict[int, Callable[[BaseException, Path], errors.SitebookError]] = {
    sqlite3.SQLITE_BUSY: _busy,
    sqlite3.SQLITE_LOCKED: _busy,
    sqlite3.SQLITE_READONLY: _read_only,
    sqlite3.SQLITE_FULL: _full,
    sqlite3.SQLITE_CANTOPEN: _not_opened,
    sqlite3.SQLITE_IOERR: _not_read,
    sqlite3.SQLITE_CORRUPT: _damaged,
    sqlite3.SQLITE_NOTADB: _damaged,
    sqlite3.SQLITE_CONSTRAINT: _row_refused,
}
