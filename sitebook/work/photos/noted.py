"""Joins photos to the finds that name their numbers, or that were noted when they were taken."""

from __future__ import annotations

import datetime
import re
import zoneinfo
from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass

import shapely

from sitebook.analysis.outing.shots import LONGEST_PAUSE_S, REACH_M
from sitebook.ground.apart import apart_m
from sitebook.ground.outline import outline_m
from sitebook.ground.projection import LocalMetres
from sitebook.records.find import Find
from sitebook.records.outing import Visit
from sitebook.records.photo import Photo, PhotoLink
from sitebook.records.site import Site
from sitebook.store import acts, history, photo_rows, rows
from sitebook.store.book import Book
from sitebook.store.names import standing_determinations
from sitebook.work.photos.finds import NewFind, fill_find
from sitebook.work.photos.linking import Linked, Sorting, draft_uuid, let_show
from sitebook.work.photos.numbers import Numbers

PHOTOS_NOTED = re.compile(r"(?:^|; )photos: ([^;]*)")
"""How a returned sheet writes the numbers of photos into a find's note."""

Gone = tuple[frozenset[str], frozenset[int]]
_Number = tuple[datetime.date | None, int | None]


def numbers_noted(find: Find) -> frozenset[int]:
    """Give the numbers of photos that a find's note names."""
    said = " ".join(PHOTOS_NOTED.findall(find.note or ""))
    return frozenset(int(number) for number in re.findall(r"[0-9]+", said))


def number_of(file_name: str) -> int | None:
    """Give the last number in a file name, by which a camera counts; None where it has none."""
    numbers = re.findall(r"[0-9]+", file_name.rsplit(".", maxsplit=1)[0])
    return int(numbers[-1]) if numbers else None


def join_noted(
    book: Book, *, zone: str, now: datetime.datetime, arrived: Collection[int] = (), gone: Gone
) -> Linked:
    """Join photos that wait, or show a draft made of them alone, to the finds that were noted.

    The find whose note names the photo's number on that day comes first; else the only find noted within
    three minutes of it, at the same place where both are known. Photos of one spot and time go together. A
    number that two photos or two finds share on one day decides nothing. A find without a place takes that
    of its photos.

    Parameters
    ----------
    book
        The book, held by an act.
    zone
        IANA zone of her local dates.
    now
        Instant of the act.
    arrived
        Ids of the photos that come in by this very act.
    gone
        Acts and imports that were taken back; a photo she took off a find herself stays off it.
    """
    links = photo_rows.links_to_finds(book)
    known = _known(book, links, zone)
    if not known.units or not known.finds:
        return Linked()
    sorting = Sorting(book, now, zone, Numbers(book), known.photos, links, (), arrived)
    for unit in known.units:
        for key, find in _targets(known, unit).items():
            if sorting.shows(key) != find.id and not _taken_off(book, known.photos[key], find, gone):
                _join(sorting, key, find)
    return sorting.linked


@dataclass(frozen=True)
class _Known:
    """Photos that may move, in units of one spot and time, and the finds they may move to."""

    book: Book
    zone: zoneinfo.ZoneInfo
    photos: dict[int, Photo]
    units: list[list[Photo]]
    finds: list[Find]
    by_number: Mapping[_Number, Find]
    numbers: Mapping[_Number, int]

    def day_of(self, photo: Photo) -> datetime.date | None:
        """Give the local date of a photo."""
        return photo.taken_at.astimezone(self.zone).date() if photo.taken_at else None


def _known(book: Book, links: Mapping[int, Sequence[PhotoLink]], zone: str) -> _Known:
    photos = {photo.id or 0: photo for photo in rows.records(book, Photo)}
    drafts = {draft_uuid(photo) for photo in photos.values()}
    finds = [find for find in rows.records(book, Find) if find.found_on is not None]
    named = {d.find_id for d in standing_determinations(book)}
    movable = {f.id for f in finds if f.uuid in drafts and f.collection_number is None and f.id not in named}
    shown = photo_rows.shown_by(book)
    units: dict[int, list[Photo]] = defaultdict(list)
    for key, photo in photos.items():
        at = next((link.find_id for link in links.get(key, ())), None)
        if photo.tag_number is None and photo.taken_at and (at in movable or key not in shown):
            units[at or -key].append(photo)
    known = _Known(book, zoneinfo.ZoneInfo(zone), photos, list(units.values()), [], {}, defaultdict(int))
    days = {known.day_of(photo) for unit in known.units for photo in unit}
    known.finds.extend(find for find in finds if find.found_on in days and find.id not in movable)
    return _with_numbers(known)


def _with_numbers(known: _Known) -> _Known:
    """Note which numbers the finds name, those of two finds left away, and how many photos bear each."""
    naming: dict[_Number, list[Find]] = defaultdict(list)
    for find in known.finds:
        for number in numbers_noted(find):
            naming[find.found_on, number].append(find)
    bearing: dict[_Number, int] = defaultdict(int)
    for photo in known.photos.values():
        bearing[known.day_of(photo), number_of(photo.file_name)] += 1
    once = {number: finds[0] for number, finds in naming.items() if len(finds) == 1}
    return _Known(known.book, known.zone, known.photos, known.units, known.finds, once, bearing)


def _targets(known: _Known, unit: Sequence[Photo]) -> dict[int, Find]:
    """Give the find of each photo of a unit; empty where nothing tells."""
    told: dict[int, Find] = {}
    for photo in unit:
        number = (known.day_of(photo), number_of(photo.file_name))
        if number in known.by_number and known.numbers[number] == 1:
            told[photo.id or 0] = known.by_number[number]
    if len({find.id for find in told.values()}) > 1:
        return told
    find = next(iter(told.values()), None) or _noted_then(known, unit)
    return {photo.id or 0: find for photo in unit} if find else {}


def _noted_then(known: _Known, unit: Sequence[Photo]) -> Find | None:
    """Give the only find noted while these photos were taken; None where there is none, or several."""
    instants = [photo.taken_at for photo in unit if photo.taken_at]
    pause = datetime.timedelta(seconds=LONGEST_PAUSE_S.value)
    if any(photo.at_home for photo in unit):
        return None
    then = [
        f for f in known.finds if f.found_at and min(instants) - pause <= f.found_at <= max(instants) + pause
    ]
    near = [find for find in then if _may_be_there(known.book, find, unit)]
    return near[0] if len(near) == 1 else None


def _may_be_there(book: Book, find: Find, unit: Iterable[Photo]) -> bool:
    """Whether photos lie where a find does, by its own place or else its site; what is not known may be."""
    placed = next((photo.geom.centroid for photo in unit if photo.geom is not None), None)
    if placed is None:
        return True
    if find.geom is not None:
        at = find.geom.centroid
        return apart_m(placed.x, placed.y, at.x, at.y) <= REACH_M.value + (find.uncertainty_m or 0.0)
    visit = next(iter(rows.records(book, Visit, rows.table_for(Visit).c.id == find.visit_id)), None)
    if visit is None or visit.site_id is None:
        return True
    (site,) = rows.records(book, Site, rows.table_for(Site).c.id == visit.site_id, withdrawn=True)
    outline = outline_m(site, LocalMetres(placed.x, placed.y))
    return bool(shapely.distance(outline, shapely.Point(0.0, 0.0)) <= REACH_M.value)


def _taken_off(book: Book, photo: Photo, find: Find, gone: Gone) -> bool:
    """Whether she took this photo off this find herself."""
    table = rows.table_for(PhotoLink)
    same = (table.c.photo_id == photo.id, table.c.find_id == find.id, table.c.withdrawn_at.is_not(None))
    for link in rows.records(book, PhotoLink, *same, withdrawn=True):
        changes = acts.only_standing(history.of_row(book, "photo_link", link.uuid), *gone)
        ends = [change.new_value for change in changes if change.column_name == "withdrawn_at"]
        if ends and ends[-1] is not None:
            return True
    return False


def _join(sorting: Sorting, key: int, find: Find) -> None:
    photo = sorting.photos[key]
    let_show(sorting, key, find)
    if find.geom is None and photo.geom is not None and not photo.at_home:
        (standing,) = rows.records(sorting.book, Find, rows.table_for(Find).c.id == find.id)
        batch_id = photo.batch_id if key in sorting.arrived else None
        seen = NewFind(photo, photo, sorting.zone, batch_id)
        fill_find(sorting.book, standing, seen, sorting.linked.remarks)
