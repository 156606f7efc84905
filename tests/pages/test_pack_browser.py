"""Drives the carried page at the width of a phone: no network, no storage, no position, and no scripts."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from sitebook.intake.field_return import read_field_return
from sitebook.pages.pack import draw_pack
from sitebook.pages.pack_paper import draw_paper
from sitebook.pages.pack_tags import draw_tags
from tests.pages.sample_pack import ON, sample_day_sheet, sample_plan
from tests.pages.sample_sheet import WOOD
from tests.pages.sample_town import town
from tests.pages.sheet_driving import DESK, PHONE, lines, opened, saved, tap
from tests.pages.test_entry_sheet_fit import DENIED, NO_STORAGE, TARGETS, THUMB_PX

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

    from tests.conftest import BrowserLog

TOO_WIDE = "document.documentElement.scrollWidth - document.documentElement.clientWidth"


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> str:
    """Write the sample pack and give its address."""
    path = tmp_path_factory.mktemp("pack") / "pack-private.html"
    path.write_text(draw_pack(sample_plan(), sample_day_sheet(), ground=town()), "utf-8", newline="")
    return path.as_uri()


def _fits(page: Page) -> None:
    assert page.evaluate(TOO_WIDE) <= 0
    assert not [target for target in page.evaluate(TARGETS) if min(target[1], target[2]) < THUMB_PX]


@pytest.mark.parametrize("size", [PHONE, DESK])
def test_a_find_is_three_taps_and_everything_of_it_comes_home(
    size: tuple[int, int], browser_page: Page, browser_log: BrowserLog, address: str, tmp_path: Path
) -> None:
    for script in (NO_STORAGE, DENIED):
        browser_page.add_init_script(script)
    page = opened(browser_page, address, size)
    _fits(page)
    tap(page, f"I am at {WOOD.name}")
    _fits(page)
    tap(page, "+ Boletus edulis")
    assert "pores turn pink" in page.locator(".about-name").inner_text()
    tap(page, "Keep this find")
    assert lines(page)[-1].says["name"] == "Boletus edulis"
    assert lines(page)[0].says["searchers"] == 2
    tap(page, "E2: nothing")
    tap(page, "+ Find")
    for chip in ("E1", "mature", "yes", "anise", "BD"):
        tap(page, chip)
    page.get_by_label("Photo numbers").fill("0412")
    tap(page, "photo 0413 too")
    page.get_by_label("Fresh mass taken, in grams").fill("55")
    tap(page, "On the map")
    page.locator(".pack-map").click(position={"x": 120, "y": 90})
    _fits(page)
    tap(page, "Take this spot")
    _fits(page)
    tap(page, "Keep this find")
    says = next(line for line in lines(page)[::-1] if line.kind == "find").says
    assert (says["photos"], says["smell"], says["base_dug"], says["collector"]) == (
        "0412 0413",
        "anise",
        True,
        "BD",
    )
    assert "collection_number" not in says
    assert says["position_source"] == "map"
    assert 5 <= int(str(says["uncertainty_m"])) <= 60
    assert abs(float(str(says["lat"])) - sample_plan().places[WOOD.uuid].lat) < 0.004
    tap(page, "+ Find")
    assert page.locator("[aria-pressed=true]", has_text="BD").is_visible()
    page.locator("[data-show=places]").click()
    assert "Go on at Harbour wood: 2 finds" in page.locator("[data-pane=places]").inner_text()
    reading = read_field_return(saved(page, tmp_path))
    assert reading.sorted_lines == ()
    kinds = [draft.kind for draft in reading.drafts if draft.kind != "entry_line"]
    assert [kinds.count(kind) for kind in ("visit", "look", "find")] == [1, 2, 2]
    assert browser_log.errors == []
    assert browser_log.outside == []


def test_the_phone_tells_the_position_even_after_the_find_was_kept(browser: Browser, address: str) -> None:
    context = browser.new_context(offline=True, timezone_id="UTC")
    page = context.new_page()
    late = "{ value: { getCurrentPosition(got) { window.answer = got; } } }"
    page.add_init_script(f"Object.defineProperty(navigator, 'geolocation', {late});")
    opened(page, address)
    tap(page, f"I am at {WOOD.name}")
    tap(page, "+ Find")
    tap(page, "Keep this find")
    place = json.dumps({"coords": {"longitude": -19.39, "latitude": 48.604, "accuracy": 7.2}})
    page.evaluate(f"window.answer({place})")
    says = lines(page)[-1].says
    assert (says["kind"], says["seq"], says["position_source"], says["lon"]) == (
        "find",
        2,
        "phone",
        "-19.390000",
    )
    assert 7 <= int(str(says["uncertainty_m"])) <= 30
    tap(page, "+ Find")
    page.evaluate(f"window.answer({place})")
    assert "good to 7 m" in page.locator(".where").inner_text()
    page.locator("[data-show=map]").click()
    tap(page, "Where am I")
    page.evaluate(f"window.answer({place})")
    assert re.search(
        r"The dot is you, good to 7 m\. \d+ m from the middle of", page.locator(".map-here").inner_text()
    )
    assert page.locator(".pack-map").get_attribute("data-level") != "0"
    context.close()


def test_with_scripts_off_the_day_is_read_and_everything_prints(
    browser: Browser, address: str, tmp_path: Path
) -> None:
    context = browser.new_context(offline=True, java_script_enabled=False)
    page = context.new_page()
    page.set_viewport_size({"width": PHONE[0], "height": PHONE[1]})
    page.goto(address)
    text = page.locator("body").inner_text()
    for words in (
        WOOD.name,
        "09:22 to 10:02",
        "pores turn pink",
        "owner's consent",
        "31 mm of rain",
        "E1",
        "OV 32",
    ):
        assert words in text
    assert page.locator(".pack-map .level").first.is_visible()
    assert page.evaluate(TOO_WIDE) <= 0
    for name, html, leaves in (
        ("tags", draw_tags(sample_day_sheet(), on=ON), 1),
        ("paper", draw_paper(sample_plan(), sample_day_sheet()), 6),
    ):
        path = tmp_path / f"{name}.html"
        path.write_text(html, "utf-8")
        page.goto(path.as_uri())
        assert page.evaluate(TOO_WIDE) <= 0, name
        printed = page.pdf(prefer_css_page_size=True)
        assert len(re.findall(rb"/Type /Page\b(?!s)", printed)) == leaves, name
    context.close()
