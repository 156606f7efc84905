"""Making a new book."""

from __future__ import annotations

import datetime
import zoneinfo
from pathlib import Path

import sitebook
from sitebook import errors
from sitebook.intake.starter import read_starter
from sitebook.records.book import Book as BookRow
from sitebook.records.person import Person
from sitebook.store import book as store_book
from sitebook.store import rows, upgrade
from sitebook.store.book import Book
from sitebook.work.bring_in.keeping import keep_starter
from sitebook.work.identity_keys import uuid_of
from sitebook.work.opening import opened

UNITS = ("metric", "US customary")


def new_book(
    path: Path,
    *,
    title: str,
    owner: str,
    initials: str,
    zone: str,
    now: datetime.datetime,
    units: str = "metric",
) -> None:
    """Make a book with its owner and the starter names in it.

    Raises
    ------
    BookExists, BookNotWritable
        When the file cannot be made there.
    BadArgument
        When the zone or the units are not known.
    """
    _require_zone(zone)
    if units not in UNITS:
        raise errors.BadArgument(f"'{units}' are no units", remedy=f"Use one of: {', '.join(UNITS)}.")
    upgrade.create(path)
    try:
        with opened(path) as book, store_book.writing(book):
            _fill(book, title=title, owner=owner, initials=initials, zone=zone, units=units, now=now)
    except Exception:
        path.unlink(missing_ok=True)
        raise


def _fill(
    book: Book, *, title: str, owner: str, initials: str, zone: str, units: str, now: datetime.datetime
) -> None:
    person = Person(
        uuid=uuid_of("person", initials), created_at=now, changed_at=now, name=owner, initials=initials
    )
    (owner_id,) = rows.insert(book, [person])
    row = BookRow(
        uuid=uuid_of("book", f"{title}|{initials}|{now.isoformat()}"),
        title=title,
        owner_id=owner_id,
        zone=zone,
        units=units,
        revision=0,
        made_with=sitebook.__version__,
    )
    rows.insert(book, [row])
    keep_starter(book, read_starter(), now=now)


def _require_zone(zone: str) -> None:
    try:
        zoneinfo.ZoneInfo(zone)
    except (zoneinfo.ZoneInfoNotFoundError, ValueError, OSError) as error:
        raise errors.BadArgument(
            f"'{zone}' is no time zone", remedy="Use an IANA name such as Europe/Lisbon or Etc/GMT+1."
        ) from error
