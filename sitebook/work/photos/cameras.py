"""Lists her cameras, and sets the clock of one right, now and for all photos to come."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass

from sitebook import errors
from sitebook.records.book import Setting
from sitebook.records.find import Find
from sitebook.records.history import Change
from sitebook.records.photo import Photo
from sitebook.store import history, photo_rows, rows
from sitebook.store.book import Book
from sitebook.store.history import Act, acting
from sitebook.work.answer import Answer
from sitebook.work.opening import book_row
from sitebook.work.photos.finds import NewFind
from sitebook.work.photos.linking import draft_uuid, link_photos
from sitebook.work.photos.placing import (
    MOST_OFFSET_S,
    OFFSET_KEY,
    Known,
    folded,
    known_in,
    offsets_in,
    placed,
)

COMMAND = "camera"


@dataclass(frozen=True)
class CameraLine:
    """One camera.

    Parameters
    ----------
    camera
        Maker and model as it writes them.
    photos
        How many photos of it stand in the book.
    offset_s
        Seconds added to its clock [s].
    set_by_her
        Whether she set the offset.
    """

    camera: str
    photos: int
    offset_s: float
    set_by_her: bool


@dataclass(frozen=True)
class ClockSet:
    """What became of the photos of a camera whose clock was set right.

    Parameters
    ----------
    line
        The camera.
    set_anew
        Photos that were given another instant.
    left_alone
        Photos that stay because she set their time or their offset herself.
    finds_moved
        Draft finds made of these photos that took the new hour, day or place along.
    finds_made
        Draft finds made of photos that found their place only now.
    remarks
        What she should know, in words.
    """

    line: CameraLine
    set_anew: int
    left_alone: int
    finds_moved: int
    finds_made: int
    remarks: tuple[str, ...] = ()


def list_cameras(book: Book) -> Answer[tuple[CameraLine, ...]]:
    """Answer every camera that took a photo of the book, or that she set an offset for."""
    names: dict[str, str] = {}
    counts: dict[str, int] = {}
    for photo in rows.records(book, Photo):
        if photo.camera is not None:
            names.setdefault(folded(photo.camera), photo.camera)
            counts[folded(photo.camera)] = counts.get(folded(photo.camera), 0) + 1
    offsets = offsets_in(book)
    lines = (
        CameraLine(names.get(key, key), counts.get(key, 0), offsets.get(key, 0.0), key in offsets)
        for key in sorted({*names, *offsets})
    )
    return Answer(tuple(lines))


def set_clock(book: Book, camera: str, offset_s: float, *, now: datetime.datetime) -> Answer[ClockSet]:
    """Set the seconds to add to a camera's clock, and give its photos their instants anew.

    A photo stays as it is where she changed its time or offset herself. Photos that carry no position
    are matched with the tracks again; a draft find that nobody changed takes hour, day and place of the
    photo it was made of along; photos that waited and have a place now are joined to finds.

    Parameters
    ----------
    book, now
        The book, and the instant of the act.
    camera
        Maker and model as the camera writes them, in any case.
    offset_s
        Seconds to add [s]: negative where the clock is fast.

    Raises
    ------
    RecordMissing
        When no photo of the book was taken with it.
    ValueImpossible
        When the offset is no number, or more than a year.
    """
    if not abs(offset_s) <= MOST_OFFSET_S.value:
        raise errors.ValueImpossible(
            f"an offset of {offset_s:g} s cannot be", remedy="Give seconds, at most those of 400 days."
        )
    photos = _photos_of(book, camera)
    with acting(book, Act(COMMAND, now)):
        before_s = offsets_in(book).get(folded(camera), 0.0)
        _keep_setting(book, photos[0].camera or camera, offset_s)
        touched = _said_by_her(book)
        mine = [p for p in photos if p.clock_offset_s == before_s and p.uuid not in touched]
        known = known_in(book)
        changed = [p for p in mine if _set_anew(book, known, p, offset_s)]
        moved = sum(_move_draft(book, photo) for photo in _again(book, changed))
        waiting = {p.id or 0 for p in changed} - photo_rows.shown_by(book)
        linked = link_photos(book, waiting, zone=book_row(book).zone, now=now)
    line = next(
        line
        for line in list_cameras(book).result
        if folded(line.camera) == folded(photos[0].camera or camera)
    )
    alone = len(photos) - len(mine)
    return Answer(ClockSet(line, len(changed), alone, moved, linked.finds_made, tuple(linked.remarks)))


def _photos_of(book: Book, camera: str) -> list[Photo]:
    photos = [p for p in rows.records(book, Photo) if p.camera and folded(p.camera) == folded(camera)]
    if not photos:
        known = ", ".join(line.camera for line in list_cameras(book).result) or "none yet"
        raise errors.RecordMissing(
            f"no photo of the book was taken with a camera called '{camera}'",
            remedy=f"Cameras are: {known}.",
        )
    return photos


def _keep_setting(book: Book, camera: str, offset_s: float) -> None:
    there = [
        s
        for s in rows.records(book, Setting)
        if s.setting_key.startswith(OFFSET_KEY)
        and folded(s.setting_key.removeprefix(OFFSET_KEY)) == folded(camera)
        and s.person_id is None
    ]
    if there and there[0].id is not None:
        rows.update(book, Setting, there[0].id, {"value_text": f"{offset_s:g}"})
    else:
        key = f"{OFFSET_KEY}{camera}"
        rows.insert(book, [Setting(setting_key=key, value_text=f"{offset_s:g}", unit="s")])


def _said_by_her(book: Book) -> set[str]:
    """Give the UUIDs of photos whose time or offset was set by another command than this one."""
    table = rows.table_for(Change)
    changes = rows.records(
        book,
        Change,
        table.c.table_name == "photo",
        table.c.column_name.in_(("taken_at", "clock_offset_s")),
        table.c.command_name != COMMAND,
    )
    return {change.row_uuid for change in changes if change.undoes is None}


def _set_anew(book: Book, known: Known, photo: Photo, offset_s: float) -> bool:
    values: dict[str, object] = {"clock_offset_s": offset_s}
    if photo.taken_at is not None:
        step = datetime.timedelta(seconds=offset_s - photo.clock_offset_s)
        values["taken_at"] = photo.taken_at + step
        values |= placed(known, {**rows.values_of(photo), **values})
    return history.amend(book, photo, values)


def _again(book: Book, photos: Sequence[Photo]) -> list[Photo]:
    return list(rows.by_uuid(book, Photo, (photo.uuid for photo in photos)).values())


def _move_draft(book: Book, photo: Photo) -> bool:
    """Let the draft find that was made of a photo follow it, unless somebody changed the find."""
    draft = rows.by_uuid(book, Find, [draft_uuid(photo)]).get(draft_uuid(photo))
    if draft is None or draft.withdrawn_at is not None or _changed_by_hand(book, draft):
        return False
    placed_by = photo if photo.geom is not None and not photo.at_home else None
    seen = NewFind(photo, placed_by, book_row(book).zone)
    place = seen.place if draft.position_source in ("track", "not known") else {}
    values = {"found_on": seen.found_on, "found_at": photo.taken_at, **place}
    return history.amend(book, draft, values)


def _changed_by_hand(book: Book, draft: Find) -> bool:
    changes = history.of_row(book, "find", draft.uuid)
    mine = ("found_on", "found_at", "geom")
    return any(c.column_name in mine and c.command_name != COMMAND and c.undoes is None for c in changes)
