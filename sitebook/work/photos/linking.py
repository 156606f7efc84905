"""Says which find each photo shows: by the tag in it, else by time and place."""

from __future__ import annotations

import datetime
from collections.abc import Collection
from dataclasses import dataclass, field

from sitebook.analysis.outing.shots import LONGEST_PAUSE_S, REACH_M, Group, Shot, grouped
from sitebook.ground.apart import apart_m
from sitebook.records.find import Find
from sitebook.records.photo import Photo, PhotoLink
from sitebook.store import history, photo_rows, rows
from sitebook.store.book import Book
from sitebook.work.identity_keys import uuid_of
from sitebook.work.photos.finds import NewFind, fill_find, make_find, read_again
from sitebook.work.photos.numbers import Numbers

_AROUND = datetime.timedelta(hours=12)
"""Photos this near in time are looked at beside those that are sorted."""


@dataclass
class Linked:
    """What came of sorting photos.

    Parameters
    ----------
    finds_made, photos_linked
        How many.
    drafts_left
        Drafts that were withdrawn since all their photos show another find.
    remarks
        What she should know, in words.
    """

    finds_made: int = 0
    photos_linked: int = 0
    drafts_left: int = 0
    remarks: list[str] = field(default_factory=list)


@dataclass
class Sorting:
    """What holds while photos are sorted."""

    book: Book
    now: datetime.datetime
    zone: str
    numbers: Numbers
    photos: dict[int, Photo]
    links: dict[int, list[PhotoLink]]
    fresh: Collection[int]
    arrived: Collection[int]
    linked: Linked = field(default_factory=Linked)

    def shows(self, key: int) -> int | None:
        """Give the find a photo shows; None where it shows none yet."""
        return next((link.find_id for link in self.links.get(key, ())), None)


def link_photos(
    book: Book,
    fresh: Collection[int],
    *,
    zone: str,
    now: datetime.datetime,
    arrived: Collection[int] = frozenset(),
) -> Linked:
    """Join photos to the finds they show, and make draft finds for those that show none of the book.

    A photo of a tag opens a find, and the photos after it belong to that find until the next tag, a
    pause or another place. Photos without a tag join the find of those round them, or a find that was
    noted at that time and place; else a draft find is made where a position is known. At home no find
    is made: there a tag alone joins photos to a find.

    Parameters
    ----------
    book
        The book, held by an act.
    fresh
        Ids of the photos to sort; others only stand round them.
    zone
        IANA zone of her local dates.
    now
        Instant of the act.
    arrived
        Ids of the photos that come in by this very act; what is made of them belongs to their import.
    """
    chosen = [p for p in rows.records(book, Photo, rows.table_for(Photo).c.id.in_(list(fresh))) if p.taken_at]
    instants = [p.taken_at for p in chosen if p.taken_at]
    if not instants:
        return Linked()
    near = photo_rows.taken_between(book, min(instants) - _AROUND, max(instants) + _AROUND)
    photos = {p.id or 0: p for p in near}
    links = photo_rows.links_to_finds(book)
    sorting = Sorting(book, now, zone, Numbers(book), photos, links, set(fresh), set(arrived))
    groups = grouped(_shot(photo) for photo in photos.values())
    for group in sorted(groups, key=lambda group: group.at_home):
        if any(shot.key in sorting.fresh for shot in group.shots):
            _link_group(sorting, group)
    return sorting.linked


def _shot(photo: Photo) -> Shot:
    at = photo.taken_at or datetime.datetime.min.replace(tzinfo=datetime.UTC)
    lon, lat = (photo.geom.centroid.x, photo.geom.centroid.y) if photo.geom is not None else (None, None)
    return Shot(
        key=photo.id or 0,
        at_s=at.timestamp(),
        name=photo.file_name,
        lon=lon,
        lat=lat,
        tag_number=photo.tag_number,
        at_home=photo.at_home,
    )


def _link_group(sorting: Sorting, group: Group) -> None:
    if group.tag_number is not None:
        find = _find_of_tag(sorting, group, group.tag_number)
        members = [shot.key for shot in group.shots]
    else:
        find = _find_without_tag(sorting, group)
        members = [s.key for s in group.shots if s.key in sorting.fresh and sorting.shows(s.key) is None]
    if find is None or find.id is None:
        return
    for key in members:
        let_show(sorting, key, find)


def _find_of_tag(sorting: Sorting, group: Group, number: int) -> Find | None:
    find = sorting.numbers.find(number)
    if find is not None:
        if find.withdrawn_at is not None:
            sorting.linked.remarks.append(
                f"The tag {number} is that of a find that was withdrawn; its photos wait."
            )
            return None
        filled = fill_find(sorting.book, find, _seen(sorting, group), sorting.linked.remarks)
        return sorting.numbers.note(filled)
    if group.at_home:
        sorting.linked.remarks.append(f"No find has the number {number} yet; photos of its tag wait.")
        return None
    draft = _draft_to_number(sorting, group)
    if draft is None:
        return _make(sorting, group, number)
    history.amend(sorting.book, draft, {"collection_number": number}, batch_id=_batch(sorting, group))
    return sorting.numbers.note(read_again(sorting.book, draft))


def _draft_to_number(sorting: Sorting, group: Group) -> Find | None:
    """Give the draft that all these photos, and no others, show already: it takes the number."""
    shown = {find for shot in group.shots if (find := sorting.shows(shot.key)) is not None}
    if len(shown) != 1:
        return None
    (key,) = shown
    draft = _find(sorting.book, key)
    members = {shot.key for shot in group.shots}
    others = {photo for photo in sorting.links if sorting.shows(photo) == key} - members
    return draft if draft is not None and draft.collection_number is None and not others else None


def _find_without_tag(sorting: Sorting, group: Group) -> Find | None:
    if group.at_home:
        return None
    fresh_s = next(shot.at_s for shot in group.shots if shot.key in sorting.fresh)
    shown = [(abs(s.at_s - fresh_s), s.at_s, find) for s in group.shots if (find := sorting.shows(s.key))]
    if shown:
        return _find(sorting.book, min(shown)[2])
    if group.placed is None:
        return None
    noted = _noted_there(sorting, group, group.placed)
    return noted if noted is not None else _make(sorting, group, None)


def _noted_there(sorting: Sorting, group: Group, placed: Shot) -> Find | None:
    """Give the find that was noted at the time and place of these photos, as by a waypoint."""
    table = rows.table_for(Find)
    pause = datetime.timedelta(seconds=LONGEST_PAUSE_S.value)
    first, last = (sorting.photos[shot.key].taken_at for shot in (group.shots[0], group.shots[-1]))
    if first is None or last is None or placed.lon is None or placed.lat is None:
        return None
    then = (table.c.found_at >= first - pause, table.c.found_at <= last + pause)
    near = []
    for find in rows.records(sorting.book, Find, *then):
        if find.geom is not None:
            at = find.geom.centroid
            near.append((apart_m(placed.lon, placed.lat, at.x, at.y), find.id or 0, find))
    nearest = min(near, default=None)
    return nearest[2] if nearest is not None and nearest[0] <= REACH_M.value else None


def _make(sorting: Sorting, group: Group, number: int | None) -> Find:
    find = make_find(sorting.book, _seen(sorting, group), number, sorting.numbers, sorting.now)
    sorting.linked.finds_made += 1
    return find


def _seen(sorting: Sorting, group: Group) -> NewFind:
    placed = group.placed
    return NewFind(
        first=sorting.photos[group.shots[0].key],
        placed=sorting.photos[placed.key] if placed is not None and not group.at_home else None,
        zone=sorting.zone,
        batch_id=_batch(sorting, group),
    )


def _batch(sorting: Sorting, group: Group) -> int | None:
    """Give the import that the first photo of a group comes in with; None where it was there before."""
    key = group.shots[0].key
    return sorting.photos[key].batch_id if key in sorting.arrived else None


def _find(book: Book, key: int) -> Find | None:
    return next(iter(rows.records(book, Find, rows.table_for(Find).c.id == key)), None)


def let_show(sorting: Sorting, key: int, find: Find) -> None:
    """Let a photo show a find and no other; an unnumbered draft left without photos is withdrawn."""
    if sorting.shows(key) == find.id:
        return
    photo = sorting.photos[key]
    left = {link.find_id for link in sorting.links.get(key, ())}
    arrived = key in sorting.arrived
    batch_id = photo.batch_id if arrived else None
    for link in sorting.links.pop(key, ()):
        history.amend(sorting.book, link, {"withdrawn_at": sorting.now}, batch_id=batch_id)
    sorting.links[key] = [keep_link(sorting.book, photo, find, sorting.now, arrived=arrived)]
    sorting.linked.photos_linked += 1
    for old in left - {find.id}:
        _withdraw_emptied(sorting, old)


def _withdraw_emptied(sorting: Sorting, key: int | None) -> None:
    draft = _find(sorting.book, key or 0)
    emptied = all(sorting.shows(photo) != key for photo in sorting.links)
    made_here = draft is not None and draft.uuid in {draft_uuid(photo) for photo in sorting.photos.values()}
    if draft is not None and emptied and made_here and draft.collection_number is None:
        history.amend(sorting.book, draft, {"withdrawn_at": sorting.now})
        sorting.linked.drafts_left += 1


def draft_uuid(photo: Photo) -> str:
    """Give the UUID of the draft find that begins with a photo."""
    return uuid_of("find", f"photo:{photo.sha256}")


def keep_link(book: Book, photo: Photo, find: Find, now: datetime.datetime, *, arrived: bool) -> PhotoLink:
    """Keep that a photo shows a find; a link that was withdrawn stands again.

    Parameters
    ----------
    book, photo, find, now
        The book, what is joined to what, and when.
    arrived
        Whether the photo comes in by this very act: then the link belongs to its import.
    """
    identity = uuid_of("photo_link", f"{photo.uuid}|find|{find.uuid}")
    there = rows.by_uuid(book, PhotoLink, [identity]).get(identity)
    if there is not None:
        history.amend(book, there, {"withdrawn_at": None})
        return there
    link = PhotoLink(
        uuid=identity,
        created_at=now,
        changed_at=now,
        batch_id=photo.batch_id if arrived else None,
        photo_id=photo.id or 0,
        find_id=find.id,
    )
    rows.insert(book, [link])
    if not arrived:
        history.note_made(book, [link])
    return rows.by_uuid(book, PhotoLink, [identity])[identity]
