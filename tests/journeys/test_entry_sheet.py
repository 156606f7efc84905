"""Walks a day out with the entry sheet: make it, enter with taps, save, bring it in, and see what waits."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.work import books

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from tests.conftest import Island, Sitebook

SITES = ("Birch row", "Oak wood", "Park lawn")
NO_STORAGE = """Object.defineProperty(window, 'localStorage', {
  get() { throw new DOMException('no storage here', 'SecurityError'); }
});"""
DENIED = """Object.defineProperty(navigator, 'geolocation', {
  value: { getCurrentPosition(_, denied) { denied({ code: 1 }); } }
});"""


def _tap(page: Page, name: str) -> None:
    page.get_by_role("button", name=name, exact=True).first.click()


def _day_out(page: Page, finds: tuple[int, ...]) -> None:
    """Visit each site, find something, and find nothing."""
    for site, how_many in zip(SITES, finds, strict=True):
        page.locator("[data-show=places]").click()
        page.locator(".site", has_text=site).click()
        _tap(page, "Begin here")
        for number in range(how_many):
            _tap(page, "+ Find")
            if number % 2:
                page.locator("[data-pane=find] .chip.name").first.click()
            _tap(page, "Keep this find")
        trees = page.locator("[data-pane=visit] .tree button", has_text="nothing")
        if trees.count():
            trees.first.click()
        else:
            _tap(page, "Looked, nothing found")


@pytest.mark.parametrize("width", [390, 1280])
def test_a_day_out_comes_home(
    width: int, island: Island, browser_page: Page, sitebook: Sitebook, tmp_path: Path
) -> None:
    shutil.copy(island.book, tmp_path / "sitebook.gpkg")
    before = books.only(tmp_path / "sitebook.gpkg", "SELECT (SELECT count(*) FROM visit), count(*) FROM find")
    chosen = [word for site in SITES for word in ("--site", site)]
    told = json.loads(sitebook("entry-sheet", *chosen, "--json", folder=tmp_path).stdout)
    assert told["last_number"] - told["first_number"] + 1 == 20
    waits = json.loads(sitebook("due", "--json", folder=tmp_path).stdout)
    (waiting,) = (one for one in waits if one["topic"] == "sheet")
    for script in (NO_STORAGE, DENIED):
        browser_page.add_init_script(script)
    browser_page.set_viewport_size({"width": width, "height": 844})
    browser_page.goto((tmp_path / told["page"]).as_uri())
    browser_page.wait_for_selector("html[data-ready=yes]")
    _day_out(browser_page, (4, 3, 3))
    browser_page.locator("[data-show=out]").click()
    with browser_page.expect_download() as download:
        _tap(browser_page, "Save the entries as a file")
    name = download.value.suggested_filename
    assert waiting["next_step"] == f"sitebook import {name}"
    download.value.save_as(tmp_path / name)
    report = json.loads(sitebook("import", name, "--json", folder=tmp_path).stdout)
    (file,) = report["files"]
    added = {kind: file["added"][kind] for kind in ("visit", "find", "look", "determination")}
    assert added == {"visit": 3, "find": 10, "look": 3, "determination": 4}
    assert file["sorted_lines"] == []
    after = books.only(tmp_path / "sitebook.gpkg", "SELECT (SELECT count(*) FROM visit), count(*) FROM find")
    assert after == (int(str(before[0])) + 3, int(str(before[1])) + 10)
    numbers = books.asked(
        tmp_path / "sitebook.gpkg",
        "SELECT collection_number FROM find WHERE collection_number >= ? ORDER BY 1",
        told["first_number"],
    )
    assert [number for (number,) in numbers] == list(range(told["first_number"], told["first_number"] + 10))
    again = json.loads(sitebook("import", name, "--json", folder=tmp_path).stdout)
    assert again["files"][0]["seen_before"]
    waits = json.loads(sitebook("due", "--json", folder=tmp_path).stdout)
    assert "sheet" not in [one["topic"] for one in waits]


def test_two_sheets_never_give_out_the_same_number(
    island: Island, sitebook: Sitebook, tmp_path: Path
) -> None:
    shutil.copy(island.book, tmp_path / "sitebook.gpkg")
    words = ("entry-sheet", "--site", "Birch row", "--json", "--numbers")
    first = json.loads(sitebook(*words, "5", folder=tmp_path).stdout)
    second = json.loads(sitebook(*words, "5", "--to", "second.html", folder=tmp_path).stdout)
    assert second["first_number"] == first["last_number"] + 1
    sitebook("entry-sheet", "--give-back", str(second["first_number"]), folder=tmp_path)
    third = json.loads(sitebook(*words, "7", folder=tmp_path).stdout)
    assert third["first_number"] == second["first_number"]
    none = json.loads(sitebook(*words, "0", folder=tmp_path).stdout)
    assert none["first_number"] is None


@pytest.mark.parametrize(
    "words",
    [
        ("--site", "Nowhere"),
        ("--numbers", "-1"),
        ("--numbers", "501"),
        ("--collector", "ZZ"),
        ("--give-back", "7"),
        ("--to", "sitebook.gpkg/sheet.html"),
    ],
)
def test_what_cannot_be_made_is_told_and_reserves_nothing(
    words: tuple[str, ...], island: Island, sitebook: Sitebook, tmp_path: Path
) -> None:
    shutil.copy(island.book, tmp_path / "sitebook.gpkg")
    told = sitebook("entry-sheet", *words, folder=tmp_path, expect=2).stderr
    assert len(told.splitlines()) == 1
    assert books.only(tmp_path / "sitebook.gpkg", "SELECT count(*) FROM number_block") == (0,)
