"""Drives the entry sheet in a browser as a thumb does."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from sitebook.intake.field_return.line import WholeLine, whole_line
from sitebook.pages.entry_sheet import draw_entry_sheet
from tests.pages.sample_sheet import WOOD, sample_sheet

if TYPE_CHECKING:
    from playwright.sync_api import Page

PHONE, DESK = (390, 844), (1280, 800)


def written(folder: Path) -> str:
    """Write the sample sheet and give its address."""
    path = folder / "entry-sheet-private.html"
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
