"""Draws the usual year of the taxa of each site as the records of the map show it."""

from __future__ import annotations

import datetime
from collections import defaultdict
from dataclasses import dataclass

from markupsafe import Markup

from sitebook.pages.fruiting_grid import grid, is_still, week_row
from sitebook.pages.fruiting_weeks import by_cut
from sitebook.pages.fruiting_words import lasting_words, row_lines
from sitebook.records.results.fruiting import FruitingCalendar, FruitingRow

MOST_TAXA = 12
"""Taxa drawn in the record of one site; the calendar page holds the others."""


@dataclass(frozen=True)
class SiteSeason:
    """The season of one site.

    Parameters
    ----------
    grids
        Taxa looked for there, by week; a half of the year without a look and under one of ten is left away.
    lasting
        A sentence for each fruit body there that stands for years.
    not_drawn
        Taxa without a look there, or beyond the most that a record holds.
    """

    grids: tuple[Markup, ...]
    lasting: tuple[str, ...]
    not_drawn: int


def site_seasons(fruiting: FruitingCalendar | None, today: datetime.date) -> dict[int, SiteSeason]:
    """Draw the season of each site, by its id.

    Parameters
    ----------
    fruiting
        What is known of each taxon; None for nothing.
    today
        Day whose week is outlined.
    """
    rows: dict[int, list[tuple[str, FruitingRow]]] = defaultdict(list)
    lasting: dict[int, list[str]] = defaultdict(list)
    for one in fruiting.taxa if fruiting else ():
        for row in one.sites:
            rows[row.spot.site_id or 0].append((one.taxon_name, row))
        for standing in one.lasting:
            lasting[standing.spot.site_id or 0].append(lasting_words(one.taxon_name, standing))
    return {key: _drawn(rows[key], lasting[key], today) for key in {*rows, *lasting}}


def _drawn(named: list[tuple[str, FruitingRow]], lasting: list[str], today: datetime.date) -> SiteSeason:
    """Draw the taxa that were looked for most."""
    looked = sorted((pair for pair in named if pair[1].looks), key=lambda pair: -pair[1].looks)
    shown = sorted(looked[:MOST_TAXA], key=lambda pair: pair[0].casefold())
    names = {id(row): name for name, row in shown}
    week = today.isocalendar().week
    grids = []
    for cut, rows in by_cut([row] for _, row in shown):
        drawn = [week_row(names[id(row)], row_lines(row, today), row, week, is_taxon=True) for row in rows]
        halves = [half for half in cut.halves if not is_still(rows, half)] or list(cut.halves)
        grids.append(grid(drawn, halves, week, wide=False))
    return SiteSeason(tuple(grids), tuple(lasting), len(named) - len(shown))
