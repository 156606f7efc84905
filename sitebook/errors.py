"""Every error a person can meet, each with a slug, a place and a remedy."""

from __future__ import annotations

from typing import ClassVar


class SitebookError(Exception):
    """An error that is told in one line: what, where, and what to do.

    Parameters
    ----------
    what
        What is wrong, without a full stop.
    remedy
        What the person can do about it.
    where
        File, line or record concerned; None where the sentence already says it.
    """

    slug: ClassVar[str] = "sitebook"

    def __init__(self, what: str, *, remedy: str, where: str | None = None) -> None:
        super().__init__(what)
        self.what = what
        self.remedy = remedy
        self.where = where

    def __str__(self) -> str:
        place = f"{self.where}: " if self.where else ""
        line = f"{place}{_shortened(self.what)}. {self.remedy} [{self.slug}]"
        return "".join(sign for sign in " ".join(line.split()) if sign.isprintable())


LONGEST_SAID = 2000


def _shortened(text: str) -> str:
    """Cut the middle out of what a hostile file made too long to read."""
    half = LONGEST_SAID // 2
    return text if len(text) <= LONGEST_SAID else f"{text[:half]} ... {text[-half:]}"


class BadArgument(SitebookError):
    """A word or number on the command line that cannot be used."""

    slug = "bad-argument"


class BookMissing(SitebookError):
    """No book at the path."""

    slug = "book-missing"


class BookExists(SitebookError):
    """A file already lies where a new book should go."""

    slug = "book-exists"


class NotABook(SitebookError):
    """The file is not a book of sitebook."""

    slug = "not-a-book"


class BookTooNew(SitebookError):
    """The book was written by a newer sitebook."""

    slug = "book-too-new"


class BookTooOld(SitebookError):
    """The book must be brought to today's tables before it can be used."""

    slug = "book-too-old"


class BookBusy(SitebookError):
    """Another program holds the book."""

    slug = "book-busy"


class BookNotWritable(SitebookError):
    """The book or its folder cannot be written: write-protected, or the disk is full."""

    slug = "book-not-writable"


class BookDamaged(SitebookError):
    """The book's file is torn or its tables contradict each other."""

    slug = "book-damaged"


class BackupDamaged(SitebookError):
    """A zip made by `sitebook backup` is not what it was when it was made."""

    slug = "backup-damaged"


class FileMissing(SitebookError):
    """A named file does not exist or cannot be read."""

    slug = "file-missing"


class FileNotWritable(SitebookError):
    """A page or file could not be written."""

    slug = "file-not-writable"


class FileNotRecognised(SitebookError):
    """No reader knows this kind of file."""

    slug = "file-not-recognised"


class FileUnreadable(SitebookError):
    """The file is of a known kind but broken as a whole."""

    slug = "file-unreadable"


class FileTooLarge(SitebookError):
    """The file is larger, or unpacks larger, than a reader will take."""

    slug = "file-too-large"


class LinesRefused(SitebookError):
    """Some lines of a file are impossible, so nothing of the file came in."""

    slug = "lines-refused"


class NameAmbiguous(SitebookError):
    """A name that fits more than one record."""

    slug = "name-ambiguous"


class PositionImpossible(SitebookError):
    """A latitude or longitude outside the possible range."""

    slug = "position-impossible"


class ValueImpossible(SitebookError):
    """A field whose value cannot be."""

    slug = "value-impossible"


class NothingToShow(SitebookError):
    """The book holds nothing the page or report could be made of."""

    slug = "nothing-to-show"


class RecordMissing(SitebookError):
    """No record answers to the name or number given."""

    slug = "record-missing"


class StillInUse(SitebookError):
    """A record that others rest on, so that it is not withdrawn alone."""

    slug = "still-in-use"


class PageNotSelfContained(SitebookError):
    """A page would load something from outside its own file."""

    slug = "page-not-self-contained"


class PartMissing(SitebookError):
    """A file of another package that pages are drawn with is not installed."""

    slug = "part-missing"


class FileExists(SitebookError):
    """A file lies already where an export should go."""

    slug = "file-exists"


class QueryRefused(SitebookError):
    """A query that would change something, or is no single question."""

    slug = "query-refused"


class QueryFailed(SitebookError):
    """A query that cannot be understood or run."""

    slug = "query-failed"
