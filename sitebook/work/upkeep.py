"""Looks a book over, and brings an older one up to date."""

from __future__ import annotations

from pathlib import Path

from sitebook.records.kinds import KINDS
from sitebook.records.results.listing import CheckLine
from sitebook.store import check, rows
from sitebook.store import upgrade as store_upgrade
from sitebook.store.book import Book
from sitebook.work.answer import Answer, Progress, silent


def look_over(book: Book, progress: Progress = silent) -> Answer[tuple[CheckLine, ...]]:
    """Answer what is wrong with the book and its photos, each thing looked at on its own line."""
    return Answer(check.look_over(book, progress))


def bring_up_to_date(path: Path) -> Answer[Path | None]:
    """Bring an older book up to date; answers where its copy lies, None when nothing was to be done.

    Raises
    ------
    SitebookError
        When it is no book, newer than this sitebook, or cannot be written.
    """
    return Answer(store_upgrade.upgrade(path))


def counts(book: Book) -> dict[str, int]:
    """Count the standing rows of every table."""
    return {name: rows.how_many(book, kind) for name, kind in KINDS.items()}
