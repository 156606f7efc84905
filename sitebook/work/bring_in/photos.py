"""Keeps the photos of one command: each in its place, with its original, and joined to the find it shows."""

from __future__ import annotations

import dataclasses
import datetime
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field

from sitebook.records.incoming import Draft
from sitebook.records.photo import Photo, PhotoThumbnail
from sitebook.store import history, photo_rows, rows
from sitebook.work.bring_in.keeping import Keeping, keep_kind
from sitebook.work.photos.linking import Linked, link_photos
from sitebook.work.photos.noted import join_noted
from sitebook.work.photos.originals import Originals
from sitebook.work.photos.placing import known_in, on_arrival, placed
from sitebook.work.photos.tags import apply_tags
from sitebook.work.photos.waiting import why_waiting

_CLOCK_AHEAD = datetime.timedelta(days=1)
"""A photo taken later than this from now has a clock that was not set."""

SAYS_FINDS = ("find", "entry_line")
"""Kinds of draft after which photos that wait may have a find."""

PHOTO, THUMBNAIL = "photo", "photo_thumbnail"


@dataclass
class PhotosKept:
    """What the photos of one command gave.

    Parameters
    ----------
    arrived
        Ids of the photos that are new.
    counts
        Rows made beside those read, by table.
    remarks
        What she should know, in words.
    """

    arrived: list[int] = field(default_factory=list)
    counts: dict[str, int] = field(default_factory=dict)
    remarks: list[str] = field(default_factory=list)


def keep_photos(keeping: Keeping) -> list[int]:
    """Keep the photos that are new, their clocks set right and their places looked for on the tracks.

    The tracks and the numbered finds of the same command stand already. Gives the ids of those that are new
    or come back.
    """
    arrivals = list(keeping.gathered.arrivals.get(PHOTO, ()))
    small = {a.draft.identity: a.draft for a in keeping.gathered.arrivals.pop(THUMBNAIL, ())}
    if not arrivals:
        return []
    there = rows.by_uuid(keeping.book, Photo, (arrival.uuid for arrival in arrivals))
    known = known_in(keeping.book)
    for arrival in arrivals:
        photo, read = there.get(arrival.uuid), arrival.draft.values
        values = {c: getattr(photo, c) for c in read} if photo else on_arrival(known, read)
        keeping.gathered.replace(arrival, dataclasses.replace(arrival.draft, values=values))
    arrived = keep_kind(keeping, PHOTO)
    _keep_small(keeping, arrived, small)
    away = [photo.uuid for photo in there.values() if photo.withdrawn_at is not None]
    back = (p for p in rows.by_uuid(keeping.book, Photo, away).values() if p.withdrawn_at is None)
    return [*arrived, *(photo.id for photo in back if photo.id is not None)]


def _keep_small(keeping: Keeping, arrived: list[int], small: Mapping[str, Draft]) -> None:
    """Keep the small pictures of new photos; they can be made again, so no history is written of them."""
    table = rows.table_for(Photo)
    new = rows.records(keeping.book, Photo, table.c.id >= min(arrived, default=0)) if arrived else []
    drafts = [(photo.id or 0, small[photo.sha256].values) for photo in new if photo.sha256 in small]
    made = [PhotoThumbnail(photo_id=key, **values) for key, values in drafts]  # type: ignore[arg-type]
    rows.insert(keeping.book, made)


def settle_photos(keeping: Keeping, arrived: list[int], zone: str) -> PhotosKept:
    """Give photos their numbers, places and finds: those of this command, and those that waited for it."""
    kept = PhotosKept(arrived)
    if any(keeping.gathered.arrivals.get(kind) for kind in (PHOTO, "photo_tag", "track")):
        _sort(keeping, kept, zone)
    elif any(draft.kind in SAYS_FINDS for file in keeping.gathered.files for draft in file.reading.drafts):
        _add(kept, join_noted(keeping.book, zone=zone, now=keeping.now, gone=keeping.gone))
    return kept


def _add(kept: PhotosKept, *linked: Linked) -> None:
    made = {
        "find": max(sum(one.finds_made - one.drafts_left for one in linked), 0),
        "photo_link": sum(one.photos_linked for one in linked),
    }
    kept.counts = {kind: count for kind, count in made.items() if count}
    kept.remarks += [remark for one in linked for remark in one.remarks]


def _sort(keeping: Keeping, kept: PhotosKept, zone: str) -> None:
    book, arrived = keeping.book, kept.arrived
    tags = apply_tags(book, arrived)
    shown = photo_rows.shown_by(book)
    waiting = [photo for photo in rows.records(book, Photo) if photo.id not in shown]
    placed_now = _place_waiting(keeping, [photo for photo in waiting if photo.id not in arrived])
    named = {arrival.uuid for arrival in keeping.gathered.arrivals.get(PHOTO, ())}
    fresh = {p.id for p in waiting if p.uuid in named} | placed_now | tags.photo_ids
    aside = keeping.gathered.set_aside
    ready = {p.id or 0 for p in rows.records(book, Photo) if p.id in fresh and p.uuid not in aside}
    linked = link_photos(book, ready, zone=zone, now=keeping.now, arrived=arrived)
    noted = join_noted(book, zone=zone, now=keeping.now, arrived=arrived, gone=keeping.gone)
    kept.remarks += tags.remarks
    _add(kept, linked, noted)
    kept.remarks += _tell(keeping, fresh, kept.counts.get("find", 0))


def _place_waiting(keeping: Keeping, waiting: list[Photo]) -> set[int | None]:
    """Look for the places of photos that came before their track."""
    if not waiting or not keeping.gathered.arrivals.get("track"):
        return set()
    known = known_in(keeping.book)
    found = set()
    for photo in waiting:
        if photo.geom is None and (values := placed(known, rows.values_of(photo)))["geom"] is not None:
            history.amend(keeping.book, photo, values, batch_id=_batch_of_tracks(keeping))
            found.add(photo.id)
    return found


def _batch_of_tracks(keeping: Keeping) -> int | None:
    first = keeping.gathered.arrivals["track"][0]
    return keeping.batch_ids.get(first.file_index)


def _tell(keeping: Keeping, fresh: set[int | None], finds_made: int) -> list[str]:
    if not fresh:
        return []
    remarks = []
    if finds_made:
        remarks.append(f"{finds_made} draft find{'s were' if finds_made > 1 else ' was'} made of photos.")
    shown = photo_rows.shown_by(keeping.book)
    photos = [photo for photo in rows.records(keeping.book, Photo) if photo.id in fresh]
    ahead = [p for p in photos if p.taken_at is not None and p.taken_at > keeping.now + _CLOCK_AHEAD]
    if ahead:
        remarks.append(
            f"The clock of {len(ahead)} photo{'s was' if len(ahead) > 1 else ' was'} ahead of today, as "
            f"{ahead[0].file_name}: set it right with `sitebook camera`."
        )
    left = [photo for photo in photos if photo.id not in shown]
    why = Counter(_why(keeping, photo) for photo in left)
    if left:
        reasons = ", ".join(f"{count}: {reason}" for reason, count in sorted(why.items()))
        remarks.append(f"{len(left)} photo{'s wait' if len(left) > 1 else ' waits'} for a find ({reasons}).")
    return remarks


def _why(keeping: Keeping, photo: Photo) -> str:
    return (
        "far from everything in the book" if photo.uuid in keeping.gathered.set_aside else why_waiting(photo)
    )


def keep_originals(keeping: Keeping, originals: Originals) -> None:
    """Copy the originals beside the book, as the last thing before the photos are kept."""
    lie_at = {sha256: path for file in keeping.gathered.files for sha256, path in file.originals.items()}
    for arrival in keeping.gathered.arrivals.get(PHOTO, ()):
        path = lie_at.get(arrival.draft.identity)
        if path is not None:
            originals.keep(path, arrival.draft.identity, str(arrival.draft.values["media_type"]))
