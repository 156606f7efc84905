"""Tests of the map page in a browser with the network off, on a desk and on a phone."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest

from sitebook.pages.map import draw_map
from sitebook.pages.palette import contrast
from tests.pages.sample_map import SITES, sample_map

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Browser, Page

DESK, PHONE = (1280, 800), (390, 844)
BAD = "<script>window.broken=1</script></script><img src=x onerror=window.broken=1>"

TARGETS = """() => [...document.querySelectorAll('#tool button, #tool select, #tool input, #tool a')]
  .filter(e => e.checkVisibility() && e.getBoundingClientRect().width && !e.closest('p'))
  .map(e => [e.id || e.className || e.textContent, e.getBoundingClientRect()])
  .map(([name, box]) => [name, box.width, box.height])
  .filter(([, w, h]) => w < 44 || h < 44)"""

TEXTS = """() => {
  const found = {};
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) {
    const e = walk.currentNode.parentElement;
    if (!walk.currentNode.data.trim() || !e.checkVisibility()) continue;
    if (e.closest('script,style,noscript,svg')) continue;
    const grounds = [];
    for (let at = e; at; at = at.parentElement) grounds.push(getComputedStyle(at).backgroundColor);
    const ground = grounds.find(colour => colour !== 'rgba(0, 0, 0, 0)') || 'rgb(255, 255, 255)';
    const pair = [getComputedStyle(e).color, ground];
    found[JSON.stringify(pair)] = e.outerHTML.slice(0, 80);
  }
  return found;
}"""


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> str:
    """Write the sample page and give its address."""
    return written(tmp_path_factory.mktemp("map"), sample_map().title, draw_map(sample_map()))


def written(folder: Path, name: str, html: str) -> str:
    """Write a page and give its address."""
    path = folder / f"{name}.html"
    path.write_text(html, encoding="utf-8", newline="")
    return path.as_uri()


def opened(page: Page, address: str, size: tuple[int, int]) -> Page:
    """Open a page in a window of a size and wait until the map stands."""
    page.set_viewport_size({"width": size[0], "height": size[1]})
    page.goto(address)
    page.wait_for_selector("html[data-ready]")
    return page


def show(page: Page, pane: str, size: tuple[int, int]) -> None:
    """Open a pane; beside a wide map, search and season are always there."""
    if size == PHONE or pane in {"sites", "key"}:
        page.click(f"[data-show={pane}]")


@pytest.mark.parametrize("size", [DESK, PHONE])
def test_a_click_on_a_site_shows_its_class_in_words(
    browser_page: Page, address: str, size: tuple[int, int]
) -> None:
    page = opened(browser_page, address, size)
    page.evaluate("sitebook.map.setView(sitebook.siteOf(4).at, 17, {animate: false})")
    spot = page.evaluate(
        "(() => { const at = sitebook.map.latLngToContainerPoint(sitebook.siteOf(4).at);"
        " const box = sitebook.map.getContainer().getBoundingClientRect();"
        " return [box.x + at.x + 60, box.y + at.y - 30]; })()"
    )
    page.mouse.click(*spot)
    record = page.locator("#record")
    assert "Bell Park, oaks" in record.inner_text()
    assert "class 1, could be 2" in record.inner_text()
    assert "A road adds a little" in record.inner_text()
    assert "Through Road" in record.inner_text()
    assert record.locator(".weeks-grid .cells").count() == 2


@pytest.mark.parametrize("size", [DESK, PHONE])
def test_a_click_on_a_badge_opens_the_record(browser_page: Page, address: str, size: tuple[int, int]) -> None:
    page = opened(browser_page, address, size)
    page.locator(".badge", has_text="3–4").click()
    assert "Through Road verge" in page.inner_text("#record")


@pytest.mark.parametrize("size", [DESK, PHONE])
def test_search_finds_and_enter_opens(browser_page: Page, address: str, size: tuple[int, int]) -> None:
    page = opened(browser_page, address, size)
    show(page, "search", size)
    page.fill("#search", "charcoal")
    assert page.locator(".hit").all_inner_texts()[0].startswith("Charcoal Wood, east")
    page.fill("#search", "AV 1")
    page.keyboard.press("ArrowDown")
    second = page.locator(".hit[aria-selected=true] span").first.inner_text()
    page.keyboard.press("Enter")
    assert page.inner_text("#record h3") == second.split(":")[0]
    show(page, "search", size)
    page.fill("#search", "no such thing")
    assert "Nothing of that name" in page.inner_text("#hit-count")


def test_search_for_a_taxon_lists_its_finds(browser_page: Page, address: str) -> None:
    page = opened(browser_page, address, DESK)
    page.fill("#search", "boletus edulis")
    page.keyboard.press("Enter")
    assert page.inner_text("#record h3").startswith("Boletus edulis:")
    page.locator("#record button.row").first.click()
    assert "Boletus edulis" in page.inner_text("#record .facts")


@pytest.mark.parametrize("size", [DESK, PHONE])
def test_the_week_changes_numbers_and_hatches(
    browser_page: Page, address: str, size: tuple[int, int]
) -> None:
    page = opened(browser_page, address, size)
    show(page, "season", size)
    badge = page.locator(".badge[aria-label^='Ridge hollow']")
    assert badge.inner_text() == "0"
    page.select_option("#taxon", label="Badges: chance of Boletus edulis")
    now = badge.inner_text()
    assert now.endswith("%")
    page.locator("#week").fill("37")
    assert badge.inner_text() != now
    assert "Week 37" in page.inner_text("#week-said")
    assert page.locator("path[class*=area-chance-]:not(.area-chance-unknown)").count() > 0
    page.locator("#week").fill("2")
    assert badge.inner_text() == "1 %"
    page.click("#week-less")
    page.click("#week-less")
    assert "Week 53" in page.inner_text("#week-said")
    page.select_option("#when", label="Next ten days (Thu 1 Oct to Sat 10 Oct)")
    assert page.locator("#week-row").is_hidden()
    assert "on the best day of Thu 1 Oct" in page.inner_text("#season-said")
    assert "on Sat 10 Oct, weather known to 1 Oct 2026" in str(badge.get_attribute("aria-label"))
    closed = page.locator(".badge[aria-label^='Charcoal Wood, east']")
    assert "Resting until 2027-03-01." in str(closed.get_attribute("aria-label"))
    page.select_option("#taxon", value="any")
    assert "Boletus edulis" in str(badge.get_attribute("aria-label"))
    assert page.evaluate("[sitebook.chanceOfTree(1), sitebook.chanceOfTree(4).fromBooks]") == [None, True]
    page.evaluate("sitebook.choose('tree', 1)")
    assert "Likeliest taxon, Next ten days" in page.inner_text("#record .facts")
    page.evaluate("sitebook.choose('site', 2)")
    assert "Vennarhaven Harbour" in page.inner_text("#record .lines")


def test_a_window_made_narrow_keeps_the_map_and_its_badges(browser_page: Page, address: str) -> None:
    page = opened(browser_page, address, DESK)
    page.select_option("#taxon", label="Badges: chance of Boletus edulis")
    page.set_viewport_size({"width": PHONE[0], "height": PHONE[1]})
    page.click(".dock [data-show=season]")
    page.wait_for_timeout(100)
    inside = """() => {
      const map = document.getElementById("map").getBoundingClientRect();
      const lies = (e) => ((r) => !e.hidden && r.right > map.left && r.left < map.right && r.top < map.bottom)
        (e.getBoundingClientRect());
      return [map.height, [...document.querySelectorAll(".badge")].filter(lies).length];
    }"""
    height, badges = page.evaluate(inside)
    assert height > 300
    assert badges > 0
    said = page.locator("#site-list li", has_text="never looked for or found here")
    assert said.count() > 0
    assert "–" in said.first.inner_text()


def test_the_keyboard_reaches_a_record_and_comes_back(browser_page: Page, address: str) -> None:
    page = opened(browser_page, address, DESK)
    row = page.locator(".site-row[data-site='3']")
    row.focus()
    page.keyboard.press("Enter")
    assert "Charcoal Wood, east" in page.inner_text("#record")
    assert page.evaluate("document.activeElement.id") == "record"
    page.keyboard.press("Escape")
    assert page.evaluate("document.activeElement.dataset.site") == "3"


def test_everything_is_reached_by_tab(browser_page: Page, address: str) -> None:
    page = opened(browser_page, address, DESK)
    reached = []
    for _ in range(12 + len(SITES)):
        page.keyboard.press("Tab")
        reached.append(
            page.evaluate("document.activeElement.id || document.activeElement.dataset.site || ''")
        )
    assert {"map", "search", "taxon", "whole", "1", str(len(SITES))} <= set(reached)


def test_tree_and_find_lead_to_their_site(browser_page: Page, address: str) -> None:
    page = opened(browser_page, address, DESK)
    page.evaluate("sitebook.choose('tree', 1)")
    assert "V02" in page.inner_text("#record")
    page.locator("#record button.row").first.click()
    assert page.inner_text("#record h3") == "Ridge hollow"
    page.locator("#record button.row", has_text="AV").first.click()
    assert "Error of position" in page.inner_text("#record")
    page.evaluate("sitebook.choose('find', 63)")
    assert "not noted" in page.inner_text("#record .facts")


@pytest.mark.parametrize("size", [DESK, PHONE])
def test_targets_are_large_enough_for_a_thumb(
    browser_page: Page, address: str, size: tuple[int, int]
) -> None:
    page = opened(browser_page, address, size)
    for pane in ("sites", "search", "season", "key"):
        show(page, pane, size)
        assert page.evaluate(TARGETS) == []


@pytest.mark.parametrize("size", [DESK, PHONE])
def test_nothing_sticks_out_sideways(browser_page: Page, address: str, size: tuple[int, int]) -> None:
    page = opened(browser_page, address, size)
    page.evaluate("sitebook.choose('site', 4)")
    assert page.evaluate("document.documentElement.scrollWidth") == size[0]
    assert page.evaluate("(e => e.scrollWidth - e.clientWidth)(document.querySelector('.sheet'))") == 0


def test_badges_do_not_lie_on_one_another(browser_page: Page, address: str) -> None:
    page = opened(browser_page, address, PHONE)
    boxes = [box for tag in page.locator(".badge:visible .tag").all() if (box := tag.bounding_box())]
    assert len(boxes) == len(SITES)
    for i, a in enumerate(boxes):
        for b in boxes[:i]:
            apart_x = a["x"] + a["width"] <= b["x"] or b["x"] + b["width"] <= a["x"]
            apart_y = a["y"] + a["height"] <= b["y"] or b["y"] + b["height"] <= a["y"]
            assert apart_x or apart_y


def test_text_on_the_page_stands_out_seven_to_one(browser_page: Page, address: str) -> None:
    page = opened(browser_page, address, DESK)
    for pane in ("sites", "key"):
        page.click(f"[data-show={pane}]")
        for pair, where in page.evaluate(TEXTS).items():
            assert contrast(*(hexed(colour) for colour in json.loads(pair))) >= 7.0, where


def hexed(colour: str) -> str:
    """Turn the browser's rgb(…) into #rrggbb."""
    return "#" + "".join(f"{int(part):02x}" for part in colour[4:-1].split(","))


def test_odd_names_break_nothing(browser_page: Page, tmp_path: Path) -> None:
    page = opened(browser_page, written(tmp_path, "odd", draw_map(sample_map(BAD))), DESK)
    page.fill("#search", "script")
    page.keyboard.press("Enter")
    assert page.inner_text("#record h3") == BAD
    assert page.evaluate("window.broken") is None
    assert page.locator("img").count() == 0


def test_without_scripts_the_table_stands(browser: Browser, address: str) -> None:
    context = browser.new_context(offline=True, java_script_enabled=False)
    page = context.new_page()
    page.goto(address)
    assert page.locator("#tool").is_hidden()
    assert page.locator(".scripts-off").is_visible()
    row = page.locator("table tr", has=page.get_by_role("link", name="Market limes"))
    assert "As at the kerb of a road" in row.inner_text()
    page.locator("summary", has_text="Market limes").click()
    assert page.locator("#site-11 .weeks-grid").first.is_visible()
    context.close()


def test_storage_and_position_may_be_missing(browser_page: Page, address: str) -> None:
    browser_page.add_init_script(
        "for (const name of ['localStorage', 'sessionStorage'])"
        " Object.defineProperty(window, name, {get() { throw new Error('none'); }});"
        "for (const name of ['geolocation', 'clipboard'])"
        " Object.defineProperty(navigator, name, {value: undefined});"
    )
    page = opened(browser_page, address, PHONE)
    page.evaluate("sitebook.choose('find', 0)")
    page.get_by_role("button", name="Copy").click()
    assert page.get_by_role("button", name="Selected").is_visible()


def test_paper_holds_the_whole_map_and_the_table(browser_page: Page, address: str) -> None:
    page = opened(browser_page, address, PHONE)
    page.evaluate("sitebook.choose('site', 4, {move: true})")
    page.emulate_media(media="print")
    page.evaluate("dispatchEvent(new Event('beforeprint'))")
    inside = "sitebook.sites.every(site => sitebook.map.getBounds().contains(sitebook.boundsOf(site)))"
    assert page.evaluate(inside)
    table, plan = (page.locator(part).bounding_box() for part in (".stacked", "#map"))
    assert table is not None
    assert plan is not None
    assert table["y"] >= plan["y"] + plan["height"]
    assert page.locator("#side").is_hidden()
    assert page.locator(".cautions").is_visible()
    page.evaluate("dispatchEvent(new Event('afterprint'))")
    assert page.evaluate("sitebook.map.getZoom()") > 15


def test_the_close_button_hides_no_words(browser_page: Page, address: str) -> None:
    page = opened(browser_page, address, PHONE)
    page.evaluate("sitebook.choose('site', 4)")
    page.evaluate("document.querySelector('.sheet').scrollTop = 300")
    close = page.locator("#close").bounding_box()
    assert close is not None
    for x in (close["x"] - 4, close["x"] + close["width"] + 4):
        y = close["y"] + close["height"] / 2
        under = page.evaluate("([x, y]) => document.elementFromPoint(x, y).className", [x, y])
        assert under == "pane-head"
