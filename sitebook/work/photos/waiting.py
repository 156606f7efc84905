"""Lists the photos that show nothing yet, with why, and with the finds they may show."""

from __future__ import annotations

import datetime
import zoneinfo
from dataclasses import dataclass

from sitebook.records.find import Find
from sitebook.records.person import Person
from sitebook.records.photo import Photo
from sitebook.store import photo_rows, rows
from sitebook.store.book import Book
from sitebook.work.opening import book_row


@dataclass(frozen=True)
class WaitingPhoto:
    """A photo that shows nothing in the book yet.

    Parameters
    ----------
    photo
        The photo.
    local_date
        Day it was taken on; None where not known.
    why
        Why it waits, in words.
    offers
        Finds of that day it may show, as "VE 12", or "draft" with the find's key where it has no number.
    """

    photo: Photo
    local_date: datetime.date | None
    why: str
    offers: tuple[str, ...]


def waiting_photos(book: Book) -> tuple[WaitingPhoto, ...]:
    """Give every photo that shows neither a find, a site, a tree, a visit nor a paper, oldest first."""
    shown, zone = photo_rows.shown_by(book), zoneinfo.ZoneInfo(book_row(book).zone)
    waiting = [photo for photo in rows.records(book, Photo) if photo.id not in shown]
    offers = _labels_by_day(book) if waiting else {}
    found = []
    for photo in photo_rows.in_order(waiting):
        day = photo.taken_at.astimezone(zone).date() if photo.taken_at else None
        found.append(WaitingPhoto(photo, day, why_waiting(photo), offers.get(day, ()) if day else ()))
    return tuple(found)


def why_waiting(photo: Photo) -> str:
    """Say why no find was made of a photo."""
    if photo.taken_at is None:
        return "its time is not known"
    if photo.at_home:
        return "taken at home"
    if photo.geom is None:
        return "its place is not known"
    return "it was set aside when it came in"


def _labels_by_day(book: Book) -> dict[datetime.date, tuple[str, ...]]:
    people = {p.id: p.initials for p in rows.records(book, Person, withdrawn=True)}
    days: dict[datetime.date, list[str]] = {}
    for find in rows.records(book, Find):
        if find.found_on is not None:
            number = find.collection_number
            label = f"draft {find.id}" if number is None else f"{people[find.collector_id]} {number}"
            days.setdefault(find.found_on, []).append(label)
    return {day: tuple(labels) for day, labels in days.items()}
