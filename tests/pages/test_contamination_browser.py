"""The contamination pages in a browser: both widths, sorting, scripts off, and on paper."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest

from sitebook.pages.palette import contrast
from tests.pages.contamination_pages import all_page, bare_page, full_page, unknown_page

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Browser, Page

WIDTHS = (1280, 390)
PAGES = {"full": full_page, "bare": bare_page, "unknown": unknown_page, "all": all_page}
PAPER = {"A4": (703, "A4", False), "A4 across": (1031, "A4", True), "Letter": (725, "Letter", False)}
"""Width between margins of 12 mm [px], format, and whether it lies on its side."""

WIDER = """width => [...document.querySelectorAll('main *')]
  .filter(e => e.checkVisibility() && !e.closest('.out-of-sight,.full-head') && !e.closest('svg'))
  .filter(e => e.getBoundingClientRect().right > width + 1 || e.scrollWidth > e.clientWidth + 1)
  .filter(e => getComputedStyle(e).display !== 'inline')
  .map(e => e.outerHTML.slice(0, 90))"""


@pytest.fixture(scope="module")
def addresses(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """Write the pages and give their addresses."""
    folder = tmp_path_factory.mktemp("contamination")
    for name, draw in PAGES.items():
        (folder / f"{name}.html").write_text(draw(), encoding="utf-8", newline="")
    return {name: (folder / f"{name}.html").as_uri() for name in PAGES}


@pytest.fixture
def scriptless(browser: Browser) -> Iterator[Page]:
    """Give a page that runs no scripts."""
    context = browser.new_context(
        offline=True, java_script_enabled=False, viewport={"width": 390, "height": 844}
    )
    yield context.new_page()
    context.close()


def opened(page: Page, address: str, width: int) -> Page:
    """Open a page at a width."""
    page.set_viewport_size({"width": width, "height": 844})
    page.goto(address)
    return page


def order(page: Page) -> list[str]:
    """Give the sites in the order of the table."""
    return page.locator("#sites tbody th").all_inner_texts()


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("name", PAGES)
def test_nothing_is_wider_than_the_window(
    browser_page: Page, addresses: dict[str, str], name: str, width: int
) -> None:
    page = opened(browser_page, addresses[name], width)
    page.evaluate("document.querySelectorAll('details').forEach(e => e.open = true)")
    assert page.evaluate("document.documentElement.scrollWidth") == width
    assert page.evaluate(WIDER, width) == []


@pytest.mark.parametrize("width", WIDTHS)
def test_writing_on_drawings_is_large_enough(
    browser_page: Page, addresses: dict[str, str], width: int
) -> None:
    page = opened(browser_page, addresses["full"], width)
    sizes = page.locator("svg[role=img]").evaluate_all(
        "all => all.map(e => 13 * e.getBoundingClientRect().width / e.viewBox.baseVal.width)"
    )
    assert len(sizes) == 2
    assert min(sizes) >= 12.0
    low = "all => Math.min(...all.map(e => e.getBoundingClientRect().height))"
    assert page.locator(".jump a").evaluate_all(low) >= 44.0


def test_text_keeps_seven_to_one(browser_page: Page, addresses: dict[str, str]) -> None:
    page = opened(browser_page, addresses["full"], 1280)
    pairs = page.evaluate(
        """() => [...document.querySelectorAll('main :is(p,td,th,b,.quiet,figcaption)')]
        .map(e => {
          let at = e;
          while (at && getComputedStyle(at).backgroundColor === 'rgba(0, 0, 0, 0)') at = at.parentElement;
          return JSON.stringify([getComputedStyle(e).color, getComputedStyle(at).backgroundColor]);
        }).filter((pair, i, all) => all.indexOf(pair) === i).map(JSON.parse)"""
    )
    assert len(pairs) >= 4
    for text, ground in pairs:
        assert contrast(_hex(text), _hex(ground)) >= 7.0, (text, ground)


def _hex(colour: str) -> str:
    red, green, blue = (int(part) for part in re.findall(r"\d+", colour)[:3])
    return f"#{red:02x}{green:02x}{blue:02x}"


def test_a_click_on_a_head_sorts_and_a_second_turns_the_order(
    browser_page: Page, addresses: dict[str, str]
) -> None:
    page = opened(browser_page, addresses["all"], 1280)
    worst_first = order(page)
    page.get_by_role("button", name="Site", exact=True).click()
    assert order(page) == sorted(worst_first, key=str.casefold)
    assert page.locator("th[aria-sort=ascending]").inner_text().strip() == "Site"
    assert page.inner_text("#sorted") == "Sorted by Site, A to Z."
    page.get_by_role("button", name="Site", exact=True).click()
    assert order(page) == sorted(worst_first, key=str.casefold, reverse=True)
    page.get_by_role("button", name="No.").click()
    assert order(page) == worst_first


def test_the_keyboard_sorts(browser_page: Page, addresses: dict[str, str]) -> None:
    page = opened(browser_page, addresses["all"], 1280)
    head = page.get_by_role("button", name="Traffic index")
    head.focus()
    page.keyboard.press("Enter")
    assert order(page)[0] == "Market limes"
    assert order(page)[-1] == "Far point"
    page.keyboard.press("Space")
    assert order(page)[0] == "Far point"
    assert page.evaluate("document.activeElement.textContent") == "Traffic index"
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "Trees"


def test_rows_alike_keep_the_worst_first(browser_page: Page, addresses: dict[str, str]) -> None:
    page = opened(browser_page, addresses["all"], 1280)
    worst_first = order(page)
    page.get_by_role("button", name="Measured").click()
    rest = [name for name in worst_first if not name.startswith("Rector")]
    assert order(page)[1:] == rest


def test_a_telephone_sorts_by_a_list(browser_page: Page, addresses: dict[str, str]) -> None:
    page = opened(browser_page, addresses["all"], 390)
    page.get_by_label("Sort by").select_option("Site")
    assert order(page)[0] == "Bell Park, oaks"
    assert page.get_by_label("Sort by").is_visible()


def test_a_link_opens_the_review_it_leads_to(browser_page: Page, addresses: dict[str, str]) -> None:
    page = opened(browser_page, addresses["all"], 1280)
    review = page.locator("#site-7 .verdict")
    assert not review.is_visible()
    page.locator("#sites a[href='#site-7']").click()
    assert review.is_visible()
    page.locator("summary", has_text="Rector").click()
    assert not review.is_visible()
    page.locator("#sites a[href='#site-7']").click()
    assert review.is_visible()
    page.locator(".sites-map a[href='#site-12']").click()
    assert page.locator("#site-12 .verdict").is_visible()
    page.goto(f"{addresses['all']}#site-1")
    page.reload()
    assert page.locator("#site-1 .verdict").is_visible()


def test_without_scripts_table_and_reviews_are_there(scriptless: Page, addresses: dict[str, str]) -> None:
    scriptless.goto(addresses["all"])
    assert order(scriptless)[0] == "Market limes"
    assert scriptless.locator("#sites button").count() == 0
    scriptless.locator("summary").first.click()
    assert scriptless.locator(".verdict").first.is_visible()


@pytest.mark.parametrize("paper", PAPER)
@pytest.mark.parametrize("name", ["full", "all"])
def test_no_column_is_cut_on_paper(
    browser_page: Page, addresses: dict[str, str], name: str, paper: str
) -> None:
    width, kind, across = PAPER[paper]
    page = opened(browser_page, addresses[name], width)
    page.emulate_media(media="print")
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert page.evaluate(WIDER, width) == []
    heads = page.locator("#sites thead th, .results thead th").first
    assert heads.inner_text().strip() in {"No.", "Measured"}
    assert not page.locator("#sites thead button:visible").count()
    pages = _pages(page.pdf(format=kind, landscape=across))
    assert (6 <= pages <= 16) if name == "full" else (2 <= pages <= 4)


def test_each_sheet_begins_a_page_and_an_open_review_is_printed(
    browser_page: Page, addresses: dict[str, str]
) -> None:
    page = opened(browser_page, addresses["full"], 703)
    page.emulate_media(media="print")
    breaks = "all => all.map(e => getComputedStyle(e).breakBefore)"
    assert page.locator(".sheet").evaluate_all(breaks) == ["page", "page"]
    page = opened(browser_page, addresses["all"], 703)
    closed = _pages(page.pdf(format="A4"))
    page.evaluate("document.querySelector('details').open = true")
    assert _pages(page.pdf(format="A4")) >= closed + 4


def _pages(pdf: bytes) -> int:
    return len(re.findall(rb"/Type\s*/Page\b", pdf))
