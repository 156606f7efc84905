"""Says what a foray left to do: conflicts, finds without name or number, photos that show nothing yet."""

from __future__ import annotations

from collections.abc import Iterator

from sitebook.records.history import Conflict
from sitebook.store import rows
from sitebook.store.book import Book
from sitebook.work.foray_day import ForayDay
from sitebook.work.photos.waiting import waiting_photos

NAMED_AT_MOST = 4
"""Photos named one by one; more are counted."""


def waiting_of(book: Book, day: ForayDay) -> tuple[str, ...]:
    """Give what waits of the day of a foray, one sentence each, with what to type."""
    return (*_conflicts(book, day), *_finds(day), *_photos(book, day), *_effort(day))


def _conflicts(book: Book, day: ForayDay) -> Iterator[str]:
    own = {visit.uuid for visit in day.every_visit} | {find.uuid for find in day.every_find}
    own |= {look.uuid for looks in day.looks.values() for look in looks}
    own |= {name.uuid for name in day.names.values()} | {stop.uuid for stop in day.stops}
    table = rows.table_for(Conflict)
    left = [c for c in rows.records(book, Conflict, table.c.decided.is_(None)) if c.row_uuid in own]
    if left:
        columns = ", ".join(sorted({f"{c.table_name} {c.column_name}".replace("_", " ") for c in left}))
        verb = "value is" if len(left) == 1 else "values are"
        yield f"{len(left)} {verb} said in two ways ({columns}): sitebook decide"


def _finds(day: ForayDay) -> Iterator[str]:
    unnamed = sum(find.id not in day.names for find in day.every_find)
    if unnamed:
        yield f"{_many(unnamed, 'find has', 'finds have')} no name yet: sitebook due"
    unnumbered = sum(find.collection_number is None for find in day.every_find)
    if unnumbered:
        yield f"{_many(unnumbered, 'find has', 'finds have')} no collection number: sitebook due"


def _photos(book: Book, day: ForayDay) -> Iterator[str]:
    left = [one for one in waiting_photos(book) if one.local_date == day.foray.local_date]
    if left:
        named = ", ".join(one.photo.file_name for one in left[:NAMED_AT_MOST])
        more = f" and {len(left) - NAMED_AT_MOST} more" if len(left) > NAMED_AT_MOST else ""
        yield f"{_many(len(left), 'photo shows', 'photos show')} nothing yet ({named}{more}): sitebook due"


def _effort(day: ForayDay) -> Iterator[str]:
    assumed = sum(visit.effort_assumed for visit in day.every_visit)
    if assumed:
        yield (
            f"{_many(assumed, 'visit rests', 'visits rest')} on a track alone and enter no rate until you "
            "say what was looked for: sitebook due"
        )


def _many(number: int, one: str, several: str) -> str:
    return f"{number} {one if number == 1 else several}"
