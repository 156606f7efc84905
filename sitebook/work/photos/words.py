"""Sorts photos anew after she said something of them: a tag's number, a place, an instant."""

from __future__ import annotations

import datetime
from collections.abc import Collection

from sitebook.store.book import Book
from sitebook.work.opening import book_row
from sitebook.work.photos.linking import Linked, link_photos
from sitebook.work.photos.tags import apply_tags


def sort_anew(book: Book, photo_ids: Collection[int], *, now: datetime.datetime) -> Linked:
    """Join photos to their finds after a word of hers, inside the act that kept the word.

    Parameters
    ----------
    book
        The book, held by an act.
    photo_ids
        Photos she said something of; those whose number was noted under their file name come along.
    now
        Instant of the act.
    """
    numbered = apply_tags(book, ())
    fresh = {*photo_ids, *numbered.photo_ids}
    linked = link_photos(book, fresh, zone=book_row(book).zone, now=now)
    linked.remarks[:0] = numbered.remarks
    return linked
