"""Tests of what is entered on the sheet in a browser with the network off."""

from __future__ import annotations

import hashlib
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from sitebook.intake.field_return import read_field_return
from tests.pages.sample_sheet import WOOD
from tests.pages.sheet_driving import begin, lines, opened, saved, tap, written

if TYPE_CHECKING:
    from playwright.sync_api import Page


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> str:
    """Write the sample sheet and give its address."""
    return written(tmp_path_factory.mktemp("sheet"))


def test_the_pages_checksum_is_that_of_the_reader(browser_page: Page, address: str) -> None:
    page = opened(browser_page, address)
    for text in ("", "abc", "ü — 漢字 😀", "a" * 55, "a" * 56, "a" * 64, "b" * 5000):
        found = page.evaluate("text => sitebook.sha256(text)", text)
        assert found == hashlib.sha256(text.encode("utf-8")).hexdigest()


def test_a_find_is_three_taps_from_the_visit(browser_page: Page, address: str) -> None:
    page = opened(browser_page, address)
    begin(page)
    tap(page, "+ Find")
    tap(page, "Boletus edulis")
    tap(page, "Keep this find")
    find = lines(page)[-1]
    assert (find.kind, find.says["name"], find.says["collection_number"]) == ("find", "Boletus edulis", 21)
    assert find.says["site_uuid"] == WOOD.uuid


def test_nothing_found_is_one_tap_for_place_tree_and_name(browser_page: Page, address: str) -> None:
    page = opened(browser_page, address)
    begin(page)
    tap(page, "Looked, nothing found")
    tap(page, "E1: nothing")
    tap(page, "E2: remains")
    tap(page, "I look only for some names")
    tap(page, "Suillus luteus: nothing")
    looks = [line.says for line in lines(page) if line.kind == "look"]
    assert [(s.get("host_tree"), s.get("taxon"), s["outcome"]) for s in looks] == [
        (None, None, "not seen"),
        ("E1", None, "not seen"),
        ("E2", None, "only remains"),
        (None, "Suillus luteus", "not seen"),
    ]
    tap(page, "E1: nothing")
    assert lines(page)[-1].withdrawn


def test_a_find_on_a_tree_says_that_the_tree_was_looked_at(browser_page: Page, address: str) -> None:
    page = opened(browser_page, address)
    begin(page)
    tap(page, "E1: nothing")
    tap(page, "E1: a find")
    tap(page, "Keep this find")
    find, look = lines(page)[-2:]
    assert (find.says["host_tree"], look.says["outcome"], look.seq) == ("E1", "found", 2)
    page.locator("[data-show=entries]").click()
    row = page.locator(".entry.find")
    row.get_by_role("button").nth(1).click()
    row.get_by_role("button").nth(1).click()
    assert [(line.kind, line.withdrawn) for line in lines(page)[-2:]] == [("find", True), ("look", True)]


def test_everything_of_a_find_comes_home(browser_page: Page, address: str, tmp_path: Path) -> None:
    page = opened(browser_page, address)
    begin(page)
    tap(page, "+ Find")
    page.get_by_label("search names").fill("waxcap")
    page.locator(".chip.name", has_text="Hygrocybe conica").click()
    for chip in ("E2", "clusters", "young"):
        tap(page, chip)
    page.get_by_role("button", name="How many: one more").click(click_count=3)
    page.locator("summary").click()
    for label, value in {
        "Photo numbers": "412 413",
        "Fresh mass taken, in grams": "41,5",
        "Smell": "honey",
        "Longitude": "-19.41234",
        "Latitude": "48,61234",
        "Note": 'by "the" path\nand wet; ünter',
    }.items():
        page.get_by_label(label, exact=True).fill(value)
    for chip in ("cf.", "moss", "one of several", "yes"):
        tap(page, chip)
    tap(page, "Keep this find")
    reading = read_field_return(saved(page, tmp_path))
    assert reading.sorted_lines == ()
    (found,) = (draft for draft in reading.drafts if draft.kind == "find")
    values = {name: value for name, value in found.values.items() if name not in ("uuid", "found_at", "geom")}
    assert values.pop("note") == (
        'by "the" path\nand wet; ünter; base dug up: yes; smell: honey; photos: 412 413'
    )
    assert str(values.pop("found_on")) == page.evaluate("sitebook.day(new Date())")
    assert values == {
        "collection_number": 21,
        "individual_count": 3,
        "count_of": "clusters",
        "fresh_mass_g": 41.5,
        "growth_stage": "young",
        "substrate": "moss",
        "position_source": "typed",
    }
    assert found.values["geom"].wkt == "POINT (-19.41234 48.61234)"  # type: ignore[attr-defined]
    (named,) = (draft for draft in reading.drafts if draft.kind == "determination")
    assert (named.values["verbatim_name"], named.values["qualifier"]) == ("Hygrocybe conica", "cf.")


@pytest.mark.parametrize(
    ("label", "value", "said"),
    [
        ("How many", "-2", "whole number from 1"),
        ("How many", "many", "whole number from 1"),
        ("Fresh mass taken, in grams", "heavy", "Grams are a number"),
        ("Collection number of OV", "1.5", "whole number"),
        ("Latitude", "91", "latitude -90 to 90"),
        ("Longitude", "12", "go together"),
    ],
)
def test_what_cannot_be_is_not_kept(
    label: str, value: str, said: str, browser_page: Page, address: str
) -> None:
    page = opened(browser_page, address)
    begin(page)
    tap(page, "+ Find")
    page.locator("summary").click()
    page.get_by_label(label, exact=True).fill(value)
    tap(page, "Keep this find")
    assert said in page.locator("#said").inner_text()
    assert [line.kind for line in lines(page)] == ["visit"]


def test_numbers_run_on_and_none_is_given_twice(browser_page: Page, address: str) -> None:
    page = opened(browser_page, address)
    begin(page)
    for _ in range(2):
        tap(page, "+ Find")
        tap(page, "Keep this find")
    tap(page, "+ Find")
    page.get_by_label("Collection number of OV").fill("21")
    tap(page, "Keep this find")
    assert "Number 21 stands on another find" in page.locator("#said").inner_text()
    page.locator("summary").click()
    tap(page, "BD")
    tap(page, "Keep this find")
    finds = [line.says for line in lines(page) if line.kind == "find"]
    assert [(s["collector"], s.get("collection_number")) for s in finds] == [
        ("OV", 21),
        ("OV", 22),
        ("BD", None),
    ]


def test_an_edit_is_a_later_line_of_the_same_entry(browser_page: Page, address: str) -> None:
    page = opened(browser_page, address)
    begin(page)
    tap(page, "+ Find")
    tap(page, "Boletus edulis")
    tap(page, "Keep this find")
    page.locator("[data-show=entries]").click()
    page.locator(".entry.find").get_by_role("button").first.click()
    page.get_by_label("Smell").fill("nutty")
    tap(page, "Keep these changes")
    first, second = (line for line in lines(page) if line.kind == "find")
    assert (first.uuid, first.seq, second.seq) == (second.uuid, 1, 2)
    assert second.says["smell"] == "nutty"
    assert second.says["collection_number"] == 21
    page.locator("[data-show=entries]").click()
    page.locator(".entry.find").get_by_role("button").first.click()
    tap(page, "Keep these changes")
    assert len([line for line in lines(page) if line.kind == "find"]) == 2


def test_a_visit_is_taken_back_with_what_hangs_on_it_and_put_back(browser_page: Page, address: str) -> None:
    page = opened(browser_page, address)
    begin(page)
    tap(page, "+ Find")
    tap(page, "Keep this find")
    page.locator("[data-show=entries]").click()
    visit = page.locator(".entry.visit")
    visit.get_by_role("button").nth(1).click()
    assert "with its 1 entries" in visit.inner_text()
    visit.get_by_role("button").nth(1).click()
    assert [line.withdrawn for line in lines(page)] == [False, False, True, True]
    page.locator(".entry.find").get_by_role("button", name="Put back").click()
    assert [(line.kind, line.withdrawn) for line in lines(page)[-2:]] == [("visit", False), ("find", False)]
