"""Gives photos the numbers that were noted under their file names."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, field

from sitebook.records.photo import Photo, PhotoTag
from sitebook.store import history, rows
from sitebook.store.book import Book


@dataclass
class Numbered:
    """What the noted numbers gave.

    Parameters
    ----------
    photo_ids
        Photos that bear a number now and bore none, or another, before.
    remarks
        Notes that could not be used, in words.
    """

    photo_ids: set[int] = field(default_factory=set)
    remarks: list[str] = field(default_factory=list)


def apply_tags(book: Book, arrived: Collection[int]) -> Numbered:
    """Match every note that has no picture yet with the picture of its name.

    Pictures that come in by the same act go before those that were there; a name that several
    pictures bear is not guessed at, and a number that a picture bears already stays.

    Parameters
    ----------
    book
        The book, held by an act.
    arrived
        Ids of the photos that come in by this act.
    """
    waiting = rows.records(book, PhotoTag, rows.table_for(PhotoTag).c.photo_id.is_(None))
    numbered = Numbered()
    if not waiting:
        return numbered
    by_name: dict[str, list[Photo]] = {}
    for photo in rows.records(book, Photo):
        by_name.setdefault(photo.file_name.casefold(), []).append(photo)
    for tag in waiting:
        named = by_name.get(tag.file_name.casefold(), [])
        photos = [photo for photo in named if photo.id in arrived] or named
        if len(photos) > 1:
            numbered.remarks.append(
                f"{len(photos)} pictures are called {tag.file_name}: say which shows the tag "
                f"{tag.tag_number} with `sitebook change photo ID tag_number={tag.tag_number}`."
            )
        elif photos:
            _number(book, tag, photos[0], numbered)
    return numbered


def _number(book: Book, tag: PhotoTag, photo: Photo, numbered: Numbered) -> None:
    if photo.tag_number not in (None, tag.tag_number):
        numbered.remarks.append(
            f"{photo.file_name} bears the number {photo.tag_number} already; {tag.tag_number} was not taken."
        )
        return
    history.amend(book, tag, {"photo_id": photo.id}, batch_id=tag.batch_id)
    if history.amend(book, photo, {"tag_number": tag.tag_number}, batch_id=tag.batch_id):
        numbered.photo_ids.add(photo.id or 0)
