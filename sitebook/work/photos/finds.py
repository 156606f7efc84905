"""Makes a draft find of photos, and fills from photos what a find leaves empty."""

from __future__ import annotations

import datetime
import zoneinfo
from dataclasses import dataclass

import shapely

from sitebook.ground.outline import outline_m
from sitebook.ground.projection import LocalMetres
from sitebook.records.find import Find
from sitebook.records.outing import Visit
from sitebook.records.photo import Photo
from sitebook.records.site import Site
from sitebook.store import history, rows
from sitebook.store.book import Book
from sitebook.work.identity_keys import uuid_of
from sitebook.work.photos.numbers import Numbers

_NEAR_DEG = 0.05
"""Sites farther than this are not looked at: no site is kilometres wide."""


@dataclass(frozen=True)
class NewFind:
    """What photos say of the find they show.

    Parameters
    ----------
    first
        The first of them.
    placed
        The first that carries a position; None where none does.
    zone
        IANA zone of her local dates.
    batch_id
        Import the first came with; None where it was in the book before this act.
    """

    first: Photo
    placed: Photo | None
    zone: str
    batch_id: int | None = None

    @property
    def found_on(self) -> datetime.date | None:
        """Give the local date of the first photo."""
        at = self.first.taken_at
        return at.astimezone(zoneinfo.ZoneInfo(self.zone)).date() if at else None

    @property
    def place(self) -> dict[str, object]:
        """Give the columns of a find that say where it was; empty where no photo knows."""
        if self.placed is None or self.placed.geom is None:
            return {}
        return {
            "geom": self.placed.geom,
            "uncertainty_m": self.placed.uncertainty_m,
            "elevation_m": self.placed.elevation_m,
            "position_source": self.placed.position_from or "photo",
        }


def make_find(
    book: Book, seen: NewFind, number: int | None, numbers: Numbers, now: datetime.datetime
) -> Find:
    """Make a draft find of photos, with the number of the tag where they show one.

    It joins the visit of its day whose site it lies in, where there is one.
    """
    of_number = f"{numbers.owner.initials}|{number}"
    identity = f"photo:{seen.first.sha256}" if number is None else of_number
    values = {
        "collection_number": number,
        "collector_id": numbers.owner.id,
        "found_on": seen.found_on,
        "found_at": seen.first.taken_at,
        **seen.place,
    }
    find = Find(
        uuid=uuid_of("find", identity),
        created_at=now,
        changed_at=now,
        batch_id=seen.batch_id,
        visit_id=_visit(book, seen),
        **values,  # type: ignore[arg-type]
    )
    there = rows.by_uuid(book, Find, [find.uuid]).get(find.uuid)
    if there is not None:
        history.amend(book, there, {"withdrawn_at": None, **values})
    else:
        rows.insert(book, [find])
        if seen.batch_id is None:
            history.note_made(book, [find])
    return numbers.note(read_again(book, find))


def read_again(book: Book, find: Find) -> Find:
    """Give a find as it is kept now."""
    return rows.by_uuid(book, Find, [find.uuid])[find.uuid]


def fill_find(book: Book, find: Find, seen: NewFind, remarks: list[str]) -> Find:
    """Give a find the place and hour its photos know where it says none; what it says stays."""
    if find.found_on is not None and seen.found_on is not None:
        last = find.found_on_end or find.found_on
        if not find.found_on <= seen.found_on <= last:
            remarks.append(
                f"Photos of the tag {find.collection_number} were taken on {seen.found_on}, the find says "
                f"{find.found_on}; look which is right."
            )
            return find
    filled = dict(seen.place) if find.geom is None else {}
    if find.found_on is None:
        filled |= {"found_on": seen.found_on}
    if find.found_at is None:
        filled |= {"found_at": seen.first.taken_at} if filled else {}
    if filled:
        history.amend(book, find, filled, batch_id=seen.batch_id)
    return read_again(book, find)


def _visit(book: Book, seen: NewFind) -> int | None:
    """Give the visit of that day whose site the photos were taken in."""
    if seen.placed is None or seen.placed.geom is None or seen.found_on is None:
        return None
    at = seen.placed.geom.centroid
    window = (at.x - _NEAR_DEG, at.y - _NEAR_DEG, at.x + _NEAR_DEG, at.y + _NEAR_DEG)
    sheet = LocalMetres(at.x, at.y)
    sites = [
        site.id
        for site in rows.in_window(book, Site, window)
        if shapely.distance(outline_m(site, sheet), shapely.Point(0.0, 0.0)) == 0.0
    ]
    table = rows.table_for(Visit)
    same_day = (table.c.local_date == seen.found_on, table.c.local_date_end.is_(None))
    visits = rows.records(book, Visit, table.c.site_id.in_(sites), *same_day)

    def away_s(visit: Visit) -> tuple[float, int]:
        if visit.started_at is None or seen.first.taken_at is None:
            return 0.0, visit.id or 0
        return abs((visit.started_at - seen.first.taken_at).total_seconds()), visit.id or 0

    nearest = min(visits, key=away_s, default=None)
    return nearest.id if nearest else None
