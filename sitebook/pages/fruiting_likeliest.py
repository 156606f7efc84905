"""Names what is likeliest to be met in the week of a day, over all rows of a calendar."""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence

from sitebook.citations import Cited
from sitebook.pages.calendar_words import of_ten
from sitebook.pages.poison_words import in_short
from sitebook.records.results.fruiting import FruitingRow, TaxonSeason

SHOWN = Cited(5.0, "taxa", "ours", "our choice")
"""Taxa named as likeliest."""
SHOWN_FROM = Cited(0.1, "1", "ours", "our choice")
"""And the least chance from which one is named."""


def likeliest_now(
    taxa: Sequence[TaxonSeason], today: datetime.date, poisoning: Mapping[str, str]
) -> list[tuple[str, str, str]]:
    """Give the likeliest taxa of this week, each with the class noted for its name and its likeliest place.

    Parameters
    ----------
    taxa
        What is known of each taxon.
    today
        Day whose week is meant.
    poisoning
        What is noted of poisoning, by the name of the taxon.
    """
    at = today.isocalendar().week - 1
    best = [(row, one.taxon_name) for one in taxa if (row := _best(one, at)) is not None]
    best.sort(key=lambda pair: (-pair[0].weeks[at].chance.chance, pair[1]))
    enough = [pair for pair in best if pair[0].weeks[at].chance.chance >= SHOWN_FROM.value]
    return [
        (
            name,
            in_short(poisoning.get(name, "")),
            f"{of_ten(row.weeks[at].chance.chance)} of 10 at {_where(row)}",
        )
        for row, name in enough[: round(SHOWN.value)]
    ]


def _best(one: TaxonSeason, at: int) -> FruitingRow | None:
    """Give the likeliest row; a tree that stands no more is none."""
    rows = [row for row in (*one.sites, *one.trees) if not row.spot.gone]
    return max(rows, key=lambda row: row.weeks[at].chance.chance, default=None)


def _where(row: FruitingRow) -> str:
    return f"{row.at}, {row.spot.site_name}" if row.at else row.spot.where
