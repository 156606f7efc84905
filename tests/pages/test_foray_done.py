"""The page of a day out that is over: its words, and how it stands in a browser."""

from __future__ import annotations

import datetime
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from sitebook.pages.foray_done import draw_foray_done
from sitebook.records.results.day_plan import ForayDone, Learned, StopDone
from sitebook.records.results.fruiting import Spot

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Page

HOURS = ("09:00", "16:00")
BIRCH, QUAY, FAR = Spot(1, None, "Birch row"), Spot(2, None, "Quay <Wood>"), Spot(3, None, "Far Wood")
STOPS = (
    StopDone(
        BIRCH, 1, "09:30", 40.0, 0.35, "09:42", 55.0, ("OV 12: Suillus luteus, 3 bodies",), 4, 3, "Later."
    ),
    StopDone(QUAY, None, "", None, None, "13:05", 20.0, (), 1, 1, "Not planned, visited all the same."),
    StopDone(FAR, 2, "14:30", 40.0, 0.004, "", None, (), 0, 0, "Planned, not visited."),
)
LEARNED = (
    Learned(
        "Suillus luteus", BIRCH, 0.08, 0.19, "Suillus luteus, Birch row: it was found; 8, 19.", "gut (memory)"
    ),
    Learned("Boletus edulis", QUAY, 0.05, 0.03, "Boletus edulis, Quay <Wood>: it was not seen; 5, 3."),
)


def sample() -> ForayDone:
    """Make up a day: one stop done, one not reached, one site that was not planned."""
    return ForayDone(
        foray_uuid="6d0a4c1e-0000-5000-8000-000000000000",
        on=datetime.date(2025, 10, 4),
        mode="bicycle",
        stops=STOPS,
        kilometres=8.24,
        planned_kilometres=6.0,
        finds=1,
        looks=5,
        looks_empty=4,
        hours_planned=7.0,
        hours_out=3.75,
        learned=LEARNED,
        waiting=("1 find has no name yet: sitebook due", "something without a command"),
    )


def test_a_day_nobody_went_on_says_so() -> None:
    stops = tuple(replace(stop, turn=1) for stop in STOPS[2:])
    none = replace(sample(), stops=stops, finds=0, looks=0, looks_empty=0, learned=(), waiting=())
    page = draw_foray_done(none, title="A day out", hours=HOURS)
    assert "1 stop planned; no visit of this day is in the book yet." in page
    assert "nothing was learned" in page
    assert "What still waits" not in page
    still = draw_foray_done(replace(sample(), learned=()), title="A day out", hours=HOURS)
    assert "moved no chance" in still


@pytest.mark.parametrize("width", [1280, 390])
def test_the_page_stands_at_both_widths(tmp_path: Path, browser_page: Page, width: int) -> None:
    file = tmp_path / "foray-private.html"
    file.write_text(draw_foray_done(sample(), title="A day out", hours=HOURS), encoding="utf-8")
    browser_page.set_viewport_size({"width": width, "height": 800})
    browser_page.goto(file.as_uri())
    assert browser_page.evaluate("document.documentElement.scrollWidth") <= width
    body = browser_page.locator("body").inner_text()
    for words in (
        "Saturday 4 October 2025, by bicycle",
        "1 of 2 planned stops visited, and 1 site that was not planned. 1 find; 5 looks, 4 of them empty.",
        "8.2 km by the track",
        "1 find has no name yet: sitebook due",
        "something without a command.",
        "OV 12: Suillus luteus, 3 bodies",
        "Quay <Wood>",
        "Chance planned for: under 1 %.",
        "Gut (memory).",
        "0 to 25 of 100 looks",
    ):
        assert words in body
    stops = browser_page.locator(".stop")
    assert stops.evaluate_all("found => found.map(one => one.className)") == [
        "stop done",
        "stop extra",
        "stop left",
    ]
    assert browser_page.locator(".strip .bar.planned").count() == 2
    strip, planned, gone = (
        browser_page.locator(f".stop.done {css}").bounding_box() for css in (".strip", ".planned", ".gone")
    )
    assert strip is not None
    assert planned is not None
    assert gone is not None
    assert planned["x"] < gone["x"]
    assert gone["x"] == pytest.approx(strip["x"] + strip["width"] * 42 / 420, abs=1.5)
    assert gone["width"] == pytest.approx(strip["width"] * 55 / 420, abs=1.5)
    browser_page.emulate_media(media="print")
    assert browser_page.locator(".finds").first.is_visible()
