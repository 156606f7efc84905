"""The contamination review of one place: kept page, order, words, empty parts and strange names."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from sitebook.pages import contamination_words as words
from sitebook.pages.contamination import draw_review, open_questions
from sitebook.records.results.contamination import Band
from sitebook.records.results.review import PlaceReview
from tests.house import judging_words
from tests.pages import sample_paper, sample_sources
from tests.pages import sample_review as sample
from tests.pages.contamination_pages import (
    TITLE,
    bare_page,
    few_page,
    full_page,
    main_part,
    spoilt,
    unknown_page,
)

KEPT = Path(__file__).parent / "kept"
KEPT_PAGES = {"contamination.html": full_page, "contamination_all.html": few_page}
TAGS = re.compile(r"<style>.*?</style>|<script.*?</script>|<[^>]*>", re.DOTALL)


def text_of(page: str) -> str:
    """Give what a page says, without its marks."""
    return re.sub(r"\s+", " ", TAGS.sub(" ", page))


@pytest.mark.parametrize("name", KEPT_PAGES)
def test_the_pages_are_the_kept_pages(name: str) -> None:
    kept = (KEPT / name).read_text(encoding="utf-8")
    assert main_part(KEPT_PAGES[name]()) == kept, f"compare with {name}, then write it anew"


def test_a_mean_is_written_with_its_spread_and_its_number_of_samples() -> None:
    (mean, *_) = sample.full_review().species[0].lines
    alone = replace(mean, value_text="2.08")
    assert words.species_value(alone) == "2.08 mg/kg dry, mean"
    assert words.species_value(replace(alone, spread=1.8, samples=3)) == (
        "2.08 ± 1.8 mg/kg dry, mean of 3 samples"
    )


def test_of_what_is_not_known_at_a_tree_the_first_is_said_and_the_rest_counted() -> None:
    tree = replace(sample.TREES[1], unknown=("roads: no map covers it",))
    assert words.not_known_at(tree) == "Not known: roads: no map covers it."
    more = replace(tree, unknown=(*tree.unknown, "sprayed?", "how old?"))
    assert words.not_known_at(more) == "Not known: roads: no map covers it; and 2 more things."


def test_somebody_may_know_of_a_spraying_only_what_is_a_question() -> None:
    told = sample_sources.SPRAYINGS[0]
    asked = replace(told, unknown=("Links: how much copper?", "Links: no half-life known"), whom="Mara Quill")
    assert (
        words.not_known_of(asked)
        == "Links: how much copper?; Links: no half-life known. May know: Mara Quill."
    )
    assert words.not_known_of(replace(asked, unknown=asked.unknown[1:])) == "Links: no half-life known."
    lawn = replace(asked, state="not known", unknown=("Links: sprayed? not known",), whom="the green keeper")
    assert words.not_known_of(lawn).endswith("May know: the green keeper.")


def test_parts_stand_in_the_order_of_their_weight() -> None:
    heads = [
        re.sub(r"<[^>]*>", "", head) for head in re.findall(r"<h2[^>]*>(.*?)</h2>", main_part(full_page()))
    ]
    assert heads == [
        "Measured by a laboratory",
        "Why this class",
        "Roads",
        "Other sources",
        "Sprayings",
        "What widens the range most",
        "Over the place",
        "Small map",
        "Across the nearest road",
        "Kinds of mushroom found here",
        "What studies say for and against reading much into a class",
        "Not known, and whom to ask",
        "What was looked for",
        "How a class comes about",
        "Sheet for the laboratory",
        "Questions for whoever manages the ground",
    ]
    assert main_part(full_page()).index("Class 3, could be 4, 2 things not known.") < main_part(
        full_page()
    ).index("Measured by a laboratory")


@pytest.mark.parametrize("page", [full_page(), bare_page(), unknown_page(), few_page()])
def test_what_must_always_be_said_is_said(page: str) -> None:
    said = text_of(page)
    assert "A laboratory test of the mushroom is the only measurement." in said
    assert words.CHOICE in said
    assert "no amount of metal" in said
    assert "1,000 m" in said
    for sentence in words.NOT_SAID:
        assert sentence in said


def test_empty_parts_say_that_they_are_empty() -> None:
    said = text_of(bare_page())
    for sentence in (
        words.NO_TEST,
        "Nothing that was looked for makes a class here.",
        "No mapped road with motor traffic within 1,000 m.",
        "No other source is mapped or told of",
        "Nobody told of a spraying near here. That is not the same as none",
        "No named find of this place is in the book",
        "Everything this review asks about was told or mapped. It asks about a few things only.",
    ):
        assert sentence in said
    assert "Small map" not in said
    assert "Sheet for the laboratory" not in said
    assert "Questions for whoever" not in said


def test_a_place_without_a_class_has_none_and_no_range() -> None:
    said = text_of(unknown_page())
    assert "Class not known, 2 things not known." in said
    assert "Without a class there is no range either" in said
    assert "No map covers the place, so roads are not known." in said
    assert "could be" not in said.split("How a class comes about")[0].lower()


def test_no_share_stands_where_lead_is_held_against_its_benchmark() -> None:
    rows = re.findall(r"<tr><th[^>]*>lead \(Pb\)</th><td[^>]*>child.*?</tr>", full_page(), re.DOTALL)
    assert len(rows) == 1
    assert "margin at least 14" in rows[0]
    assert "%" not in rows[0]


def test_mass_in_a_mushroom_is_told_of_tests_and_publications_alone() -> None:
    page = full_page()
    modelled = page[page.index(">Why this class</h2>") : page.index(">Kinds of mushroom found here</h2>")]
    said = text_of(modelled.replace("mg/kg dry soil", ""))
    assert "mg/kg" not in said
    assert "mg/kg" not in text_of(bare_page())


def test_an_element_is_never_said_to_go_and_a_word_of_never_needs_no_end() -> None:
    page = main_part(full_page())
    assert "An element: it does not decay, so all that settled may still be there." in page
    never = page[page.index("<b>Churchyard lawn</b>") : page.index(">What widens the range most<")]
    assert "Ended" not in never
    assert "was never sprayed" in never


@pytest.mark.parametrize("phrase", ["re-entry", "waiting time", "days after", "hazard quotient"])
def test_no_waiting_time_and_no_quotient(phrase: str) -> None:
    assert phrase not in text_of(full_page()).lower()


def test_pages_do_not_judge_and_speak_to_nobody_as_her() -> None:
    for page in (full_page(), bare_page(), unknown_page(), few_page()):
        assert not judging_words.judgements(judging_words.of_html(Path(__file__), page))
        assert not re.search(r"\b(?:she|hers?)\b", text_of(main_part(page)), re.IGNORECASE)


def test_strange_names_stay_text() -> None:
    tail = "<img src=x onerror=alert(1)>\"'&amp;</script>"
    page = draw_review(
        spoilt(sample.full_review(), tail),
        title=TITLE + tail,
        today=sample.TODAY,
        plan=sample_paper.plan(),
        questions=sample_paper.manager_sheet(),
    )
    assert "<img" not in page
    assert "</script>" not in page
    assert page.count("&lt;img src=x onerror=alert(1)&gt;") > 100
    assert not re.search(r'aria-label="[^"]*<', page)


def test_what_no_question_was_made_of_is_asked_all_the_same() -> None:
    review = sample.full_review()
    asked = open_questions(review)
    assert [question.what for question in asked][-1] == "the map ends 66 m to the south"
    assert set(review.unknown) <= {question.what for question in asked}
    assert len(asked) == 3


@pytest.mark.parametrize(
    ("place_class", "could_be", "said"),
    [(2, 3, "Class 2, could be 3"), (2, 2, "Class 2"), (4, None, "Class 4"), (None, None, "Class not known")],
)
def test_a_verdict_in_words(place_class: int | None, could_be: int | None, said: str) -> None:
    review = replace(sample.bare_review(), place_class=place_class, could_be=could_be)
    assert words.verdict(review) == said
    assert words.verdict(replace(review, unknown=("a",))) == f"{said}, 1 thing not known"


def test_each_class_has_its_rule_from_the_cited_tables() -> None:
    rules = dict(words.class_rules())
    assert list(rules) == ["4", "3", "2", "1", "0", "U"]
    assert rules["2"].startswith("index 0.05 or more; other sources 0.05 or more; drift of 0.1 %")
    assert "within 5 m of a motor road" in rules["2"]


def test_a_floor_and_a_term_that_does_not_weigh_are_told() -> None:
    term = replace(sample_sources.TERMS[0], weighs=False, value=Band(0.0, 0.0, 0.0))
    assert words.term_adds(term).startswith("not counted")
    assert words.floor_words(0, 0) == "none"
    assert words.floor_words(0, 2) == "class 0 at least, could be 2"


def test_a_page_of_a_place_far_south_and_west_writes_its_position() -> None:
    review = replace(sample.bare_review(), lon=179.5, lat=-41.25)
    assert words.place_words(review) == "41.25000° S, 179.50000° E"


def test_the_nearest_motor_road_is_nearest_by_its_edge() -> None:
    wide, narrow = sample_sources.ROADS
    review: PlaceReview = replace(
        sample.bare_review(), sources=(replace(wide, edge_m=9.0), replace(narrow, edge_m=3.0))
    )
    nearest = words.nearest_motor_road(review)
    assert nearest is not None
    assert nearest.edge_m == pytest.approx(3.0)
    assert words.nearest_motor_road(sample.bare_review()) is None


def test_analytes_of_one_source_and_reasons_of_many_are_told_once() -> None:
    said = text_of(full_page().split('id="sheet-laboratory"')[1])
    assert said.count("Through Road lies 15 m off.") == 1
    assert "arsenic (As): our choice." in said
    assert "cadmium (Cd): Kalač and Svoboda 2000 (kalac_svoboda2000) (confirmed)." in said


def test_a_long_reason_is_cut_at_a_word_and_a_map_says_when_it_saw() -> None:
    long = words.first_sentence("It lies " + "far " * 90 + "off. And more.")
    assert len(long) <= words.MOST_LETTERS + 2
    assert long.endswith("far …")
    assert words.first_sentence("roads: 0.42 (0.14 to 1.3). Most of it") == "Roads: 0.42 (0.14 to 1.3)."
    seen = replace(sample_sources.TERMS[1], source="map element way/7", since=sample.TODAY)
    assert words.term_days(seen) == "seen on the map of 2026-10-01"


def test_the_words_on_the_range_fit_whether_it_reaches_higher() -> None:
    review = sample.bare_review()
    assert words.range_of(review).startswith("No higher class is reached within the ranges")
    assert words.range_of(replace(review, could_be=1)).startswith("“Could be” is the highest class")
    assert words.range_of(replace(review, place_class=4, could_be=4)).startswith("No class is higher")


if __name__ == "__main__":
    for file_name, draw in KEPT_PAGES.items():
        (KEPT / file_name).write_text(main_part(draw()), encoding="utf-8")
