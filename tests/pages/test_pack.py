"""Tests that the carried page, its tags and leaves hold the day, nothing but the day, and stay small."""

from __future__ import annotations

import dataclasses
import json
import re

import numpy as np
import pytest
import shapely

from sitebook.pages.pack import MOST_BYTES, SCRIPTS, draw_pack
from sitebook.pages.pack_map import pack_map, powers, sheet_of
from sitebook.pages.pack_names import gravity, look_alikes, on_paper
from sitebook.pages.pack_paper import draw_paper
from sitebook.pages.pack_tags import A_PAGE, draw_tags
from sitebook.pages.pack_words import BRIEF, briefly, heed_of, stops_in_words
from sitebook.records.results.day_plan import DayPlan, LookAlikeLine
from sitebook.records.results.map_view import GroundMap, GroundShape
from tests.pages.sample_pack import HIDDEN, ON, sample_day_sheet, sample_plan
from tests.pages.sample_sheet import LAWN, WOOD
from tests.pages.sample_town import at, town


def _data(html: str) -> dict[str, object]:
    found = re.search(r'id="page-data">(.*?)</script>', html, re.DOTALL)
    assert found is not None
    data = json.loads(found[1])
    assert isinstance(data, dict)
    return data


def test_the_page_holds_the_stops_of_the_day_and_no_other_place() -> None:
    html = draw_pack(sample_plan(), sample_day_sheet(), ground=town())
    assert HIDDEN not in html
    assert "<script>window.broken" not in html
    assert html.count("<script") == len(SCRIPTS) + 1
    sites = _data(html)["sites"]
    assert isinstance(sites, list)
    assert [site["name"] for site in sites] == [WOOD.name, LAWN.name]
    assert sites[0]["expected"] == ["77777777-7777-4777-8777-777777777777"]
    for words in (
        "09:22 to 10:02",
        "Tylopilus felleus",
        "pores turn pink",
        "owner&#39;s consent",
        "1.6 kg left",
    ):
        assert words in html
    assert _data(html)["revision"] == sample_day_sheet().revision


def test_a_stop_says_its_wait_and_that_it_is_only_looked_at() -> None:
    wood, lawn = stops_in_words(sample_plan())
    assert wood.times.startswith("09:22 to 10:02: 40 min,")
    assert "after a wait of 4 min, to look only" in lawn.times
    assert lawn.heed[0].startswith("Only to look")
    (boletus,) = look_alikes(sample_plan())
    assert [line.name for line in boletus.lines] == ["Tylopilus felleus", "Rubroboletus satanas"]


@pytest.mark.parametrize("said", ["Short.", "One sentence of some length. " * 20, "word " * 100])
def test_long_cautions_are_cut_at_a_word(said: str) -> None:
    brief = briefly(said)
    assert len(brief) <= BRIEF + 2
    assert brief == said or (brief.endswith(" …") and said.startswith(brief.removesuffix(" …")))


def test_short_cautions_of_one_giver_are_told_in_one() -> None:
    plan = sample_plan()
    cautions = (
        "Town parks: open 07:00 to 20:00.",
        "Orchard: " + "lead arsenate " * 20,
        "Town parks: cut, no raking.",
    )
    place = dataclasses.replace(plan.places[WOOD.uuid], cautions=cautions)
    parks, orchard = heed_of(place)
    assert parks == "Town parks: open 07:00 to 20:00; cut, no raking."
    assert orchard.startswith("Orchard: lead")
    assert orchard.endswith(" …")


def test_places_of_the_map_are_turned_into_positions_and_back() -> None:
    far = dataclasses.replace(sample_plan(), end=at(45_000, 20_000))
    for plan in (sample_plan(), far):
        sheet = sheet_of(plan)
        data = pack_map(plan, GroundMap()).data
        spots = np.array([plan.start, plan.end, *(place[:2] for place in _stops(plan))])
        scaled = (spots - data["middle"]) / data["half"]
        places = (_sum(data["to_places"], scaled) + 1.0) * np.array(data["size"]) / 2.0
        off_m = np.hypot(*(places - sheet.places(spots)).T) / data["units_per_m"]
        assert off_m.max() < 1.0
        back = _sum(data["to_degrees"], 2.0 * places / np.array(data["size"]) - 1.0)
        assert np.abs(back * data["half"] + data["middle"] - spots).max() < 2e-5


def _stops(plan: DayPlan) -> list[tuple[float, float]]:
    return [(plan.places[key].lon, plan.places[key].lat) for key in plan.plan.route.keys]


def _sum(fits: object, given: np.ndarray) -> np.ndarray:
    terms = np.column_stack([given[:, 0] ** i * given[:, 1] ** j for i, j in powers()])
    return terms @ np.asarray(fits, dtype=np.float64).T


def test_a_crowded_ground_is_drawn_coarser_and_the_page_stays_under_three_megabytes() -> None:
    rng = np.random.default_rng(1)
    starts = rng.uniform((-200, -200), (1600, 900), (4000, 2))
    ways = tuple(
        GroundShape("path", "", shapely.LineString([at(*start), at(*(start + step))]))
        for start, step in zip(starts, rng.uniform(-60, 60, (4000, 2)), strict=True)
    )
    ground = dataclasses.replace(town(), ways=ways)
    whole = pack_map(sample_plan(), ground)
    coarse = pack_map(sample_plan(), ground, most_bytes=100_000)
    assert len(coarse.svg) <= 100_000 < len(whole.svg)
    assert len(draw_pack(sample_plan(), sample_day_sheet(), ground=ground).encode("utf-8")) < MOST_BYTES


def test_there_is_a_tag_for_each_number_and_room_for_each_on_paper() -> None:
    sheet = dataclasses.replace(sample_day_sheet(), last_number=21 + A_PAGE)
    tags, paper = draw_tags(sheet, on=ON), draw_paper(sample_plan(), sheet)
    for html, opening in ((tags, "<h2>"), (paper, "<h3>")):
        assert [f"{opening}OV {number}</h" in html for number in (20, 21, 45, 46)] == [
            False,
            True,
            True,
            False,
        ]
    assert tags.count('class="tags"') == 2
    assert HIDDEN not in paper
    assert WOOD.name not in tags
    unnumbered = dataclasses.replace(sheet, first_number=None, last_number=None)
    assert draw_tags(unnumbered, on=ON).count("OV ____") == A_PAGE


def _dangerous_plan() -> DayPlan:
    """Give the sample day with a deadly name expected last, one of a small chance, and one protected."""
    plan = sample_plan()
    wood = plan.places[WOOD.uuid]
    (boletus,) = wood.expected
    deadly = "poisoning class noted for this name: deadly (memory)"
    small = dataclasses.replace(boletus.chance, chance=0.01)
    expected = (
        boletus,
        dataclasses.replace(
            boletus, taxon_id=2, taxon_name="Hericium", look_only="protected", look_alikes=()
        ),
        dataclasses.replace(boletus, taxon_id=3, taxon_name="Amanita phalloides", poisoning=deadly),
        dataclasses.replace(boletus, taxon_id=4, taxon_name="Galerina", poisoning=deadly, chance=small),
    )
    places = plan.places | {WOOD.uuid: dataclasses.replace(wood, expected=expected)}
    return dataclasses.replace(plan, places=places)


def test_page_and_paper_give_the_class_beside_each_name_and_never_keep_silent() -> None:
    plan = _dangerous_plan()
    page = draw_pack(plan, sample_day_sheet(), ground=town())
    paper = draw_paper(plan, sample_day_sheet())
    for html in (page, paper):
        for name in ("Amanita phalloides", "Galerina"):
            assert re.search(rf"<i>{name}</i>(</a>)? <b>\(deadly, from memory\)</b>", html), name
        assert "never a complete list" in html
        assert "says nothing of what it does to whoever eats it" in html
        assert "That does not mean that there is none" in html
        assert "Rubroboletus satanas" in html
        assert "protected" in html
    assert page.count(">look-alikes</a>") == 3
    assert _data(page)["alikes"]["Hericium"] == []  # type: ignore[index]
    stop = paper[paper.index(WOOD.name) :]
    assert stop.index("Amanita phalloides") < stop.index("Boletus edulis") < stop.index("Hericium")
    assert "42\u00a0% (21 to" in paper


def test_paper_tells_the_gravest_look_alikes_first_and_none_without_its_danger() -> None:
    (one, *_) = look_alikes(sample_plan())
    deadly = LookAlikeLine("Amanita virosa", "deadly", "White print.", "memory")
    unknown = LookAlikeLine("Boletus", "", "", "memory")
    (told,) = on_paper([dataclasses.replace(one, lines=(*one.lines, deadly, unknown))])
    assert [names for names, _, _ in told.grave] == [("Amanita virosa",), ("Rubroboletus satanas",)]
    assert told.others == (
        (("Tylopilus felleus",), "unpleasant"),
        (("Boletus",), "what it can do is not noted"),
    )
    assert [gravity(said) for said in ("deadly, raw", "poisonous", "conditional", "")] == [0, 1, 2, 3]


def test_what_became_of_stops_is_told_before_any_stop() -> None:
    said = "No longer to be gone to: Ash bank. Resting until 2026-12-31."
    page = draw_pack(sample_plan(), sample_day_sheet(), ground=town(), changed=(said,))
    paper = draw_paper(sample_plan(), sample_day_sheet(), changed=(said,))
    for html, opening in ((page, 'class="stop"'), (paper, 'class="paper-stop"')):
        assert html.count(said) == 1
        assert html.index(said) < html.index(opening)
    assert 'class="changed"' not in draw_paper(sample_plan(), sample_day_sheet())
