"""Sorts photos anew after she said something of them: a tag's number, a place, an instant."""

from __future__ import annotations

import datetime
from collections.abc import Collection, Mapping

from sitebook.records.photo import Photo
from sitebook.records.standing import Row
from sitebook.store import history, rows
from sitebook.store.book import Book
from sitebook.work.opening import book_row
from sitebook.work.photos.linking import Linked, link_photos
from sitebook.work.photos.placing import is_at_home, known_in, placed
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


def after_change(
    book: Book, record: Row, values: Mapping[str, object], *, now: datetime.datetime
) -> tuple[str, ...]:
    """Let a photo's finds follow what she changed of it, inside the same act; gives what she should know.

    A place she typed is hers: no track moves it any more. Whether it lies at home is looked at again,
    unless she said that too.
    """
    photo = _again(book, record)
    follows: dict[str, object] = {}
    if "geom" in values:
        follows["position_from"] = "typed" if photo.geom is not None else None
    elif "taken_at" in values:
        follows |= placed(known_in(book), rows.values_of(photo))
    if "geom" in values and "at_home" not in values:
        follows["at_home"] = is_at_home(book_row(book).geom, photo.geom)
    if "at_home" in values:
        follows.pop("at_home", None)
    history.amend(book, photo, follows)
    return tuple(sort_anew(book, {photo.id or 0}, now=now).remarks)


def _again(book: Book, record: Row) -> Photo:
    (photo,) = rows.records(book, Photo, rows.table_for(Photo).c.id == record.id)
    return photo
