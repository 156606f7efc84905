"""Names what is likeliest to be met in the week of a day, over all rows of a calendar."""

from __future__ import annotations

import datetime
from collections.abc import Sequence

from sitebook.citations import Cited
from sitebook.pages.calendar_words import of_ten
from sitebook.records.results.fruiting import FruitingRow, TaxonSeason

SHOWN = Cited(5.0, "taxa", "ours", "our choice")
"""Taxa named as likeliest."""
SHOWN_FROM = Cited(0.1, "1", "ours", "our choice")
"""And the least chance from which one is named."""


def likeliest_now(taxa: Sequence[TaxonSeason], today: datetime.date) -> list[tuple[str, str]]:
    """Give the likeliest taxa of this week, each with its likeliest place in words.

    Parameters
    ----------
    taxa
        What is known of each taxon.
    today
        Day whose week is meant.
    """
    at = today.isocalendar().week - 1
    best = [(_best(one, at), one.taxon_name) for one in taxa if one.sites or one.trees]
    best.sort(key=lambda pair: (-pair[0].weeks[at].chance.chance, pair[1]))
    enough = [pair for pair in best if pair[0].weeks[at].chance.chance >= SHOWN_FROM.value]
    return [
        (name, f"{of_ten(row.weeks[at].chance.chance)} of 10 at {row.spot.where}")
        for row, name in enough[: round(SHOWN.value)]
    ]


def _best(one: TaxonSeason, at: int) -> FruitingRow:
    return max((*one.trees, *one.sites), key=lambda row: row.weeks[at].chance.chance)
