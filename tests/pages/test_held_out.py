"""The page of held-out years: what it says of chances and simpler ways, and how it stands in a browser."""

from __future__ import annotations

import datetime
import re
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from defusedxml import ElementTree

from sitebook.pages.held_out import draw_held_out
from sitebook.records.results.fruiting import SEASON_MODEL
from sitebook.records.results.held_out import Calibration, Gain, HeldOut, ToldShare, ToldYear

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Page

SHARES = (
    ToldShare(0.0, 0.05, 1200, 0.01, 0.008, 0.006, 0.012),
    ToldShare(0.2, 0.3, 90, 0.24, 0.08, 0.05, 0.12),
    ToldShare(0.5, 0.6, 7, 0.55, 0.9, 0.7, 0.98),
)
GAINS = (
    Gain("month histogram", 0.031, 0.012, 0.049, 1, 1),
    Gain("pooled ratio", -0.002, -0.009, 0.004, 3, 1),
    Gain("published calendar", -0.02, -0.03, -0.01, 4, 2),
)
YEARS = (ToldYear(2023, 1000, 30.4, 12), ToldYear(2024, 297, 7.5, 12))
TWO_YEARS = tuple(replace(gain, low=None, high=None, years_lost=1, years_lost_with_find=1) for gain in GAINS)
TOGETHER = "In held-out years the chances of these taxa came to 38 finds, and 24 came: they were too high."


def calibration() -> Calibration:
    """Make up two taxa, one of them told in a simpler way, and one that cannot be told."""
    first = HeldOut(
        taxon_id=1,
        taxon_name="Leccinum scabrum",
        southern=False,
        years=("2021", "2022", "2023", "2024", "2025"),
        years_with_find=4,
        looks=1000,
        looks_with_find=20,
        gains=GAINS,
        shares=SHARES,
        way=SEASON_MODEL,
        said="The season model is used.",
        way_by_every_year="published calendar",
    )
    second = replace(
        first,
        taxon_id=2,
        taxon_name="Flammulina velutipes",
        southern=True,
        years=("2023/24", "2024/25"),
        years_with_find=1,
        looks=297,
        looks_with_find=4,
        gains=TWO_YEARS,
        way="pooled ratio",
    )
    too_few = (("Boletus <edulis>", "looks of fewer than two years"),)
    return Calibration((first, second), SHARES, too_few, GAINS, 5, 4, TOGETHER, YEARS)


def drawn() -> str:
    """Draw the made-up answer."""
    today = datetime.date(2025, 11, 1)
    return draw_held_out(calibration(), title="Did the chances come true", today=today, poison_centre="")


PAGE = drawn()
SAID = " ".join(re.sub(r"<[^>]+>", " ", PAGE).split())


def test_each_chance_is_set_beside_what_came() -> None:
    assert "It rests on 1,297 looks, 24 of them with a find." in SAID
    assert TOGETHER in SAID
    assert "Of 90 looks given 20 to 30 of 100, 8.0 of 100 found something." in SAID
    assert "Of 1,200 looks given" not in SAID
    assert "Finds that came 2023 1,000 30 12 2024 297 8 12" in SAID
    assert "0 to 5 % 1,200 1.0 0.8 0.6 to 1.2 held" in SAID
    assert "20 to 30 % 90 24 8.0 5.0 to 12 was too high" in SAID
    assert "50 to 60 % 7 55 90 70 to 98 was too low" in SAID


def test_simpler_ways_are_told_in_years_and_with_their_intervals() -> None:
    histogram = (
        "Against the month histogram: the season model was nearer in 3 of 4 years with a find, 4 of all 5;"
    )
    assert (
        f"{histogram} over all looks it was nearer, by +3.10 (+1.20 to +4.90), and hardly by chance" in SAID
    )
    assert (
        "nearer in 3 of 4 years with a find, 2 of all 5; over all looks it was farther off, by "
        "\N{MINUS SIGN}0.20 (\N{MINUS SIGN}0.90 to +0.40), which may be chance, as 0 lies within." in SAID
    )
    assert (
        "nearer in 2 of 4 years with a find, 1 of all 5; over all looks it was farther off, by "
        "\N{MINUS SIGN}2.00 (\N{MINUS SIGN}3.00 to \N{MINUS SIGN}1.00), and hardly by chance, as 0" in SAID
    )
    assert "with fewer than 3 years, that may be chance" in SAID
    assert "month histogram +3.10 +1.20 to +4.90" in SAID
    assert "pooled ratio \N{MINUS SIGN}0.20 \N{MINUS SIGN}0.90 to +0.40" in SAID
    assert "too few years" in SAID
    assert "so it does for 1 of 2 taxa here" in SAID
    assert "a simpler way would be used for 2 of 2" in SAID
    assert "Boletus &lt;edulis&gt;" in PAGE


def test_the_drawing_puts_each_dot_over_what_was_told() -> None:
    found = re.search(r"<svg.*?</svg>", PAGE, re.DOTALL)
    assert found is not None
    svg = ElementTree.fromstring(found.group())
    dots = [(float(dot.get("cx", "")), float(dot.get("cy", ""))) for dot in svg.iter("circle")]
    (slant,) = re.findall(r"M([\d.]+) ([\d.]+)L([\d.]+) ([\d.]+)", found.group())
    left, bottom, right, top = map(float, slant)
    for (x, y), share in zip(dots, SHARES, strict=True):
        assert (x - left) / (right - left) == pytest.approx(share.told, abs=0.001)
        assert (bottom - y) / (bottom - top) == pytest.approx(share.seen, abs=0.001)


@pytest.mark.parametrize("width", [390, 1280])
def test_the_page_fits_and_breaks_no_word(browser_page: Page, tmp_path: Path, width: int) -> None:
    path = tmp_path / "page.html"
    path.write_text(PAGE, encoding="utf-8")
    browser_page.set_viewport_size({"width": width, "height": 800})
    browser_page.goto(path.as_uri())
    assert browser_page.evaluate("document.documentElement.scrollWidth") == width
    browser_page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true })")
    assert browser_page.evaluate("document.documentElement.scrollWidth") == width
    cells = browser_page.locator(".shares th, .shares td, .gains th, .gains td, .by-year th")
    assert cells.count() > 0
    wraps = cells.evaluate_all("all => all.map(cell => getComputedStyle(cell).overflowWrap)")
    assert set(wraps) == {"normal"}
    shares = browser_page.locator(".scroll-x:has(.shares)").first
    assert shares.evaluate("box => box.scrollWidth <= box.clientWidth")
    summary = browser_page.locator("summary").first.bounding_box()
    assert summary is not None
    assert summary["height"] >= 44
