"""Contamination pages of the samples, drawn once for all tests."""

from __future__ import annotations

import dataclasses
import re
from dataclasses import replace
from functools import cache

from sitebook.pages.contamination import draw_review
from sitebook.pages.contamination_all import draw_all
from sitebook.records.results.review import PlaceReview
from tests.pages import sample_paper
from tests.pages import sample_review as sample

TITLE = "Contamination review"


@cache
def full_page() -> str:
    """Draw the review in which nothing is empty, with both sheets."""
    return draw_review(
        sample.full_review(),
        title=TITLE,
        today=sample.TODAY,
        plan=sample_paper.plan(),
        questions=sample_paper.manager_sheet(),
        poison_centre="+44 1632 960 000",
    )


@cache
def bare_page() -> str:
    """Draw the review of a place with nothing near it."""
    return draw_review(sample.bare_review(), title=TITLE, today=sample.TODAY)


@cache
def unknown_page() -> str:
    """Draw the review of a place that no map covers."""
    return draw_review(sample.unknown_review(), title=TITLE, today=sample.TODAY)


@cache
def all_page() -> str:
    """Draw the reviews of a whole book."""
    return draw_all(sample.island_reviews(), title="Contamination of all sites", today=sample.TODAY)


@cache
def few_page() -> str:
    """Draw the two short reviews on one page."""
    few = (sample.bare_review(), sample.unknown_review())
    return draw_all(few, title="Contamination of all sites", today=sample.TODAY)


def main_part(page: str) -> str:
    """Cut out what a page puts into its frame."""
    found = re.search(r"<main[^>]*>(.*)</main>", page, re.DOTALL)
    assert found is not None
    return found.group(1).strip() + "\n"


def spoilt(review: PlaceReview, tail: str) -> PlaceReview:
    """Hang a piece of text onto every text within a review, as a stranger's data may hold it."""
    changed = _spoilt(review, tail)
    assert isinstance(changed, PlaceReview)
    return replace(changed, sources=tuple(replace(road, kind="road") for road in changed.sources))


def _spoilt(value: object, tail: str) -> object:
    if isinstance(value, str):
        return value + tail
    if isinstance(value, tuple):
        return tuple(_spoilt(part, tail) for part in value)
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        named = {f.name: _spoilt(getattr(value, f.name), tail) for f in dataclasses.fields(value)}
        return replace(value, **named)
    return value
