"""The page of the last days' weather: what it says where nothing is known, and how it stands in a browser."""

from __future__ import annotations

import datetime
from typing import TYPE_CHECKING

import pytest

from sitebook.pages.weather import draw_weather
from sitebook.records.results.outlook import StationUsed
from sitebook.records.results.weather_view import WeatherDaySeen, WeatherEffect, WeatherSum, WeatherView

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Page

FIRST = datetime.date(2025, 8, 6)
STATION = StationUsed("VEN", "Vennarhaven Harbour", 342.0, -6.0, FIRST, "Weather of VEN, 342 m away.")


def view(*, known: bool) -> WeatherView:
    """Make up 60 days, measured or not."""
    days = tuple(
        WeatherDaySeen(
            FIRST + datetime.timedelta(days=at),
            float(at % 9) if known else None,
            8.0 if known else None,
            17.0 if known else None,
            False,  # noqa: FBT003
            0.3 if known else None,
            14.0 if known else None,
            2.0,
            0.5,
            15.0,
        )
        for at in range(60)
    )
    sums = (WeatherSum("water in the top soil", 30.0 if known else None, 50.0, "% of what it holds", ""),)
    effect = WeatherEffect(1, "Boletus edulis", 0.5, 0.3, 0.9, 12, mostly_assumed=False, said="less often.")
    return WeatherView(STATION, ("Birch row",), days, sums, (effect,) if known else (), "Usual.")


def test_nothing_is_said_of_weather_that_nobody_measured() -> None:
    page = draw_weather(view(known=False), title="Weather", poison_centre="")
    assert "The weather of these days is not known, so nothing can be said." in page
    assert "mostly assumed" not in page
    assert "<td>not known</td><td>50 % of what it holds</td>" in page
    assert "Boletus edulis" in draw_weather(view(known=True), title="Weather", poison_centre="")


@pytest.mark.parametrize("width", [1280, 390])
def test_the_page_stands_at_both_widths(tmp_path: Path, browser_page: Page, width: int) -> None:
    file = tmp_path / "weather-private.html"
    file.write_text(draw_weather(view(known=True), title="Weather", poison_centre=""), encoding="utf-8")
    browser_page.set_viewport_size({"width": width, "height": 800})
    browser_page.goto(file.as_uri())
    assert browser_page.evaluate("document.documentElement.scrollWidth") <= width
    seen = browser_page.locator(".drawing:visible svg")
    assert seen.count() == 3
    sizes = (
        "all => all.map(e => [e.getBoundingClientRect().right, "
        "e.getBoundingClientRect().width / e.viewBox.baseVal.width])"
    )
    for right, scale in seen.evaluate_all(sizes):
        assert right <= width
        assert scale * 13 >= 12.0
    words = "all => all.filter(e => e.scrollWidth > e.clientWidth + 1).length"
    assert browser_page.locator(".figures th, .figures td").evaluate_all(words) == 0
    assert browser_page.locator("summary").first.bounding_box()["height"] >= 44.0  # type: ignore[index]
