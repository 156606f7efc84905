"""Finds photos by what they show, and their small pictures."""

from __future__ import annotations

import datetime
from collections.abc import Sequence

from sqlalchemy import select

from sitebook.records.find import Find
from sitebook.records.photo import Photo, PhotoLink, PhotoThumbnail
from sitebook.store import rows
from sitebook.store.book import Book

SHOWN = ("find", "site", "host_tree", "visit", "permission")
"""Kinds of record that a photo can show."""


def photos_of(book: Book, kind: str, key: int) -> list[Photo]:
    """Give the photos that show one record, in the order they were taken."""
    link = rows.table_for(PhotoLink)
    showing = select(link.c.photo_id).where(link.c[f"{kind}_id"] == key, link.c.withdrawn_at.is_(None))
    return in_order(rows.records(book, Photo, rows.table_for(Photo).c.id.in_(showing.scalar_subquery())))


def in_order(photos: Sequence[Photo]) -> list[Photo]:
    """Sort photos by instant, those of no known instant last."""
    never = datetime.datetime.max.replace(tzinfo=datetime.UTC)
    return sorted(photos, key=lambda p: (p.taken_at or never, p.file_name, p.sha256))


def links_to_finds(book: Book) -> dict[int, list[PhotoLink]]:
    """Give the standing links of each photo to finds that stand, by the photo's id."""
    standing = {find.id for find in rows.records(book, Find)}
    links: dict[int, list[PhotoLink]] = {}
    for link in rows.records(book, PhotoLink, rows.table_for(PhotoLink).c.find_id.is_not(None)):
        if link.find_id in standing:
            links.setdefault(link.photo_id, []).append(link)
    return links


def shown_by(book: Book) -> set[int]:
    """Give the ids of all photos that show something: a standing find, a site, a tree, a visit, a paper."""
    shown = set(links_to_finds(book))
    table = rows.table_for(PhotoLink)
    return shown | {link.photo_id for link in rows.records(book, PhotoLink, table.c.find_id.is_(None))}


def taken_between(book: Book, first: datetime.datetime, last: datetime.datetime) -> list[Photo]:
    """Give the photos taken within a span of time."""
    table = rows.table_for(Photo)
    return rows.records(book, Photo, table.c.taken_at >= first, table.c.taken_at <= last)


def thumbnail_of(book: Book, sha256: str) -> PhotoThumbnail | None:
    """Give the small picture of a photo; None where there is none."""
    photo = rows.table_for(Photo)
    of_photo = select(photo.c.id).where(photo.c.sha256 == sha256).scalar_subquery()
    table = rows.table_for(PhotoThumbnail)
    return next(iter(rows.records(book, PhotoThumbnail, table.c.photo_id == of_photo)), None)


def thumbnail_sizes(book: Book) -> dict[int, tuple[int, int]]:
    """Give width and height of every small picture [px], by the photo's id."""
    table = rows.table_for(PhotoThumbnail)
    found = book.connection.execute(select(table.c.photo_id, table.c.width_px, table.c.height_px))
    return {row[0]: (row[1], row[2]) for row in found}
