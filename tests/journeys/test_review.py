"""Asks for every review of the demo as a person would, and opens the pages without a network."""

from __future__ import annotations

import json
import re
import shutil
import sqlite3
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from tests.commands.running import run
from tests.house.judging_words import JUDGING

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from tests.conftest import BrowserLog, Island, Sitebook

WIDTHS_PX = (1280, 390)
ON = ("--on", "2025-10-01")
OVERFLOW_PX = "() => document.documentElement.scrollWidth - document.documentElement.clientWidth"
ALL = "all-private.html"


@pytest.fixture(scope="module")
def reviews(island: Island, sitebook: Sitebook, tmp_path_factory: pytest.TempPathFactory) -> list[Any]:
    """Give the review of each site, as JSON."""
    folder = tmp_path_factory.mktemp("reviews")
    told = json.loads(
        sitebook("contamination", "--all", *ON, "--json", "--book", island.book, folder=folder).stdout
    )
    assert isinstance(told, list)
    return told


@pytest.fixture(scope="module")
def pages(island: Island, reviews: list[Any], tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Draw the page of every site, of one find, of one position and of all."""
    folder = tmp_path_factory.mktemp("pages")
    asked = {ALL: ("--all",), "find": ("--find", "AC 264"), "position": ("--at", "-19.3934,48.6075")}
    asked |= {review["name"]: ("--site", review["name"]) for review in reviews}
    found = {}
    for number, (name, words) in enumerate(asked.items()):
        found[name] = folder / f"{number}-private.html"
        ran = run("contamination", *words, *ON, "--book", island.book, "--to", found[name])
        assert (ran.status, ran.err) == (0, ""), name
    return found


@pytest.mark.parametrize("width_px", WIDTHS_PX)
def test_every_page_opens_without_a_network_and_tells_what_the_command_tells(
    width_px: int,
    pages: dict[str, Path],
    reviews: list[Any],
    browser_page: Page,
    browser_log: BrowserLog,
) -> None:
    browser_page.set_viewport_size({"width": width_px, "height": 844})
    assert len(pages) >= 18
    told = {review["name"]: review for review in reviews}
    for name, path in pages.items():
        browser_page.goto(path.as_uri())
        browser_page.wait_for_load_state("load")
        text = browser_page.inner_text("body")
        assert len(text) > 500, name
        assert "private" in text.lower(), name
        assert not [match.group() for match in JUDGING.finditer(text)], name
        assert browser_page.evaluate(OVERFLOW_PX) <= 0, f"{name} is wider than {width_px} px"
        assert browser_log.errors == [], name
        assert browser_log.outside == [], name
        if name in told:
            _tells(" ".join(text.split()), told[name])
        if name == ALL:
            _names_every_site_with_its_class(browser_page, reviews)


def _tells(text: str, review: dict[str, Any]) -> None:
    assert review["name"] in text
    assert f"class {review['class']}" in text.lower()
    for test in review["tests"]:
        assert test["report_number"] in text
    for species in review["species"]:
        assert species["taxon_name"] in text


def _names_every_site_with_its_class(page: Page, reviews: list[Any]) -> None:
    rows = page.evaluate(
        "() => [...document.querySelectorAll('#sites tbody tr')]"
        ".map(row => [row.querySelector('th').innerText.trim(), row.innerText])"
    )
    table = dict(rows)
    assert len(table) == len(reviews)
    for review in reviews:
        row = table[review["name"]].replace(review["name"], "")
        assert re.search(rf"\b{review['class']}\b", row), review["name"]


def test_classes_of_the_demo_are_spread(reviews: list[Any]) -> None:
    assert {review["class"] for review in reviews} >= {1, 2, 3, 4}
    assert all(review["could_be"] >= review["class"] for review in reviews)
    assert any(review["tests"] for review in reviews)
    assert any(review["sprayings"] for review in reviews)


def test_each_record_of_the_map_leads_to_the_review_of_its_site(
    island: Island, reviews: list[Any], sitebook: Sitebook, tmp_path: Path, browser_page: Page
) -> None:
    book = Path(shutil.copy(island.book, tmp_path / "sitebook.gpkg"))
    told = json.loads(sitebook("map", *ON, "--json", "--book", book, folder=tmp_path).stdout)
    beside = Path(told["review_page"]).name
    text = (tmp_path / told["page"]).read_text("utf-8")
    named = dict(sorted(_site_names(book).items()))
    links = set(re.findall(re.escape(beside) + r"#site-(\d+)", text))
    assert {int(number) for number in links} == set(named)
    assert set(named.values()) == {review["name"] for review in reviews}
    browser_page.goto((tmp_path / beside).as_uri())
    for number, name in named.items():
        assert name in (browser_page.locator(f"#site-{number}").text_content() or "")
    for number in (min(named), max(named)):
        browser_page.goto((tmp_path / told["page"]).as_uri())
        browser_page.eval_on_selector(f"a[href='{beside}#site-{number}']", "link => link.click()")
        browser_page.wait_for_url(f"**/{beside}#site-{number}")
        assert named[number] in browser_page.locator(f"#site-{number}").inner_text()


def _site_names(book: Path) -> dict[int, str]:
    with closing(sqlite3.connect(book)) as connection:
        return dict(connection.execute("SELECT id, name FROM site WHERE withdrawn_at IS NULL").fetchall())


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_page_of_all_can_be_printed(
    paper: str, pages: dict[str, Path], browser_page: Page, tmp_path: Path
) -> None:
    browser_page.goto(pages[ALL].as_uri())
    browser_page.emulate_media(media="print")
    printed = browser_page.pdf(path=tmp_path / "all.pdf", format=paper)
    assert printed.startswith(b"%PDF-")
    assert len(re.findall(rb"/Type\s*/Page\b", printed)) > 3
