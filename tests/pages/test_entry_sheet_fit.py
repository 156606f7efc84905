"""Tests that the entry sheet fits thumbs, eyes and paper, and does without what a browser lacks."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from sitebook.intake.field_return import read_field_return
from sitebook.intake.field_return.line import whole_line
from sitebook.pages.palette import contrast
from tests.pages.sample_sheet import BAD, WOOD
from tests.pages.sheet_driving import DESK, PHONE, begin, lines, opened, saved, tap, written

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Dialog, Page

    from tests.conftest import BrowserLog

THUMB_PX = 48

NO_STORAGE = """Object.defineProperty(window, 'localStorage', {
  get() { throw new DOMException('no storage here', 'SecurityError'); }
});"""
DENIED = """Object.defineProperty(navigator, 'geolocation', {
  value: { getCurrentPosition(_, denied) { denied({ code: 1 }); } }
});"""
NO_BLOB = "URL.createObjectURL = () => { throw new Error('no blobs here'); };"

TARGETS = """() => [...document.querySelectorAll('.app button, .app input, .app textarea, .app summary')]
  .filter(e => e.checkVisibility())
  .map(e => [e.textContent || e.id, e.getBoundingClientRect().width, e.getBoundingClientRect().height])"""

PAIRS = """() => {
  const found = {};
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) {
    const e = walk.currentNode.parentElement;
    if (!walk.currentNode.data.trim() || !e.checkVisibility() || e.closest('script,style')) continue;
    const grounds = [];
    for (let at = e; at; at = at.parentElement) grounds.push(getComputedStyle(at).backgroundColor);
    const ground = grounds.find(colour => colour !== 'rgba(0, 0, 0, 0)') || 'rgb(255, 255, 255)';
    found[JSON.stringify([getComputedStyle(e).color, ground])] = e.outerHTML.slice(0, 80);
  }
  return found;
}"""


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> str:
    """Write the sample sheet and give its address."""
    return written(tmp_path_factory.mktemp("sheet"))


def test_entries_outlive_the_page_where_the_browser_lets_them(browser: Browser, address: str) -> None:
    context = browser.new_context(offline=True, timezone_id="UTC")
    page = opened(context.new_page(), address)
    begin(page)
    before = page.evaluate("sitebook.lines")
    other = opened(context.new_page(), address)
    assert other.evaluate("sitebook.lines") == before
    assert other.locator("[data-pane=visit] h2").inner_text() == WOOD.name
    context.close()


@pytest.mark.parametrize("size", [PHONE, DESK])
def test_storage_that_throws_position_denied_and_no_blobs_cost_nothing(
    size: tuple[int, int], browser_page: Page, address: str, tmp_path: Path
) -> None:
    for script in (NO_STORAGE, DENIED, NO_BLOB):
        browser_page.add_init_script(script)
    page = opened(browser_page, address, size)
    begin(page)
    tap(page, "+ Find")
    page.locator("summary").click()
    tap(page, "Take the telephone's position")
    assert page.get_by_text("The telephone gives no position").is_visible()
    tap(page, "Keep this find")
    page.locator("[data-show=out]").click()
    assert page.get_by_text("This browser forgets the entries").is_visible()
    reading = read_field_return(saved(page, tmp_path))
    assert sorted(d.kind for d in reading.drafts if d.kind != "entry_line") == ["find", "visit"]
    assert page.get_by_text("Everything is saved").is_visible()


def test_a_position_of_the_telephone_is_noted_with_its_error(browser: Browser, address: str) -> None:
    place = {"longitude": -19.41234, "latitude": 48.61234, "accuracy": 7.0}
    context = browser.new_context(offline=True, timezone_id="UTC")
    page = context.new_page()
    answer = f"{{ value: {{ getCurrentPosition(got) {{ got({{ coords: {json.dumps(place)} }}); }} }} }}"
    page.add_init_script(f"Object.defineProperty(navigator, 'geolocation', {answer});")
    opened(page, address)
    begin(page)
    tap(page, "+ Find")
    page.locator("summary").click()
    tap(page, "Take the telephone's position")
    tap(page, "Keep this find")
    says = lines(page)[-1].says
    assert (says["position_source"], says["uncertainty_m"], says["lon"]) == ("phone", 7, "-19.41234")
    context.close()


def test_leaving_with_unsaved_entries_warns(browser_page: Page, address: str, tmp_path: Path) -> None:
    asked: list[str] = []

    def answer(dialog: Dialog) -> None:
        asked.append(dialog.type)
        dialog.accept()

    browser_page.on("dialog", answer)
    page = opened(browser_page, address)
    begin(page)
    page.reload()
    page.wait_for_selector("html[data-ready=yes]")
    assert asked == ["beforeunload"]
    saved(page, tmp_path)
    page.reload()
    assert asked == ["beforeunload"]


def test_copy_fills_the_clipboard_or_selects_the_text(browser_page: Page, address: str) -> None:
    browser_page.add_init_script("Object.defineProperty(navigator, 'clipboard', { value: undefined });")
    page = opened(browser_page, address)
    begin(page)
    page.locator("[data-show=out]").click()
    tap(page, "Copy the entries")
    assert "Cop" in page.locator("#said").inner_text()
    box = page.locator("textarea.lines")
    assert [whole_line(text).kind for text in box.input_value().splitlines()] == ["visit", "end"]
    assert page.evaluate("getSelection().toString().length || document.activeElement.selectionEnd") > 0


def _walk(page: Page, look: Callable[[str], Any]) -> None:
    look("places")
    page.locator(".site").first.click()
    look("begin")
    tap(page, "Begin here")
    tap(page, "I look only for some names")
    tap(page, "E1: nothing")
    look("visit")
    tap(page, "+ Find")
    page.locator("summary").click()
    look("find")
    tap(page, "Keep this find")
    page.locator("[data-show=entries]").click()
    look("entries")
    page.locator("[data-show=out]").click()
    look("out")


@pytest.mark.parametrize("size", [PHONE, DESK])
def test_every_target_is_a_thumb_wide_and_nothing_runs_off(
    size: tuple[int, int], browser_page: Page, address: str
) -> None:
    page = opened(browser_page, address, size)

    def look(pane: str) -> None:
        small = [t for t in page.evaluate(TARGETS) if min(t[1], t[2]) < THUMB_PX]
        assert not small, pane
        wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        assert wide <= 0, pane

    _walk(page, look)


def test_every_text_stands_seven_to_one(browser_page: Page, address: str) -> None:
    page = opened(browser_page, address)

    def look(pane: str) -> None:
        for pair, where in page.evaluate(PAIRS).items():
            text, ground = (_hex(colour) for colour in json.loads(pair))
            assert contrast(text, ground) >= 7.0, (pane, where)

    _walk(page, look)


def _hex(colour: str) -> str:
    numbers = colour[colour.index("(") + 1 : colour.index(")")].split(",")[:3]
    return "#" + "".join(f"{int(float(number)):02x}" for number in numbers)


def test_names_run_nowhere(browser_page: Page, address: str) -> None:
    page = opened(browser_page, address)
    assert page.locator(".site").nth(1).inner_text() == f"Lawn {BAD}"
    begin(page, "Lawn")
    tap(page, "+ Find")
    page.get_by_label("search names").fill(BAD)
    page.get_by_role("button", name="as typed").click()
    tap(page, "Keep this find")
    page.locator("[data-show=entries]").click()
    assert page.evaluate("window.broken") is None
    assert BAD in page.locator(".entries").inner_text()


def test_with_scripts_off_it_is_a_form_to_print(browser: Browser, address: str, tmp_path: Path) -> None:
    context = browser.new_context(offline=True, java_script_enabled=False)
    page = context.new_page()
    page.set_viewport_size({"width": PHONE[0], "height": PHONE[1]})
    page.goto(address)
    text = page.locator("body").inner_text()
    for words in (
        "Scripts are off here",
        "Harbour wood",
        "Resting until",
        "E1",
        "Boletus edulis",
        "OV 21",
        "OV 32",
    ):
        assert words in text
    assert not page.locator(".app").is_visible()
    box = page.locator("main").bounding_box()
    assert box is not None
    assert box["width"] <= PHONE[0]
    page.emulate_media(media="print")
    assert not page.locator(".scripts-off").is_visible()
    assert page.locator(".find-form").count() == 12
    assert page.pdf(path=tmp_path / "form.pdf").startswith(b"%PDF")
    context.close()


def test_print_shows_the_entries_and_on_wish_the_empty_form(browser_page: Page, address: str) -> None:
    page = opened(browser_page, address)
    begin(page)
    tap(page, "+ Find")
    tap(page, "Boletus edulis")
    tap(page, "Keep this find")
    page.emulate_media(media="print")
    assert page.locator(".entry.find").is_visible()
    assert not page.locator(".paper").is_visible()
    assert not page.locator(".dock").is_visible()
    page.evaluate("document.body.classList.add('print-empty')")
    assert page.locator(".paper").is_visible()
    assert not page.locator(".entry.find").is_visible()


def test_a_clean_run_logs_no_error(browser_page: Page, browser_log: BrowserLog, address: str) -> None:
    _walk(opened(browser_page, address), lambda _: None)
    assert browser_log.errors == []
    assert browser_log.outside == []
