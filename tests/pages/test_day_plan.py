"""The page of a planned day: what it says, and how it stands in a browser and on paper."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from sitebook.pages.day_photos import BUDGET_BYTES, photos_of
from sitebook.pages.day_plan import draw_day_plan
from sitebook.records.results.map_view import GroundMap
from sitebook.records.results.route import Bound, Route, RunnerUp
from tests.pages import sample_day
from tests.pages.sample_town import town

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Page

    from sitebook.records.results.day_plan import DayPlan


def drawn(plan: DayPlan | None = None, ground: GroundMap | None = None) -> str:
    """Draw the sample day."""
    day = plan or sample_day.sample_day()
    below = town() if ground is None else ground
    return draw_day_plan(
        day, title="The day", ground=below, poison_centre="+00 112", link_photo=lambda _: sample_day.PIXEL
    )


def words(html: str) -> str:
    """Give what stands on a page without its elements."""
    return " ".join(re.sub(r"<[^>]+>", " ", html.split("</style>")[1]).split())


def test_the_page_says_the_day_in_order() -> None:
    said = words(drawn())
    assert "3 stops, 1 of them only to look, from 09:00, back at 12:45; asked for by 13:00." in said
    assert "Saturday 4 October 2025, by car" in said
    assert "Proved best" in said
    assert (
        "1 Ridge Wood Gather . Way there: 20 min, 1.1 km by car, 1.0 km on foot. 09:21 09:21 10:01 40 min"
        in said
    )
    assert "then wait 10 min. 10:21 10:30 11:10 40 min" in said
    assert "Look only : Class 3: the ground beside the road." in said
    assert "on a part of it no way is mapped. arrive at 12:45" in said


def test_the_page_says_what_is_to_be_heeded() -> None:
    said = words(drawn())
    assert "40 % (13 to 80 %)" in said
    assert "20 % for a worthwhile find" in said
    assert "under 1 % (under 1 % to 1 %)" in said
    assert "Picked on 2025-09-28; 40 % of a full crop may stand again." in said
    assert "Only to look: protected by law" in said
    assert "never a complete list" in said
    assert (
        "Omphalotus olearius , Omphalotus illudens poisonous Blunt forked ridges in Cantharellus. memory"
        in said
    )
    assert "Galerina marginata deadly Print white in Flammulina, rusty brown in Galerina." in said
    assert "Poisoning class noted for this name: deadly (memory)." in said
    assert "Permission: Nobody was asked yet." in said
    assert said.count("Nobody was asked yet whether") == 0
    assert "1.5 kg left." in said
    assert "Poison centre: +00 112." in said


def test_the_page_says_what_else_the_day_might_be() -> None:
    said = words(drawn())
    assert "Without Charcoal &lt;Wood&gt; and Bell Park; with Links." in said
    assert "0.80, 80 % of this day" in said
    assert "34 min longer, 12 min past the end." in said
    assert "No place in this order: the hours of a stop forbid it." in said
    assert "No permission that holds on this day Old Yard : Parish: closed to gathering." in said
    assert "Resting Spruce wood : Resting until 2027-08-31." in said


def test_a_day_that_is_not_proved_says_how_much_may_be_missing() -> None:
    day = sample_day.sample_day()
    loose = replace(day.plan, proved=False, bound=Bound(1.25, "fractional knapsack"), method="search")
    said = words(drawn(replace(day, plan=loose)))
    assert "No choice of stops can be worth more than 1.25, and this one is worth 1.00: at most 20 %" in said
    assert "The limit: fractional knapsack." in said


def test_a_day_without_stops_or_map_is_drawn_all_the_same() -> None:
    day = sample_day.sample_day()
    none = replace(
        day.plan, route=Route((), 0.0, 540.0, 540.0, 0.0, 0.0, 0.0), runners_up=(), alternatives=()
    )
    said = words(drawn(replace(day, plan=none, legs=(), excluded=(), limits=()), GroundMap()))
    assert "No stop is planned" in said
    assert "No map data on the darker ground" in said
    assert "No rule leaves out a place" in said
    assert "names a limit, as far as the book knows" in said


def test_a_runner_up_of_no_worth_is_not_told() -> None:
    day = sample_day.sample_day()
    worthless = replace(day.plan, runners_up=(RunnerUp("key-5", 0.0, 3.0, 0.0),))
    assert "what each would cost" not in drawn(replace(day, plan=worthless))


def test_photos_stay_within_their_budget_and_the_rest_is_counted() -> None:
    half = "x" * int(BUDGET_BYTES.value * 0.4)
    page = photos_of(sample_day.TREES, lambda _: half)
    assert list(page.addresses) == ["a" * 64, "c" * 64]
    assert page.of(sample_day.TREES[0]) == [half]
    assert page.said.startswith("1 of 3 photos")
    assert not photos_of(sample_day.TREES, lambda _: "data:").said


@pytest.mark.parametrize("width", [1280, 390])
def test_the_page_stands_in_a_browser(tmp_path: Path, browser_page: Page, width: int) -> None:
    file = tmp_path / "plan-private.html"
    file.write_text(drawn(), encoding="utf-8")
    browser_page.set_viewport_size({"width": width, "height": 800})
    browser_page.goto(file.as_uri())
    assert browser_page.evaluate("document.documentElement.scrollWidth") <= width
    is_wide = width > 640
    signs, hidden = (".for-wide", ".for-narrow") if is_wide else (".for-narrow", ".for-wide")
    assert browser_page.locator(f".day-map {signs}").first.is_visible()
    assert not browser_page.locator(f".day-map {hidden}").first.is_visible()
    pins = browser_page.locator(f"{signs} a .sign")
    assert pins.all_text_contents() == ["1", "2", "3", "a"]
    boxes = [pin.bounding_box() for pin in browser_page.locator(f"{signs} .pin").all()]
    frame = browser_page.locator(".day-map").first.bounding_box()
    assert frame is not None
    assert all(
        b and frame["x"] <= b["x"] and b["x"] + b["width"] <= frame["x"] + frame["width"] for b in boxes
    )
    small = [
        t for t in browser_page.locator(f"{signs} .name").all() if (b := t.bounding_box()) and b["height"] < 9
    ]
    assert not small
    assert browser_page.locator(".photos img").count() == 3
    assert browser_page.locator(".stop").count() == 3
    assert browser_page.locator(".stop-map").count() == 1
    if not is_wide:
        before = frame["width"]
        browser_page.locator("label[for=larger-map]").click()
        larger = browser_page.locator(".day-map").first.bounding_box()
        assert larger is not None
        assert larger["width"] > 2 * before
        assert browser_page.evaluate("document.documentElement.scrollWidth") <= width


def test_the_page_prints_on_a4(tmp_path: Path, browser_page: Page) -> None:
    file = tmp_path / "plan-private.html"
    file.write_text(drawn(), encoding="utf-8")
    browser_page.goto(file.as_uri())
    sheets = re.findall(rb"/Type /Page\b", browser_page.pdf(format="A4"))
    assert 3 <= len(sheets) <= 7
    browser_page.set_viewport_size({"width": 703, "height": 1031})
    browser_page.emulate_media(media="print")
    assert browser_page.evaluate("document.documentElement.scrollWidth") <= 703
    assert not browser_page.locator("label[for=larger-map]").is_visible()
    wide = browser_page.locator(".for-wide").first
    assert wide.is_visible()
