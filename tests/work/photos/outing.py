"""Makes photos, tracks and books of one outing for the tests of photos."""

from __future__ import annotations

import datetime
from pathlib import Path

from sitebook.records.find import Find
from sitebook.records.photo import Photo
from sitebook.records.results.bring_in import BringInReport
from sitebook.store import photo_rows, rows
from sitebook.work.bring_in import Wish, bring_in
from sitebook.work.home_area import set_home_area
from sitebook.work.opening import opened
from tests.pictures import exif, picture
from tests.work.books import LATER

LON, LAT = -19.4, 48.6
A_METRE_DEG = 1 / 111_195
DAY = datetime.date(2025, 10, 4)
AN_HOUR = datetime.timedelta(hours=1)
"""Her local time is one hour behind UTC."""


def clock(minute: float) -> datetime.datetime:
    """Give the camera's clock so many minutes after noon, her local time."""
    noon = datetime.datetime(2025, 10, 4, 12)  # noqa: DTZ001 - a clock as cameras keep it
    return noon + datetime.timedelta(minutes=minute)


def instant(minute: float) -> datetime.datetime:
    """Give the instant so many minutes after noon, her local time."""
    return (clock(minute) + AN_HOUR).replace(tzinfo=datetime.UTC)


def north(metres: float) -> tuple[float, float]:
    """Give the place so many metres north of the first."""
    return LON, LAT + metres * A_METRE_DEG


def photo(
    folder: Path, name: str, minute: float | None, metres: float | None = 0.0, *, camera: str = "Box 2"
) -> Path:
    """Write a photo so many minutes after noon and metres north; None: not written."""
    at = clock(minute) if minute is not None else None
    place = north(metres) if metres is not None else None
    return picture(folder / name, exif(at, place, camera=("Vennar", camera), error_m=6))


def walk(folder: Path, *, minutes: int = 30, metres_a_minute: float = 20.0) -> Path:
    """Write a track that runs north from noon on, one point a minute."""
    points = "".join(
        f'<trkpt lat="{north(metres_a_minute * m)[1]:.7f}" lon="{LON}">'
        f"<time>{instant(m):%Y-%m-%dT%H:%M:%SZ}</time></trkpt>"
        for m in range(minutes + 1)
    )
    path = folder / "walk.gpx"
    space = "http://www.topografix.com/GPX/1/1"
    path.write_text(f'<gpx version="1.1" xmlns="{space}"><trk><trkseg>{points}</trkseg></trk></gpx>')
    return path


def brought(
    book: Path, *files: Path, now: datetime.datetime = LATER, dry_run: bool = False, far: bool = False
) -> BringInReport:
    """Bring files into a book."""
    with opened(book) as open_book:
        return bring_in(open_book, files, now=now, wish=Wish(dry_run=dry_run, far=far)).result


def at_home(book: Path, metres: float, radius_m: float = 50.0) -> None:
    """Draw the home area round a place so many metres north."""
    lon, lat = north(metres)
    with opened(book) as open_book:
        set_home_area(open_book, f"{lon},{lat},{radius_m}", now=LATER)


def photos(book: Path) -> dict[str, Photo]:
    """Give the photos of a book by file name."""
    with opened(book) as open_book:
        return {photo.file_name: photo for photo in rows.records(open_book, Photo)}


def finds(book: Path) -> list[Find]:
    """Give the standing finds, oldest first."""
    with opened(book) as open_book:
        return sorted(rows.records(open_book, Find), key=lambda find: (str(find.found_at), find.id))


def shown(book: Path) -> dict[str, list[int | None]]:
    """Give the finds each photo shows, by file name; photos that show none are left away."""
    with opened(book) as open_book:
        named = {photo.id or 0: photo.file_name for photo in rows.records(open_book, Photo)}
        links = photo_rows.links_to_finds(open_book)
        return {named[key]: [link.find_id for link in found] for key, found in links.items() if key in named}


def together(book: Path) -> list[list[str]]:
    """Give the photos by the find they show, sorted."""
    by_find: dict[int | None, list[str]] = {}
    for name, ids in shown(book).items():
        (find_id,) = ids
        by_find.setdefault(find_id, []).append(name)
    return sorted(sorted(names) for names in by_find.values())
