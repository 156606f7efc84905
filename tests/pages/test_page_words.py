"""No page judges a place or a find in any word that a person reads of it."""

from __future__ import annotations

import re
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Literal

import pytest

from sitebook.pages.calendar import draw_calendar
from sitebook.pages.entry_sheet import draw_entry_sheet
from sitebook.pages.fruiting import draw_fruiting
from sitebook.pages.map import draw_map
from sitebook.pages.pack import draw_pack
from sitebook.pages.pack_paper import draw_paper
from sitebook.pages.pack_tags import draw_tags
from sitebook.pages.tree_years import draw_tree
from tests.house import judging_words
from tests.pages import (
    contamination_pages,
    sample_fruiting,
    sample_map,
    sample_pack,
    sample_sheet,
    sample_town,
    test_calendar,
    test_day_plan,
    test_held_out,
)

if TYPE_CHECKING:
    from collections.abc import Callable

PRAISE = re.compile(
    r"\b(?:pure|pristine|spotless|untainted|ok|okay|fine(?! (?:dust|scale))|all right|go ahead|no concern"
    r"|no danger|nothing to worry|acceptable|tolerable(?! (?:weekly|daily) intake)"
    r"|(?<!whether a find )may be eaten|can be (?:eaten|gathered|picked)(?! is a question))\b",
    re.IGNORECASE,
)
"""Words beside those of the house that would read as praise of a place or a find."""


def map_page() -> str:
    """Draw the map of the sample book."""
    return draw_map(sample_map.sample_map())


def calendar_page() -> str:
    """Draw the first, simple calendars of a sample book."""
    return draw_calendar(test_calendar.island(), title="Fruiting calendar", today=test_calendar.TODAY)


def fruiting_page(by: Literal["taxon", "spot"]) -> str:
    """Draw the calendars of the sample answers."""
    calendar = sample_fruiting.sample_calendar()
    today = sample_fruiting.TODAY
    return draw_fruiting(calendar, title="Fruiting calendar", today=today, poison_centre="", by=by)


def tree_page() -> str:
    """Draw the page of the sample tree."""
    return draw_tree(sample_fruiting.sample_tree(), title="Tree V01", poison_centre="")


def entry_sheet() -> str:
    """Draw the sample entry sheet."""
    return draw_entry_sheet(sample_sheet.sample_sheet())


def field_pack() -> str:
    """Draw the page of the sample day that is carried along."""
    day, sheet = sample_pack.sample_plan(), sample_pack.sample_day_sheet()
    return draw_pack(day, sheet, ground=sample_town.town())


def field_paper() -> str:
    """Draw the leaves of the sample day."""
    return draw_paper(sample_pack.sample_plan(), sample_pack.sample_day_sheet())


def field_tags() -> str:
    """Draw the tags of the sample day."""
    return draw_tags(sample_pack.sample_day_sheet(), on=sample_pack.ON)


PAGES: dict[str, Callable[[], str]] = {
    "map": map_page,
    "first calendar": calendar_page,
    "calendar by taxon": partial(fruiting_page, "taxon"),
    "calendar by spot": partial(fruiting_page, "spot"),
    "tree": tree_page,
    "held-out years": test_held_out.drawn,
    "entry sheet": entry_sheet,
    "field pack": field_pack,
    "field paper": field_paper,
    "field tags": field_tags,
    "planned day": test_day_plan.drawn,
    "review": contamination_pages.full_page,
    "bare review": contamination_pages.bare_page,
    "review without a map": contamination_pages.unknown_page,
    "all reviews": contamination_pages.all_page,
}


@pytest.mark.parametrize("name", PAGES)
def test_no_page_judges(name: str) -> None:
    texts = list(judging_words.of_html(Path(name), PAGES[name]()))
    assert len(texts) > 50
    assert not [(text.words, found.group()) for text in texts for found in PRAISE.finditer(text.words)]
    assert not [
        (text.words, found.group()) for text in texts for found in judging_words.JUDGING.finditer(text.words)
    ]


@pytest.mark.parametrize("said", ["This ground is pure.", "OK here", "It can be picked now", "all fine"])
def test_praise_is_found(said: str) -> None:
    assert PRAISE.search(said)
