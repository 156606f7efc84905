"""The pages of fruiting calendars and of a tree: what they draw and say, and how they stand in a browser."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from sitebook.pages import fruiting_grid, fruiting_words
from sitebook.pages.calendar_words import MONTHS
from sitebook.pages.fruiting import MOST_ROWS, draw_fruiting
from sitebook.pages.fruiting_weeks import cut_from
from sitebook.pages.palette import COLOURS, contrast
from sitebook.pages.tree_years import draw_tree
from sitebook.records.results.fruiting import Chance, FruitingCalendar, FruitingRow, Spot
from tests.pages.sample_fruiting import HUMPS, TODAY, row, sample_calendar, sample_tree, season, spot
from tests.pages.test_calendar import main_part

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from tests.conftest import BrowserLog

CALENDAR = sample_calendar()
KEPT = Path(__file__).parent / "kept" / "fruiting.html"
BAD = "<script>window.broken=1</script>"


def drawn(calendar: FruitingCalendar = CALENDAR, **asked: object) -> str:
    """Draw the sample calendar."""
    return draw_fruiting(calendar, title="Fruiting calendar", today=TODAY, poison_centre="", **asked)  # type: ignore[arg-type]


PAGE = drawn()


def short_page() -> str:
    """Draw one winter species at two sites and one tree."""
    one = CALENDAR.taxa[0]
    assert one.taxon_name == "Flammulina velutipes"
    return drawn(replace(CALENDAR, taxa=(replace(one, sites=one.sites[:2], trees=one.trees[:1]),)))


def test_the_page_is_the_kept_page() -> None:
    assert main_part(short_page()) == KEPT.read_text(encoding="utf-8"), (
        f"compare with {KEPT.name}, then write it anew"
    )


@pytest.mark.parametrize("by", ["taxon", "spot"])
def test_a_name_with_a_poisoning_class_never_stands_without_it(by: str) -> None:
    noted = {"Leccinum scabrum": "poisoning class noted for this name: deadly (memory)"}
    own = [
        drawn(replace(CALENDAR, poisoning=noted), by=by),
        draw_tree(replace(sample_tree(), poisoning=noted), title="Tree V01", poison_centre=""),
    ]
    for page in own:
        text = re.sub(r"</?[a-z][^>]*>", "", page.split("<main")[-1])
        assert "Leccinum scabrum (deadly, from memory)" in text
        assert not re.search(r"Leccinum scabrum(?! \(deadly)", text)
        assert "Flammulina velutipes (" not in text


def halves_of(here: FruitingRow, this_week: int = 40) -> str:
    """Draw both halves of a row, from January."""
    return "".join(fruiting_grid.cells_svg(here.weeks, half, this_week) for half in cut_from(0).halves)


def test_a_number_is_of_ten_and_stands_in_its_week() -> None:
    here = row(spot(1), HUMPS["Leccinum scabrum"])
    for half in cut_from(0).halves:
        svg = fruiting_grid.cells_svg(here.weeks, half, 0)
        found: dict[float, int] = {}
        for places, digits in re.findall(r'x="([\d. ]+)" y="12.4">(\d+)<', svg):
            found |= dict(zip(map(float, places.split()), map(int, digits), strict=True))
        said = {
            fruiting_grid.CELL * (at + 0.5): min(9, round(10 * here.weeks[week - 1].chance.chance))
            for at, week in enumerate(half.weeks)
        }
        assert found == {x: number for x, number in said.items() if number}
        assert svg.count("V") >= len(half.weeks)


def test_weeks_from_books_are_hollow_and_dashed_and_weeks_from_looks_are_filled() -> None:
    books, looks = (row(spot(1), HUMPS["Leccinum scabrum"], looks=many) for many in (0, 40))
    dashed = 'stroke-dasharray="2 1.6"'
    assert dashed in halves_of(books)
    assert f'fill="{COLOURS["plum"]}" d=' not in halves_of(books)
    assert dashed not in halves_of(looks)
    assert f'fill="{COLOURS["plum"]}" d=' in halves_of(looks)


def test_each_bar_spans_its_interval() -> None:
    here = row(spot(1), HUMPS["Leccinum scabrum"])
    (bars,) = re.findall(
        r'stroke-width="4" d="([^"]+)"', fruiting_grid.cells_svg(here.weeks, cut_from(0).halves[0], 0)
    )
    spans = [(float(low), float(high)) for low, high in re.findall(r"M\S+ ([\d.]+)V([\d.]+)", bars)]
    plot = fruiting_grid.PLOT - 2.0
    for (low, high), week in zip(spans, here.weeks, strict=False):
        assert (low - high) / plot == pytest.approx(week.chance.high - week.chance.low, abs=0.02)


@pytest.mark.parametrize("quarter", range(4))
def test_this_week_is_outlined_once_in_every_row_and_axis(quarter: int) -> None:
    here = row(spot(1), HUMPS["Leccinum scabrum"])
    for week in (1, 13, 27, 40, 53):
        halves = cut_from(quarter).halves
        cells = "".join(fruiting_grid.cells_svg(here.weeks, half, week) for half in halves)
        axis = "".join(fruiting_grid.axis_svg(half, week) for half in halves)
        assert cells.count('stroke-width="1.8"') == 1
        assert axis.count(f">this week ({week})</text>") == 1


@pytest.mark.parametrize("quarter", range(4))
def test_every_month_is_named_once_and_where_a_half_begins_its_month_is(quarter: int) -> None:
    halves = cut_from(quarter).halves
    names = [
        re.findall(r'<text x="([\d.]+)" y="40">(\w+)<', fruiting_grid.axis_svg(half, 40)) for half in halves
    ]
    assert sorted(name for half in names for _, name in half) == sorted(MONTHS)
    assert all(float(half[0][0]) < 3 * fruiting_grid.CELL for half in names)


def test_a_calendar_of_finds_alone_warns_and_names_what_is_likeliest_now() -> None:
    one = replace(CALENDAR.taxa[0], told=replace(CALENDAR.taxa[0].told, looks=1, looks_with_find=1))
    page = drawn(replace(CALENDAR, taxa=(one,)))
    assert "This rests on 1 look that found it and none that did not. Expect much less." in page
    assert "Expect much less" not in PAGE
    assert "<b>Likeliest this week:</b>" in PAGE
    at = TODAY.isocalendar().week - 1
    best = max(
        (each.weeks[at].chance.chance, one.taxon_name)
        for one in CALENDAR.taxa
        for each in (*one.sites, *one.trees)
    )
    assert PAGE.index(f"<i>{best[1]}</i>") < PAGE.index("How to read it")
    assert "sitebook outlook" in PAGE


def test_the_legend_needs_no_statistics() -> None:
    assert "of ten such looks, about three would meet at least one, and seven would meet none" in PAGE
    assert "five of ten or more: a find is likely. Words go no further than likely, however high" in PAGE
    assert "Dashed numbers are never darkened." in PAGE
    assert "Of ten such bars about eight are meant to hold the right number" in PAGE
    assert "mostly from books" not in PAGE
    for word in ("very likely", "certain to", "probability", "posterior", "percentile", "confidence"):
        assert word not in PAGE


def test_seasons_are_told_with_their_intervals_and_both_of_two() -> None:
    said = " ".join(re.sub(r"<[^>]+>", " ", PAGE).split())
    assert (
        "Begins about 11 Nov (that day may lie from 30 Oct to 16 Nov); estimated from dates of finds" in said
    )
    assert "Highest about 4 Jan (that day may lie from 29 Dec to 10 Jan)" in said
    assert "First season" in said
    assert "Second season" in said
    assert "one find in twenty is to be expected before it" in said
    assert "No season stands out yet" in said


def test_what_it_rests_on_is_told() -> None:
    assert PAGE.count('<span class="mark">memory</span>') == 1
    assert "12 looks made of finds alone and of your outings behind them; nobody noted their effort." in PAGE
    assert "86 looks at all sites and trees together, 31 found it, of 2021 to 2026; 33 dated finds;" in PAGE
    assert "The season model is used" in PAGE
    none = replace(CALENDAR.taxa[0].told, looks=0, looks_with_find=0, first_year=None, last_year=None)
    page = drawn(replace(CALENDAR, taxa=(replace(CALENDAR.taxa[0], told=none),)))
    assert "No look counts yet, so all of it comes from books" in page
    assert "No looks that count yet; what is shown comes from books" in page


def test_a_southern_taxon_is_told_apart() -> None:
    both = (season(3, "Leccinum scabrum"), season(3, "Leccinum scabrum", southern=True))
    page = drawn(replace(CALENDAR, taxa=both))
    assert 'id="taxon-3"' in page
    assert 'id="taxon-3-south"' in page
    assert page.count("South of the equator: spring begins in September.") == 1


def test_a_fruit_body_that_stands_for_years_has_a_table_and_no_weeks() -> None:
    section = PAGE[PAGE.index('id="taxon-5"') :].split("</section>")[0]
    assert "They have no season: they are seen or not." in section
    assert "over 9 of 10 looks (9 to over 9) would see it" in section
    assert "weeks-grid" not in section
    assert "Way used" not in section


def test_taxa_of_a_site_stand_below_it_and_below_its_trees() -> None:
    page = drawn(by="spot")
    assert page.index(">Bell Park, oaks</h2>") < page.index(">Ridge birches</h2>")
    section = page[page.index('id="site-1"') :].split("</section>")[0]
    assert "Tree V01, Betula pendula" in section
    assert "Fomes fomentarius: V01" in section
    assert section.count('<b class="taxon-name">Flammulina velutipes</b>') == 6
    assert "Over all its sites" in page


def test_rows_left_out_are_counted_and_the_most_rows_stay_below_three_megabytes() -> None:
    assert "27 more rows are left out" in drawn(most_rows=11)
    many = tuple(
        row(Spot(number, None, f"Place {number}"), HUMPS["Marasmius oreades"], looks=8 + number % 20)
        for number in range(MOST_ROWS + 1)
    )
    page = drawn(replace(CALENDAR, taxa=(replace(CALENDAR.taxa[0], sites=many, trees=()),)))
    assert "1 more row is left out" in page
    assert len(page.encode()) < 3_000_000


def test_odd_names_stay_names_and_an_empty_calendar_says_so() -> None:
    one = replace(
        CALENDAR.taxa[0], taxon_name=BAD, sites=(row(Spot(1, None, BAD), HUMPS["Leccinum scabrum"]),)
    )
    assert BAD not in drawn(replace(CALENDAR, taxa=(one,)))
    assert "there is no calendar to draw" in drawn(FruitingCalendar((), TODAY))


@pytest.mark.parametrize(
    ("chance", "number"), [(0.0, 0), (0.049, 0), (0.06, 1), (0.3, 3), (0.97, 9), (1.0, 9)]
)
def test_no_number_promises_all(chance: float, number: int) -> None:
    assert fruiting_grid.tenths(chance) == number
    said = fruiting_words.chance_words(Chance(chance, chance / 2, chance, mostly_from_books=True))
    assert "little known yet" in said
    assert not said.startswith("10")


def test_a_tree_has_a_line_a_year_and_a_mark_a_look() -> None:
    page = draw_tree(sample_tree(), title="Tree V01", poison_centre="")
    assert "Betula pendula; Ridge birches; leaning; girth 140 cm on 2024-05-01" in page
    for label in ("2025/26", "2024/25", "2026", "2025", "2024"):
        assert f"<b>{label}</b>" in page
    assert page.count('r="4.4"') == 2 + sum(
        look.outcome in {"found", "not seen"}
        for one in sample_tree().taxa
        for year in one.years
        for look in year.looks
    )
    assert "Fomes fomentarius" in page
    assert "<td>2025/26</td><td>2026-01-09</td><td>found</td><td>30 minutes</td>" in page
    assert "<td>not noted</td>" in page
    for said in (
        "Promised and came.",
        "What it rests on",
        "Dark ground:",
        "Outlined column:",
    ):
        assert said in page


def test_colours_of_the_grid_keep_seven_to_one() -> None:
    for ink, ground in (("ink", "plum-wash"), ("ink", "card"), ("night-text", "plum"), ("faded", "card")):
        assert contrast(COLOURS[ink], COLOURS[ground]) >= 7.0


@pytest.mark.parametrize("width", [1280, 390])
def test_the_pages_in_a_browser(
    browser_page: Page, browser_log: BrowserLog, tmp_path: Path, width: int
) -> None:
    pages = {
        "taxon": PAGE,
        "spot": drawn(by="spot"),
        "tree": draw_tree(sample_tree(), title="V01", poison_centre=""),
    }
    browser_page.set_viewport_size({"width": width, "height": 844})
    for name, html in pages.items():
        path = tmp_path / f"{name}.html"
        path.write_text(html, encoding="utf-8")
        browser_page.goto(path.as_uri())
        browser_page.locator("summary").first.click()
        assert browser_page.locator(".weeks tbody tr").first.is_visible()
        assert browser_page.evaluate("document.documentElement.scrollWidth") == width
        scale = "all => Math.min(...all.map(e => e.getBoundingClientRect().width / e.viewBox.baseVal.width))"
        assert browser_page.locator(".cells svg").evaluate_all(scale) * fruiting_grid.TEXT >= 12.0
        low = "all => Math.min(...all.map(e => e.getBoundingClientRect().height))"
        assert browser_page.locator("summary, .jump a").evaluate_all(low) >= 44.0
        places = "e => [...e.querySelectorAll('.axis')].map(a => [a.offsetLeft, a.offsetTop])"
        (left, top), (other_left, other_top) = browser_page.locator(".weeks-grid").first.evaluate(places)
        assert (top == other_top and left < other_left) if width == 1280 else top < other_top
        if width == 1280:
            seam = (
                "e => [...e.querySelectorAll('.axis svg')].map(a => [a.viewBox.baseVal.width, "
                "a.getBoundingClientRect().left, a.getBoundingClientRect().right])"
            )
            first, second = browser_page.locator(".weeks-grid").first.evaluate(seam)
            assert first[2] == pytest.approx(second[1], abs=0.1)
            scales = [(right - left) / wide for wide, left, right in (first, second)]
            assert scales[0] == pytest.approx(scales[1], rel=0.005)
        assert browser_page.locator("script").count() == 0
    assert len(browser_log.requests) == len(pages)
    browser_page.emulate_media(media="print")
    browser_page.set_viewport_size({"width": 703, "height": 1000})
    assert browser_page.evaluate("document.documentElement.scrollWidth") <= 703
    (left, top), (other_left, other_top) = browser_page.locator(".weeks-grid").first.evaluate(places)
    assert top == other_top
    assert left < other_left


if __name__ == "__main__":
    KEPT.write_text(main_part(short_page()), encoding="utf-8")
