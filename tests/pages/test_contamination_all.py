"""The page of all reviews: its order, its budget, and strange or missing data."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from sitebook.pages.contamination_all import draw_all
from tests.house import judging_words
from tests.pages import sample_review as sample
from tests.pages.contamination_pages import all_page, main_part, spoilt

TITLE = "Contamination of all sites"


def names(page: str) -> list[str]:
    """Give the sites in the order of the table."""
    rows = re.findall(r'<th scope="row">(?:<a[^>]*>)?(.*?)(?:</a>)?</th>\n<td data-head="Class"', page)
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
