"""Makes the demo: the invented island's files, a book of them, and its pages."""

from __future__ import annotations

import datetime
import shutil
from dataclasses import dataclass
from pathlib import Path

from sitebook import errors
from sitebook.store.book import Book
from sitebook.work import map as work_map
from sitebook.work import outlook, plan, revisit, season, upkeep, weather_page
from sitebook.work.answer import Answer, Progress, silent
from sitebook.work.beginning import new_book
from sitebook.work.bring_in import bring_in
from sitebook.work.day_wishes import day_asked
from sitebook.work.keep_file import keep_file
from sitebook.work.opening import opened
from sitebook.work.seasons import Seasons, seasons_of
from sitebook.work.surface import surface_of

TITLE = "Vennaray"
OWNER, INITIALS = "Ane Corvell", "AC"
ZONE = "Etc/GMT+1"
BOOK_NAME = "sitebook.gpkg"
MAP_NAME = "map-private.html"
SATURDAY = datetime.date(2025, 10, 4)
"""Day of the demo's autumn that its pages of the coming days are drawn for; what came later is left out."""

STATION = (-19.3965, 48.6)
"""Where that day begins and ends, WGS 84 [deg]."""

_PACKAGED = Path(__file__).parent / "_demo_data" / "files"
_REPOSITORY = Path(__file__).parents[2] / "demo_data" / "files"


@dataclass(frozen=True)
class Demo:
    """What the demo made.

    Parameters
    ----------
    book
        The book.
    pages
        Its pages.
    counts
        Rows of each table.
    """

    book: Path
    pages: tuple[Path, ...]
    counts: dict[str, int]


def demo_files() -> tuple[Path, ...]:
    """Give the demo's files: beside this file in a wheel, else in the repository."""
    folder = _PACKAGED if _PACKAGED.is_dir() else _REPOSITORY
    return tuple(sorted(path for path in folder.iterdir() if path.is_file()))


def make_demo(to: Path, *, now: datetime.datetime, progress: Progress = silent) -> Answer[Demo]:
    """Make the demo in a folder that is empty or not there yet.

    Raises
    ------
    BookExists
        When something lies in the folder.
    FileNotWritable
        When the folder cannot be made.
    """
    files = _lay_out(to)
    path = to / BOOK_NAME
    new_book(path, title=TITLE, owner=OWNER, initials=INITIALS, zone=ZONE, now=now)
    with opened(path) as book:
        bring_in(book, files, now=now, progress=progress)
        today = now.date()
        surface_of(book, today=today, now=now, progress=progress)
        beside = to / work_map.review_page_name(MAP_NAME)
        fitted = seasons_of(book, now=now, progress=progress)
        before = seasons_of(book, day=SATURDAY, progress=progress)
        drawn = work_map.draw(
            book, today=today, now=now, review_page=beside.name, seasons=fitted, progress=progress
        )
        drawings = {
            MAP_NAME: drawn.page,
            beside.name: work_map.draw_reviews(book, drawn.result),
            "calendar-private.html": season.calendar(book, today=today, seasons=fitted).page,
            "outlook-private.html": outlook.outlook(book, on=SATURDAY, seasons=before).page,
            "revisit-private.html": revisit.revisit(book, on=SATURDAY, seasons=before).page,
            "weather-private.html": weather_page.weather(book, on=SATURDAY, seasons=before).page,
            f"plan-{SATURDAY.isoformat()}-private.html": _planned_page(book, before, now),
        }
        pages = tuple(keep_file(to / name, page or "") for name, page in drawings.items())
        return Answer(Demo(path, pages, upkeep.counts(book)))


def _planned_page(book: Book, seasons: Seasons, now: datetime.datetime) -> str:
    """Plan the demo's Saturday from the station and back, and give its page; the plan is not kept."""
    asked = day_asked(
        book,
        on=SATURDAY,
        start=STATION,
        end=None,
        starts_min=9 * 60.0,
        ends_min=16 * 60.0,
        mode="foot",
        car_at=None,
        searchers=1,
        stay_min=None,
        scouting_share=None,
        sites={},
        pins=(),
        found=(),
        seed=1,
    )
    day = plan.plan(book, asked, now=now, keep=False, seasons=seasons).result
    return plan.files_of(book, day, now=now).page


def _lay_out(to: Path) -> list[Path]:
    try:
        if to.exists() and (not to.is_dir() or any(to.iterdir())):
            raise errors.BookExists(
                "something lies here already",
                where=str(to),
                remedy="Name an empty or a new folder with --to.",
            )
        files = to / "files"
        files.mkdir(parents=True, exist_ok=True)
        return [Path(shutil.copyfile(path, files / path.name)) for path in demo_files()]
    except OSError as error:
        raise errors.FileNotWritable(
            f"the folder cannot be written ({error.strerror})",
            where=str(to),
            remedy="Name another with --to.",
        ) from error
