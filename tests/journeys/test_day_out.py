"""Walks a planned day out: plan it, pack it, enter ten finds on a phone without anything, and come home."""

from __future__ import annotations

import datetime
import re
from pathlib import Path
from typing import TYPE_CHECKING

from tests.commands.running import run
from tests.journeys.test_entry_sheet import DENIED, NO_STORAGE
from tests.pages.sheet_driving import saved, tap
from tests.work import books
from tests.work.bring_in import town

if TYPE_CHECKING:
    from playwright.sync_api import Page

SATURDAY = datetime.date(2025, 9, 27)
"""Later than every find of the book, since a day is planned by what was known on its eve."""


def _enter(page: Page, site: str, finds: int) -> None:
    """Go to a site of the day, keep some finds with what was noted of them, and look at a tree in vain."""
    page.locator("[data-show=places]").click()
    tap(page, f"I am at {site}")
    for number in range(finds):
        tap(page, "+ Find")
        page.get_by_label("Photo numbers").fill(str(100 + number))
        page.get_by_label("Fresh mass taken, in grams").fill(str(50 + number))
        tap(page, "Keep this find")
    page.locator("[data-pane=visit] button", has_text=re.compile(r"nothing$")).first.click()


def test_a_planned_day_comes_home_whole(tmp_path: Path, browser_page: Page) -> None:
    book = town.built(tmp_path)
    hours = ("--start", "09:00", "--end", "16:00", "--from", "-19.4,48.6")
    assert run("plan", "--book", book, "--on", SATURDAY.isoformat(), *hours).status == 0
    made = run("pack", "--book", book, "--json").json
    for script in (NO_STORAGE, DENIED):
        browser_page.add_init_script(script)
    browser_page.clock.set_fixed_time(datetime.datetime(2025, 9, 27, 11, 30, tzinfo=datetime.UTC))
    browser_page.set_viewport_size({"width": 390, "height": 844})
    browser_page.goto(Path(made["page"]).as_uri())
    browser_page.wait_for_selector("html[data-ready=yes]")
    _enter(browser_page, "Mill Park", 6)
    _enter(browser_page, "Quay Wood", 4)
    entries = saved(browser_page, tmp_path)
    half = tmp_path / "half.jsonl"
    half.write_bytes(entries.read_bytes()[200:-700])
    torn = run("import", half, "--book", book, "--json").json
    assert [line["sorting"] for line in torn["files"][0]["sorted_lines"][:2]] == ["left out", "left out"]
    came = run("import", entries, half, "--book", book, "--json").json
    assert came["files"][0]["sorted_lines"] == []
    numbers = range(made["first_number"], made["first_number"] + 10)
    found = "SELECT collection_number, fresh_mass_g, note FROM find WHERE found_on = ? ORDER BY 1"
    grams = [*range(50, 56), *range(50, 54)]
    told = [(number, float(g), f"photos: {g + 50}") for number, g in zip(numbers, grams, strict=True)]
    assert books.asked(book, found, SATURDAY.isoformat()) == told
    done = run("foray", "--book", book, "--json").json["foray"]
    by_site = {stop["spot"]["site_name"]: stop for stop in done["stops"]}
    assert {site: len(stop["finds"]) for site, stop in by_site.items()} == {"Mill Park": 6, "Quay Wood": 4}
    assert sorted(stop["turn"] for stop in done["stops"]) == [1, 2]
    assert (done["finds"], done["looks"], done["looks_empty"]) == (10, 4, 2)
    assert any("10 finds have no name yet" in said for said in done["waiting"])
