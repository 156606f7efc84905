"""Gives pages the photos of finds: their words, and their small pictures as addresses."""

from __future__ import annotations

import base64
import zoneinfo
from collections.abc import Callable

from sitebook.records.photo import Photo
from sitebook.records.results.map_view import PhotoMark
from sitebook.store import photo_rows, rows
from sitebook.store.book import Book
from sitebook.work.opening import book_row


def photo_link(book: Book) -> Callable[[str], str]:
    """Give a function from a photo's SHA-256 to its small picture as a data URI, empty for none."""

    def link(sha256: str) -> str:
        small = photo_rows.thumbnail_of(book, sha256)
        if small is None:
            return ""
        return f"data:{small.media_type};base64,{base64.b64encode(small.content).decode('ascii')}"

    return link


def photo_marks(book: Book) -> dict[int, tuple[PhotoMark, ...]]:
    """Give the photos of every find, in the order they were taken, by the find's id."""
    zone, sizes = zoneinfo.ZoneInfo(book_row(book).zone), photo_rows.thumbnail_sizes(book)
    links = photo_rows.links_to_finds(book)
    marks: dict[int, list[PhotoMark]] = {}
    if not links:
        return {}
    for photo in photo_rows.in_order(rows.records(book, Photo)):
        for link in links.get(photo.id or 0, ()):
            width_px, height_px = sizes.get(photo.id or 0, (0, 0))
            mark = PhotoMark(photo.sha256, _words(photo, zone), width_px, height_px)
            marks.setdefault(link.find_id or 0, []).append(mark)
    return {find_id: tuple(found) for find_id, found in marks.items()}


def _words(photo: Photo, zone: zoneinfo.ZoneInfo) -> str:
    if photo.taken_at is None:
        return photo.file_name
    return f"{photo.file_name}, {photo.taken_at.astimezone(zone):%Y-%m-%d %H:%M}"
