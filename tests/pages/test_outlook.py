"""The page of the coming days: what it says of closed days, and how it stands in a browser."""

from __future__ import annotations

import datetime
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from sitebook.pages.outlook import draw_outlook
from sitebook.pages.station_words import station_words, weather_lines
from sitebook.records.results.fruiting import SEASON_MODEL, Chance, Spot
from sitebook.records.results.outlook import DayChance, NotProposed, Outlook, OutlookRow, StationUsed

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Page

FRIDAY = datetime.date(2025, 10, 3)
SHUT = "Town of Vennarhaven, parks: closed on Sundays."
BIRCH, PINE = Spot(1, 4, "Birch row", "B1"), Spot(2, None, "Pine plantation")
STATION = StationUsed("VEN", "Vennarhaven Harbour", 342.0, -6.0, FRIDAY, "Weather of VEN, 342 m away.")


def sample() -> Outlook:
    """Make up two rows; the first would be highest on Sundays, when its place is closed."""
    dates = [FRIDAY + datetime.timedelta(days=ahead) for ahead in range(10)]
    birch = tuple(
        DayChance(day, Chance(0.9, 0.6, 0.98, mostly_from_books=False), 0, SHUT)
        if day.isoweekday() == 7
        else DayChance(day, Chance(0.4, 0.2, 0.6, mostly_from_books=False), 0)
        for day in dates
    )
    pine = tuple(DayChance(day, Chance(0.2, 0.02, 0.5, mostly_from_books=True), 3) for day in dates)
    rows = (
        OutlookRow(1, "Leccinum scabrum", BIRCH, birch, 14, 3, "Wetter than usual.", SEASON_MODEL),
        OutlookRow(2, "Amanita muscaria", PINE, pine, 1, 0, "", SEASON_MODEL, "nerves (memory)"),
    )
    rest = NotProposed(Spot(3, None, "Spruce wood"), "Resting until 2027-08-31.")
    return Outlook(dates[0], dates[-1], rows, {1: STATION}, (rest,), "38 finds were told, and 24 came.")


def test_the_best_day_is_one_on_which_the_place_is_not_closed() -> None:
    row = sample().rows[0]
    assert row.best.chance.chance == 0.4
    page = draw_outlook(sample(), title="The coming days", poison_centre="")
    assert "90" not in page.split("site by site")[1].split("</section>")[0]
    assert "Much the same on all open days: 40 of 100 looks (20 to 60)." in page
    assert page.index("How to read it") < page.index("Birch row")
    assert "Leccinum scabrum 40 of 100 at B1" in page


def test_a_place_closed_all_week_is_no_word_of_the_week() -> None:
    found = sample()
    shut = tuple(replace(day, closed=SHUT if at < 7 else "") for at, day in enumerate(found.rows[0].days))
    page = draw_outlook(
        replace(found, rows=(replace(found.rows[0], days=shut), found.rows[1])), title="x", poison_centre=""
    )
    week = page.split("The first seven days, site by site")[1].split("</section>")[0]
    assert "Birch row" not in week
    assert "Pine plantation" in week


@pytest.mark.parametrize(
    ("ahead_d", "said"),
    [
        (338, "No weather is known since 2024-11-08. All days here are taken as usual."),
        (20, "No weather is known since 2025-09-22. From then on usual weather is taken."),
        (3, "Weather is known to 2025-10-09; from then on usual weather is taken."),
        (None, "No weather is known. All days here are taken as usual."),
        (0, "The weather of all these days is known."),
    ],
)
def test_it_is_said_to_which_day_the_weather_is_known(ahead_d: int | None, said: str) -> None:
    days = tuple(replace(day, weather_ahead_d=ahead_d) for day in sample().rows[0].days)
    one = replace(sample(), rows=(replace(sample().rows[0], days=days),))
    assert said in draw_outlook(one, title="x", poison_centre="")


def test_a_station_that_speaks_for_several_sites_is_said_with_its_nearest_and_farthest() -> None:
    far = replace(
        STATION, distance_m=4120.0, said="Weather of St. V (VEN), 4.1 km away; known to 2025-10-03. Far."
    )
    assert weather_lines([far, STATION]) == [
        ("Weather of Vennarhaven Harbour (VEN), from 342 m to 4.1 km away; known to 2025-10-03. Far.", 2)
    ]
    assert weather_lines([STATION]) == [(STATION.said, 1)]
    assert "from 342 m (B) to 4.1 km (A) away" in station_words([far, STATION], ["A", "B"])
    none = StationUsed("", "", None, None, None, "No weather station of the book lies within 50 km.")
    assert weather_lines([none, none]) == [(none.said, 0)]


@pytest.mark.parametrize("width", [1280, 390])
def test_the_page_stands_at_both_widths(tmp_path: Path, browser_page: Page, width: int) -> None:
    file = tmp_path / "outlook-private.html"
    file.write_text(draw_outlook(sample(), title="The coming days", poison_centre=""), encoding="utf-8")
    browser_page.set_viewport_size({"width": width, "height": 800})
    browser_page.goto(file.as_uri())
    assert browser_page.evaluate("document.documentElement.scrollWidth") <= width
    first = browser_page.locator(".row").first
    assert first.locator(".day").count() == 10
    shut = first.locator(".day.shut")
    assert shut.count() == 2
    assert all("closed" in words for words in shut.all_inner_texts())
    assert SHUT in first.inner_text()
    assert "14 looks here so far, 3 found it" in first.inner_text()
    second = browser_page.locator(".row").nth(1)
    assert "little known yet" in second.inner_text()
    assert "1 look here so far, 0 found it" in second.inner_text()
    body = browser_page.locator("body").inner_text()
    assert "Spruce wood: Resting until 2027-08-31." in body
    assert "342 m away" in body
    assert "24 came" in body
