"""Tests of the entry sheet in a browser with the network off, with thumbs, and with parts of it missing."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from sitebook.intake.field_return import read_field_return
from sitebook.intake.field_return.line import WholeLine, whole_line
from sitebook.pages.entry_sheet import draw_entry_sheet
from sitebook.pages.palette import contrast
from tests.pages.sample_sheet import BAD, WOOD, sample_sheet

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Dialog, Page

    from tests.conftest import BrowserLog

PHONE, DESK = (390, 844), (1280, 800)
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
    path = tmp_path_factory.mktemp("sheet") / "entry-sheet-private.html"
    path.write_text(draw_entry_sheet(sample_sheet()), encoding="utf-8", newline="")
    return path.as_uri()


def opened(page: Page, address: str, size: tuple[int, int] = PHONE) -> Page:
    """Open the sheet in a window of a size and wait until it stands."""
    page.set_viewport_size({"width": size[0], "height": size[1]})
    page.goto(address)
    page.wait_for_selector("html[data-ready=yes]")
    return page


def tap(page: Page, name: str) -> None:
    """Tap the button of a name."""
    page.get_by_role("button", name=name, exact=True).first.click()


def begin(page: Page, site: str = WOOD.name) -> None:
    """Begin a visit with two taps."""
    page.locator(".site", has_text=site).first.click()
    tap(page, "Begin here")


def lines(page: Page) -> list[WholeLine]:
    """Give the lines the page remembers, each checked as the reader checks it."""
    return [whole_line(text) for text in page.evaluate("sitebook.lines")]


def saved(page: Page, folder: Path) -> Path:
    """Save the entries through the browser's download."""
    page.locator("[data-show=out]").click()
    with page.expect_download() as download:
        tap(page, "Save the entries as a file")
    path = folder / download.value.suggested_filename
    download.value.save_as(path)
    return path


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
