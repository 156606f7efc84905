"""Makes what is carried along on a planned day: the page for the phone, tags to cut, leaves to write on."""

from __future__ import annotations

import datetime
import zoneinfo
from collections.abc import Sequence
from pathlib import Path

from sitebook import errors
from sitebook.pages.pack import draw_pack
from sitebook.pages.pack_map import sheet_of as map_sheet_of
from sitebook.pages.pack_paper import draw_paper
from sitebook.pages.pack_tags import draw_tags
from sitebook.records.entry_line import EntryLine
from sitebook.records.find import Find
from sitebook.records.history import NumberBlock
from sitebook.records.person import Person
from sitebook.records.results.day_plan import DayPlan
from sitebook.records.results.pack import FieldPack
from sitebook.records.site import Site
from sitebook.store import rows
from sitebook.store.book import Book
from sitebook.store.history import Act, acting
from sitebook.work import entry_sheet
from sitebook.work.answer import Answer, Progress, silent
from sitebook.work.day_ground import ground_in
from sitebook.work.forays_named import named_foray
from sitebook.work.keep_file import keep_file, require_own
from sitebook.work.opening import book_row
from sitebook.work.pack_changes import changes_of
from sitebook.work.plan import planned
from sitebook.work.seasons import Seasons

NUMBERS = 20
"""Collection numbers set aside unless another count is asked for."""

PRIVATE = "-private"


def pack(
    book: Book,
    foray: str | None,
    to: Path,
    *,
    now: datetime.datetime,
    numbers: int | None = None,
    collector: str | None = None,
    new_numbers: bool = False,
    seasons: Seasons | None = None,
    progress: Progress = silent,
) -> Answer[FieldPack]:
    """Write the pack of a foray and reserve its numbers; none of it is kept where a part cannot be.

    A pack made once more for the same day keeps the numbers of the one before, so that tags printed
    already stay right, unless finds with them came home or other numbers are asked for.

    Parameters
    ----------
    foray
        Its UUID, how that begins, or its date; None for the latest.
    to
        Where the page goes; tags and leaves go beside it.
    numbers
        How many collection numbers; None for those of the day's earlier pack, else 20.
    collector
        Whose numbers; None for the owner's.
    new_numbers
        Whether another block is reserved in any case, as for a second phone.
    seasons
        What was loaded and fitted already; None to do it here.
    progress
        Hears how far it is.

    Raises
    ------
    NothingToShow
        When no foray is kept, or none of its stops can be gone to any more.
    RecordMissing, NameAmbiguous
        When no foray or person, or several, are called so.
    BadArgument
        When so many numbers cannot be reserved.
    BookExists, FileExists
        When a book lies at one of the places, or something that is no page of sitebook.
    FileNotWritable
        When a file cannot be written.
    """
    if numbers is not None:
        entry_sheet.require_possible(numbers)
    tags, paper = beside(to)
    require_own("page", to, tags, paper)
    kept_day = named_foray(book, foray)
    plan = planned(book, kept_day, now=now, seasons=seasons, progress=progress)
    changed = changes_of(book, kept_day, plan)
    if not plan.plan.route.stops:
        raise errors.NothingToShow(
            " ".join((f"no stop of the day {plan.on.isoformat()} is left.", *changed)).rstrip("."),
            where=str(book.path),
            remedy="Plan the day anew: `sitebook plan`.",
        )
    with acting(book, Act("pack", now)):
        person = entry_sheet.collector_named(book, collector)
        kept = None if new_numbers else _earlier(book, person, plan.on, numbers)
        wanted = NUMBERS if numbers is None else numbers
        block = kept or entry_sheet.set_aside(
            book, person, wanted, reserved_for=reserved_for(plan.on), now=now
        )
        made_on = block.created_at.astimezone(zoneinfo.ZoneInfo(book_row(book).zone)).date()
        sheet = entry_sheet.sheet_of(book, _sites(book, plan), person, block, made_on)
        ground = ground_in(book, map_sheet_of(plan).windows)
        page = draw_pack(plan, sheet, ground=ground, changed=changed)
        keep_file(paper, draw_paper(plan, sheet, changed=changed))
        if sheet.numbers:
            keep_file(tags, draw_tags(sheet, on=plan.on))
        keep_file(to, page)
    size = len(page.encode("utf-8"))
    printed = tags if sheet.numbers else None
    made = FieldPack(to, printed, paper, plan, sheet, kept is not None, size, changed)
    return Answer(made, page)


def reserved_for(on: datetime.date) -> str:
    """Say what the numbers of a day's pack are set aside for."""
    return f"pack for {on.isoformat()}"


def beside(page: Path) -> tuple[Path, Path]:
    """Name the tags and the leaves after the page they lie beside."""
    stem = page.stem.removesuffix(PRIVATE)
    return page.with_name(f"{stem}-tags.html"), page.with_name(f"{stem}-paper{PRIVATE}.html")


def _earlier(book: Book, person: Person, on: datetime.date, numbers: int | None) -> NumberBlock | None:
    """Give the newest block of the day of which nothing came home; None where there is none that fits."""
    table = rows.table_for(NumberBlock)
    blocks = rows.records(
        book,
        NumberBlock,
        table.c.collector_id == person.id,
        table.c.reserved_for == reserved_for(on),
    )
    fitting = [b for b in blocks if numbers is None or b.last_number - b.first_number + 1 == numbers]
    unused = [block for block in fitting if not _came_home(book, block)]
    return max(unused, key=lambda block: block.first_number, default=None)


def _came_home(book: Book, block: NumberBlock) -> bool:
    line, find = rows.table_for(EntryLine), rows.table_for(Find)
    in_block = find.c.collection_number.between(block.first_number, block.last_number)
    lines = rows.records(book, EntryLine, line.c.sheet_uuid == block.uuid)
    return bool(lines) or bool(
        rows.records(book, Find, find.c.collector_id == block.collector_id, in_block, withdrawn=True)
    )


def _sites(book: Book, plan: DayPlan) -> Sequence[Site]:
    """Give the sites of the route in its order."""
    keys = plan.plan.route.keys
    by_key = rows.by_uuid(book, Site, keys)
    return [by_key[key] for key in keys]
