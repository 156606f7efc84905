"""Draws collection tags to print and cut, one for each number that was set aside."""

from __future__ import annotations

import datetime
from collections.abc import Sequence

from sitebook.pages import frame
from sitebook.pages.entry_sheet import numbers_words, tag_labels
from sitebook.pages.own_parts import rendered, text_of
from sitebook.records.results.entry_sheet import EntrySheet

A_PAGE = 24
"""Tags on a sheet of A4: three across, eight down."""

LINES = ("Site", "Tree", "Name", "By")


def draw_tags(sheet: EntrySheet, *, on: datetime.date) -> str:
    """Draw a tag for each number of a sheet; one without numbers gives a page of tags to number by hand.

    Parameters
    ----------
    sheet
        Whose numbers.
    on
        Day they are meant for; it stands on each, to be struck out where it is another.
    """
    labels = tag_labels(sheet) or [f"{sheet.collector.initials} ____"] * A_PAGE
    return frame.page(
        title=f"Collection tags for {on.isoformat()}",
        subtitle=f"{sheet.title}; {numbers_words(sheet)}",
        body=rendered("pack_tags.html.j2", pages=in_heaps(labels, A_PAGE), lines=LINES, on=on.isoformat()),
        style=text_of("pack_tags.css"),
        private=False,
        poison_centre=sheet.poison_centre,
    )


def in_heaps(labels: Sequence[str], size: int) -> list[Sequence[str]]:
    """Part labels into heaps of a size; the last may be smaller."""
    return [labels[first : first + size] for first in range(0, len(labels), size)]
