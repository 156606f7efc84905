"""The page of all reviews: its order, its budget, and strange or missing data."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from sitebook.pages.contamination_all import draw_all
from sitebook.pages.contamination_measured import measured_of
from sitebook.records.results.test_reading import TestReading
from tests.house import judging_words
from tests.pages import sample_review as sample
from tests.pages.contamination_pages import all_page, main_part, spoilt
from tests.pages.sample_readings import mushroom_test, soil_test

TITLE = "Contamination of all sites"


def names(page: str) -> list[str]:
    """Give the sites in the order of the table."""
    rows = re.findall(r'<th scope="row">(?:<a[^>]*>)?(.*?)(?:</a>)?</th>\n<td data-head="Measured"', page)
    return [str(row) for row in rows]


def anchors(page: str) -> list[str]:
    return re.findall(r'<section id="((?:site|place)-\d+)"', page)


def test_the_worst_comes_first_and_not_known_never_behind_class_0() -> None:
    assert names(all_page()) == [
        "Market limes",
        "Rector&#39;s Garth &lt;lower &amp; upper&gt;",
        "Station bank",
        "School lawn",
        "Bell Park, oaks",
        "Far point",
        "Ridge birches",
    ]


def _soil_above(times: float) -> TestReading:
    """Give the soil test of the sample, its result so many times the value it is held against."""
    test = soil_test()
    (lead,) = test.results
    (held,) = lead.comparisons
    relation = "above" if times > 1.0 else "at or below"
    held = replace(held, result=times * held.value, relation=relation)
    return replace(test, results=(replace(lead, comparisons=(held,)),))


def test_what_was_measured_above_a_value_comes_before_every_class() -> None:
    reviews = [
        replace(review, tests=(_soil_above(1.4),) if review.name == "Ridge birches" else ())
        for review in sample.island_reviews()
    ]
    page = draw_all(reviews, title=TITLE, today=sample.TODAY)
    assert names(page)[:2] == ["Ridge birches", "Market limes"]
    assert "soil, 2026-04-14: lead (Pb) 145 mg/kg dry; above in 1 of 1 comparison<" in page
    below = [replace(r, tests=(_soil_above(0.7),) if r.tests else ()) for r in reviews]
    assert names(draw_all(below, title=TITLE, today=sample.TODAY)) == names(all_page())


def test_intakes_above_their_value_count_and_upper_ends_do_not() -> None:
    (cadmium,) = mushroom_test().results[:1]
    (adult, *_) = cadmium.intakes
    over = replace(adult, share_percent=140.0)
    lead = replace(adult, share_percent=None, margin=0.6)
    test = replace(mushroom_test(), results=(replace(cadmium, comparisons=(), intakes=(over, lead)),))
    assert measured_of((test,)).above == 2
    upper = replace(over, at_most=True)
    test = replace(test, results=(replace(cadmium, comparisons=(), intakes=(upper,)),))
    assert measured_of((test, _soil_above(0.5))).above == 0
    assert measured_of((test, _soil_above(0.5))).words.endswith("; 1 more test")
    assert measured_of(()).words == "not measured"


def test_each_line_leads_to_its_review_and_each_id_is_there_once() -> None:
    page = all_page()
    ids = re.findall(r'\sid="([^"]+)"', page)
    assert len(ids) == len(set(ids))
    targets = set(re.findall(r'href="#([^"]+)"', page))
    assert targets <= set(ids)
    assert {"site-7", "site-1", "site-12"} <= set(anchors(page))


def test_beyond_the_budget_the_least_weighty_are_left_out_and_named() -> None:
    whole = len(all_page().encode())
    page = draw_all(sample.island_reviews(), title=TITLE, today=sample.TODAY, most_bytes=whole // 2)
    kept = anchors(page)
    assert 0 < len(kept) < 7
    assert kept == anchors(all_page())[: len(kept)]
    assert len(page.encode()) <= whole // 2
    assert f"the full reviews of {7 - len(kept)} sites are left out" in page
    assert len(names(page)) == 7
    assert "Ridge birches" in page.split("are left out")[1].split("</p>")[0]


@pytest.mark.parametrize("number", [1, 400])
def test_the_budget_holds_for_one_and_for_hundreds(number: int) -> None:
    full = sample.full_review()
    many = [replace(full, name=f"Site {i}", site_id=i, lon=full.lon + 0.0001 * i) for i in range(number)]
    page = draw_all(many, title=TITLE, today=sample.TODAY, most_bytes=1_000_000)
    assert len(page.encode()) <= 1_000_000
    assert len(names(page)) == number
    assert "left out" in page if number > 1 else "are left out" not in page


def test_two_reviews_of_one_id_and_reviews_without_one_have_anchors_of_their_own() -> None:
    one = sample.bare_review()
    page = draw_all(
        [one, replace(one, name="b"), replace(one, name="c", site_id=None)], title=TITLE, today=sample.TODAY
    )
    assert sorted(anchors(page)) == ["place-1", "place-2", "place-3"]


def test_a_book_without_sites_says_so() -> None:
    page = draw_all([], title=TITLE, today=sample.TODAY)
    assert "The book holds no site yet." in page
    assert "0 sites" in page


def test_strange_names_stay_text() -> None:
    tail = "<img src=x onerror=alert(1)>\"'&amp;</script>"
    page = draw_all([spoilt(sample.full_review(), tail)], title=TITLE, today=sample.TODAY)
    assert "<img" not in page
    assert page.count("</script>") == 1


def test_the_page_does_not_judge() -> None:
    assert not judging_words.judgements(judging_words.of_html(Path(__file__), all_page()))
    assert not re.search(r"\b(?:she|hers?)\b", main_part(all_page()), re.IGNORECASE)
