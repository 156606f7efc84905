"""Opens every page of the demo with the network off, on a desk and on a phone."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.house.judging_words import JUDGING

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from tests.conftest import BrowserLog, Island

WIDTHS_PX = {"desk": 1280, "phone": 390}
READ = """
() => [document.body.innerText, ...[...document.querySelectorAll('[aria-label],[title],[placeholder]')]
    .flatMap(e => ['aria-label', 'title', 'placeholder'].map(n => e.getAttribute(n) || ''))].join('\\n')
"""
OVERFLOW_PX = "() => document.documentElement.scrollWidth - document.documentElement.clientWidth"
SMALL_TARGETS = """
() => [...document.querySelectorAll('button,select,input:not([type=hidden]),a.leaflet-control-zoom-in')]
    .filter(e => e.offsetParent !== null)
    .map(e => {
        const labels = [...(e.labels ?? [])].map(label => label.getBoundingClientRect().height);
        return [e.outerHTML.slice(0, 80), Math.max(e.getBoundingClientRect().height, ...labels)];
    })
    .filter(([, height]) => height < 43.5)
"""


@pytest.mark.parametrize("device", list(WIDTHS_PX))
def test_every_page_opens_without_a_network(
    device: str, island: Island, browser_page: Page, browser_log: BrowserLog
) -> None:
    browser_page.set_viewport_size({"width": WIDTHS_PX[device], "height": 844})
    assert island.pages
    for path in island.pages:
        browser_page.goto(path.as_uri())
        browser_page.wait_for_load_state("load")
        text = str(browser_page.evaluate(READ))
        assert len(text) > 200, path.name
        assert not [match.group() for match in JUDGING.finditer(text)], path.name
        assert browser_page.evaluate(OVERFLOW_PX) <= 0, f"{path.name} is wider than the {device}"
        assert browser_log.errors == [], path.name
        assert browser_log.outside == [], path.name


def test_every_control_can_be_met_by_a_finger(island: Island, browser_page: Page) -> None:
    browser_page.set_viewport_size({"width": WIDTHS_PX["phone"], "height": 844})
    for path in island.pages:
        browser_page.goto(path.as_uri())
        assert browser_page.evaluate(SMALL_TARGETS) == [], path.name


def test_a_page_with_places_says_that_it_is_private(island: Island, browser_page: Page) -> None:
    for path in island.pages:
        assert "private" in path.name.lower()
        browser_page.goto(path.as_uri())
        assert "private" in browser_page.inner_text("body").lower()


def test_a_page_can_be_printed(island: Island, browser_page: Page, tmp_path: Path) -> None:
    for path in island.pages:
        browser_page.goto(path.as_uri())
        browser_page.emulate_media(media="print")
        printed = browser_page.pdf(path=tmp_path / "page.pdf")
        assert len(printed) > 5_000, path.name
