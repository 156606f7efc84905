"""Packs a day of the demo: whose numbers it holds, what it leaves away, and when it keeps them."""

from __future__ import annotations

import dataclasses
import datetime
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from sitebook import errors
from sitebook.commands.pack import json_of, lines_of
from sitebook.intake.field_return.line import with_sum
from sitebook.records.history import NumberBlock
from sitebook.records.results.day_plan import Excluded
from sitebook.store import rows
from sitebook.store.book import Book
from sitebook.work import opened
from sitebook.work.bring_in import bring_in
from sitebook.work.forays_named import named_foray
from sitebook.work.pack import beside, pack
from sitebook.work.plan import planned
from tests.work import books, made_forays

if TYPE_CHECKING:
    from sitebook.records.results.entry_sheet import EntrySheet
    from tests.conftest import Island

EVENING = datetime.datetime(2100, 10, 3, 19, 0, tzinfo=datetime.UTC)
"""Later than anything the demo's book was told."""

STOPS = ("Birch row", "Oak wood")


@pytest.fixture(scope="module")
def demo(island: Island, tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Book, Path]]:
    """Open a copy of the demo with a foray; its plan is made once, since every pack asks for the same."""
    folder = tmp_path_factory.mktemp("pack")
    path = folder / "sitebook.gpkg"
    shutil.copyfile(island.book, path)
    made_forays.keep(path, *STOPS)
    with opened(path) as book, pytest.MonkeyPatch.context() as patched:
        plan = planned(book, named_foray(book))
        patched.setattr("sitebook.work.pack.planned", lambda *_, **__: plan)
        yield book, folder


def test_a_pack_holds_its_stops_and_keeps_its_numbers_until_they_come_home(
    demo: tuple[Book, Path],
) -> None:
    book, folder = demo
    to = folder / "day-private.html"
    first = pack(book, None, to, now=EVENING, numbers=6).result
    assert first.stops == STOPS
    assert beside(to) == (folder / "day-tags.html", folder / "day-paper-private.html")
    assert all(path is not None and path.exists() for path in (first.page, first.tags, first.paper))
    names = {site.name for site in first.sheet.sites}
    others = {name for (name,) in books.asked(folder / "sitebook.gpkg", "SELECT name FROM site")} - names
    assert len(others) > 5
    text = "".join(p.read_text("utf-8") for p in (first.page, first.paper))
    assert not [name for name in others if f">{name}<" in text or f'"{name}"' in text]
    again = pack(book, None, to, now=EVENING + datetime.timedelta(days=1)).result
    assert again.again
    assert again.sheet.uuid == first.sheet.uuid
    assert again.sheet.made_on == first.sheet.made_on
    assert json_of(again)["last_number"] == (first.sheet.first_number or 0) + 5
    assert any("keeps the numbers" in line for line in lines_of(again))
    other = pack(book, None, to, now=EVENING, new_numbers=True, numbers=3).result
    assert other.sheet.first_number == (first.sheet.last_number or 0) + 1
    (folder / "entries.jsonl").write_text(_saved(other.sheet), "utf-8")
    bring_in(book, [folder / "entries.jsonl"], now=EVENING)
    after = pack(book, None, to, now=EVENING, numbers=3).result
    assert after.sheet.first_number == (other.sheet.last_number or 0) + 1


def test_a_pack_that_cannot_be_written_reserves_nothing(demo: tuple[Book, Path]) -> None:
    book, folder = demo
    before = len(rows.records(book, NumberBlock))
    (folder / "taken").write_text("", "utf-8")
    with pytest.raises(errors.FileNotWritable):
        pack(book, None, folder / "taken" / "x.html", now=EVENING, new_numbers=True)
    with pytest.raises(errors.BookExists):
        pack(book, None, book.path, now=EVENING, new_numbers=True)
    (folder / "y-tags.html").write_text("hers", "utf-8")
    with pytest.raises(errors.FileExists):
        pack(book, None, folder / "y.html", now=EVENING, new_numbers=True)
    assert not (folder / "y-paper-private.html").exists()
    with pytest.raises(errors.BadArgument):
        pack(book, None, folder / "x.html", now=EVENING, numbers=-1)
    with pytest.raises(errors.RecordMissing):
        pack(book, "1999-01-01", folder / "x.html", now=EVENING)
    assert len(rows.records(book, NumberBlock)) == before


def test_a_stop_closed_or_only_looked_at_since_the_plan_is_told(
    demo: tuple[Book, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    book, folder = demo
    first = pack(book, None, folder / "day-private.html", now=EVENING).result
    assert first.changed == ()
    birch, oak = (first.plan.places[key] for key in first.plan.plan.route.keys)
    look = dataclasses.replace(oak, purpose="look only", purpose_said="Only to look: not asked.")
    found = first.plan.plan
    route = dataclasses.replace(found.route, stops=found.route.stops[1:])
    later = dataclasses.replace(
        first.plan,
        places={oak.key: look},
        plan=dataclasses.replace(found, route=route),
        legs=first.plan.legs[1:],
        excluded=(Excluded(birch.spot, "rest", "Resting until 2100-12-31."),),
    )
    monkeypatch.setattr("sitebook.work.pack.planned", lambda *_, **__: later)
    made = pack(book, None, folder / "day-private.html", now=EVENING).result
    said = (
        "No longer to be gone to: Birch row. Resting until 2100-12-31.",
        "No longer to gather at: Oak wood. Only to look: not asked.",
    )
    assert made.changed == said
    assert lines_of(made)[1:3] == list(said)
    assert json_of(made)["changed"] == list(said)
    assert all(one in path.read_text("utf-8") for one in said for path in (made.page, made.paper))
    none = dataclasses.replace(found, route=dataclasses.replace(route, stops=()))
    empty = dataclasses.replace(later, plan=none, places={})
    monkeypatch.setattr("sitebook.work.pack.planned", lambda *_, **__: empty)
    with pytest.raises(errors.NothingToShow, match="Resting until"):
        pack(book, None, folder / "day-private.html", now=EVENING)


def _saved(sheet: EntrySheet) -> str:
    """Write a visit as the page saves it."""
    site = sheet.sites[0]
    said = (
        f'{{"v":1,"kind":"visit","uuid":"0f0f0f0f-0f0f-4f0f-8f0f-0f0f0f0f0f0f","seq":1,'
        f'"at":"2025-10-04T09:15:00.000Z","book":"{sheet.book}","sheet":"{sheet.uuid}","pad":"0a0a0a0a",'
        f'"revision":{sheet.revision},"site":"{site.name}","site_uuid":"{site.uuid}",'
        f'"local_date":"2025-10-04","reason":"planned","searchers":1,"looked_for_all":true}}'
    )
    return f"{with_sum(said)}\n"
