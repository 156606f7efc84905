"""The calendar page: its words, its strips, the kept page, and how it stands in a browser."""

from __future__ import annotations

import datetime
import math
import random
import re
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from defusedxml import ElementTree

from sitebook.analysis.season import baseline, circular
from sitebook.analysis.season.looks import LookRecord, PlacedFind
from sitebook.pages import calendar_strip, calendar_words
from sitebook.pages.calendar import draw_calendar, strip_svg
from sitebook.pages.palette import COLOURS, contrast
from sitebook.records.results.season import Calendar, CalendarRow, WeekChance

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

    from playwright.sync_api import Page

    from tests.conftest import BrowserLog

TODAY = datetime.date(2025, 9, 30)
SITES = {1: "Mill bank", 2: "Old orchard, Vennarhaven", 3: "Golf course, seventh fairway <east>"}
TAXA = {10: "Boletus edulis", 11: "Laetiporus sulphureus", 12: "Marasmius oreades"}
PEAKS = {10: 270, 11: 170, 12: 250}
KEPT = Path(__file__).parent / "kept" / "calendar.html"


def island() -> Calendar:
    """Make up five seasons of looks at three places."""
    deal = random.Random(48)  # noqa: S311 - invented data
    looks: list[LookRecord] = []
    finds: list[PlacedFind] = []
    for year in range(2021, 2026):
        for day in range(60, 340, 8):
            site = deal.choice([1, 1, 2, 2, 3])
            when = datetime.date(year, 1, 1) + datetime.timedelta(day + deal.randrange(6))
            for taxon, peak in PEAKS.items():
                found = deal.random() < 0.75 * math.exp(-(((day - peak) / 35.0) ** 2)) * (site != 3)
                minutes = deal.choice([None, 15.0, 30.0, 60.0])
                looks.append(
                    LookRecord(site, taxon, when, minutes, found, names_taxon=site == 3 and taxon == 12)
                )
                finds += [PlacedFind(site, taxon)] * found
    looks.append(LookRecord(1, 10, datetime.date(2025, 9, 20), 30.0, None))
    looks.append(LookRecord(1, 10, None, 30.0, found=False))
    return baseline.calendar(looks, finds, site_names=SITES, taxon_names=TAXA)


CALENDAR = island()
PAGE = draw_calendar(CALENDAR, title="Fruiting calendar", today=TODAY)


def main_part(page: str) -> str:
    """Cut out what the page puts into its frame."""
    found = re.search(r"<main[^>]*>(.*)</main>", page, re.DOTALL)
    assert found is not None
    return found.group(1).strip() + "\n"


def short_page() -> str:
    """Draw the rows of two fungi at three places."""
    rows = (*CALENDAR.rows[:1], *CALENDAR.rows[4:6])
    return draw_calendar(replace(CALENDAR, rows=rows), title="Fruiting calendar", today=TODAY)


def halves(row: CalendarRow, today: datetime.date = TODAY) -> list[Element]:
    return list(ElementTree.fromstring(strip_svg(row, today)))


def row_of_weeks(chances: list[float | None]) -> CalendarRow:
    weeks = []
    for at, chance in enumerate(chances):
        low, high = (None, None) if chance is None else (chance / 2, (1 + chance) / 2)
        weeks.append(WeekChance(at + 1, chance, low, high, 4.0))
    return CalendarRow(1, "Mill <bank>", 10, "Boletus edulis", tuple(weeks), 12, 3, 5, 0, 0)


def test_the_page_is_the_kept_page() -> None:
    assert main_part(short_page()) == KEPT.read_text(encoding="utf-8"), (
        f"compare with {KEPT.name}, then write it anew"
    )


def test_each_known_week_has_a_dot_and_a_bar_and_the_rest_is_hatched() -> None:
    row = row_of_weeks([0.5 if at % 3 else None for at in range(53)])
    dots = [circle for half in halves(row) for circle in half.iter("circle")]
    bars = [p.attrib["d"] for half in halves(row) for p in half.iter("path") if p.get("stroke-width") == "2"]
    assert len(dots) == 35
    assert "".join(bars).count("M") == 35
    assert not list(halves(row_of_weeks([None] * 53))[0].iter("circle"))


def test_a_dot_rises_and_grows_with_its_chance() -> None:
    row = row_of_weeks([at / 52 for at in range(53)])
    dots = [circle for half in halves(row) for circle in half.iter("circle")]
    heights, radii = ([float(dot.attrib[name]) for dot in dots] for name in ("cy", "r"))
    assert heights == sorted(heights, reverse=True)
    assert radii == sorted(radii)
    assert heights[0] - heights[-1] == pytest.approx(calendar_strip.PLOT, abs=0.1)
    assert 2 * radii[-1] < calendar_strip.CELL


def test_the_hatch_stays_within_its_weeks() -> None:
    row = row_of_weeks([None] * 5 + [0.5] * 48)
    (hatch,) = [
        p.attrib["d"]
        for p in halves(row)[0].iter("path")
        if p.get("stroke") == COLOURS["faded"] and p.get("stroke-width") == ".7"
    ]
    points = [(float(x), float(y)) for x, y in re.findall(r"[ML](\S+) ([\d.]+)", hatch)]
    assert min(x for x, _ in points) >= calendar_strip.LEFT
    assert max(x for x, _ in points) <= calendar_strip.LEFT + 5 * calendar_strip.CELL
    assert all(calendar_strip.TOP <= y <= calendar_strip.TOP + calendar_strip.PLOT for _, y in points)


@pytest.mark.parametrize("week", [1, 26, 27, 40, 53])
def test_this_week_is_outlined_once(week: int) -> None:
    today = datetime.date.fromisocalendar(2026, week, 3)
    texts = [text.text for half in halves(row_of_weeks([0.5] * 53), today) for text in half.iter("text")]
    assert texts.count("this week") == 1


@pytest.mark.source(
    item="",
    what="weight of a look at 6, 15 and 30 days, as the page words it",
    value="about 0.9, about 0.5, below 0.1",
    source="exp(20 (cos d - 1)) by hand",
    mark="computed",
)
def test_the_page_words_the_kernel_rightly() -> None:
    at = circular.day_angle([100], 365)
    days_off = {6: 0.9, 15: 0.5, 30: 0.1}
    weights = {
        days: float(
            baseline.chances(at, circular.day_angle([100 + days], 365), [30.0], [False], 0.0).weight[0]
        )
        for days in days_off
    }
    assert weights[6] == pytest.approx(0.9, abs=0.01)
    assert weights[15] == pytest.approx(0.5, abs=0.02)
    assert weights[30] < 0.1
    assert "nine tenths at six days, one half at fifteen, less than a tenth after a month" in PAGE


def test_names_are_escaped_and_the_strip_speaks() -> None:
    (said,) = re.findall(r'aria-label="([^"]*)"', strip_svg(row_of_weeks([0.42] * 53), TODAY))
    assert said.startswith("Boletus edulis, Mill &lt;bank&gt;. 12 looks, 3 found it; 5 finds in all.")
    assert "This week (40): 4 of 10 looks (bar 2 to 7)." in said


@pytest.mark.parametrize(
    ("chance", "said"),
    [(0.0, "under 1"), (0.04, "under 1"), (0.06, "1"), (0.5, "5"), (0.96, "over 9"), (1.0, "over 9")],
)
def test_a_chance_is_never_none_and_never_all(chance: float, said: str) -> None:
    assert calendar_words.of_ten(chance) == said


def test_words_of_a_row_without_finds_without_looks_and_with_looks_left_out() -> None:
    never = replace(row_of_weeks([0.1] * 53), looks_with_find=0, finds=0)
    assert calendar_words.row_in_words(never, TODAY)[1] == "Not found yet in any look that counts."
    unknown = row_of_weeks([None] * 53)
    assert calendar_words.row_in_words(unknown, TODAY) == [
        "This week (40): not enough known.",
        "No week of the year has enough looks.",
    ]
    one = replace(unknown, looks=0, looks_with_find=0, finds=1)
    assert calendar_words.counts_in_words(one) == "0 looks, none to count by; 1 find in all"
    left_out = replace(unknown, looks_minutes_assumed=2, looks_left_out=1, looks_undated=1)
    assert len(calendar_words.notes(left_out)) == 3


def test_numbers_choices_and_years_are_told() -> None:
    assert "From looks of 2021 to 2025" in PAGE
    assert "69 looks, 14 found it; 14 finds in all" in PAGE
    assert PAGE.count("(our choice)") == len(CALENDAR.choices)
    assert PAGE.count('<tr><th scope="row">') == 53 * len(CALENDAR.rows)


def test_a_calendar_of_nothing_says_so() -> None:
    page = draw_calendar(Calendar((), None, None), title="Fruiting calendar", today=TODAY)
    assert "there is no calendar to draw" in page
    assert "No looks that count yet" in page


def test_rows_left_out_of_a_large_page_are_counted() -> None:
    page = draw_calendar(CALENDAR, title="Fruiting calendar", today=TODAY, most_rows=3)
    assert page.count('class="strip"') == 3
    assert "4 more rows are left out" in page


def test_colours_of_the_strip_keep_seven_to_one() -> None:
    for ground in ("card", "sea-wash", "paper"):
        for colour in ("ink", "plum"):
            assert contrast(COLOURS[colour], COLOURS[ground]) >= 7.0
    for ground in ("card", "paper"):
        assert contrast(COLOURS["faded"], COLOURS[ground]) >= 7.0


@pytest.mark.parametrize("width", [1280, 390])
def test_the_page_in_a_browser(
    browser_page: Page, browser_log: BrowserLog, tmp_path: Path, width: int
) -> None:
    path = tmp_path / "calendar.html"
    path.write_text(PAGE, encoding="utf-8")
    browser_page.set_viewport_size({"width": width, "height": 844})
    browser_page.goto(path.as_uri())
    browser_page.locator("summary").first.click()
    assert browser_page.locator(".weeks tbody tr").first.is_visible()
    assert browser_page.evaluate("document.documentElement.scrollWidth") == width
    inside = "all => all.every(e => e.scrollWidth <= e.clientWidth)"
    assert browser_page.locator(".scroll-x").evaluate_all(inside)
    scale = f"all => Math.min(...all.map(e => e.getBoundingClientRect().width)) / {calendar_strip.WIDTH}"
    assert browser_page.locator(".strip svg").evaluate_all(scale) * calendar_strip.TEXT >= 12.0
    low = "all => Math.min(...all.map(e => e.getBoundingClientRect().height))"
    assert browser_page.locator("summary, .jump a").evaluate_all(low) >= 44.0
    assert browser_page.locator("script").count() == 0
    assert browser_log.requests == [path.as_uri()]


def test_the_page_on_paper(browser_page: Page, tmp_path: Path) -> None:
    path = tmp_path / "calendar.html"
    path.write_text(PAGE, encoding="utf-8")
    browser_page.set_viewport_size({"width": 703, "height": 1000})
    browser_page.goto(path.as_uri())
    browser_page.emulate_media(media="print")
    assert browser_page.evaluate("document.documentElement.scrollWidth") <= 703
    tops = "e => [...e.children].map(svg => svg.getBoundingClientRect().top)"
    first, second = browser_page.locator(".strip").first.evaluate(tops)
    assert first == second
    assert not browser_page.locator("summary").first.is_visible()
    assert browser_page.pdf(format="A4").startswith(b"%PDF")


if __name__ == "__main__":
    KEPT.write_text(main_part(short_page()), encoding="utf-8")
