"""Takes the README's pictures of the demo's pages with the network off."""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

from playwright.sync_api import Browser, sync_playwright

PICTURES = Path(__file__).resolve().parent / "pictures"
CHROMIUM = "/usr/bin/chromium"
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-sync",
]
SETTLE_MS = 800


@dataclass(frozen=True)
class Picture:
    """One picture.

    Parameters
    ----------
    name
        File it goes to.
    page
        Word in the name of the page it shows.
    width_px
        Width of the window.
    height_px
        Height of the window.
    shows
        Part of the page that is scrolled to the top; empty for the top of the page.
    """

    name: str
    page: str
    width_px: int
    height_px: int
    shows: str = ""


ALL = (
    Picture("map.png", "map", 1100, 720),
    Picture("calendar.png", "calendar", 1100, 560, shows="section.taxon:has-text('Boletus edulis')"),
    Picture("phone.png", "map", 390, 760),
)


def demo(folder: Path) -> list[Path]:
    """Make the demo in a folder and give its pages."""
    command = [sys.executable, "-m", "sitebook", "demo", "--to", str(folder / "island"), "--json"]
    done = subprocess.run(command, capture_output=True, text=True, check=True, cwd=folder)  # noqa: S603
    return [folder / page for page in json.loads(done.stdout)["pages"]]


def take(browser: Browser, picture: Picture, pages: list[Path]) -> None:
    """Take one picture."""
    context = browser.new_context(
        offline=True, viewport={"width": picture.width_px, "height": picture.height_px}
    )
    page = context.new_page()
    page.goto(next(path for path in pages if picture.page in path.name).as_uri())
    if picture.shows:
        page.locator(picture.shows).first.evaluate("part => part.scrollIntoView({block: 'start'})")
    page.wait_for_timeout(SETTLE_MS)
    page.screenshot(path=PICTURES / picture.name)
    context.close()


def main() -> None:
    """Make the demo and take every picture of it."""
    PICTURES.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        pages = demo(Path(folder))
        for picture in ALL:
            take(browser, picture, pages)
        browser.close()


if __name__ == "__main__":
    main()
