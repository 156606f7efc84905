"""Sets presence-only records beside the outings on which they could have been made."""

from __future__ import annotations

import datetime
from collections.abc import Sequence

from sitebook.analysis.season import parameters


def looks_behind(
    records: Sequence[datetime.date], outings: Sequence[datetime.date]
) -> list[tuple[datetime.date, bool]]:
    """Give presence-only records as looks that found something, and outings as looks that did not.

    The share of finds among them says nothing of how often a look finds something, as nobody noted the
    empty looks, so that the model gives them a rate of their own; their dates say when, set beside the
    dates on which anybody was out at all. The outings taken are spread evenly over all of them in the
    order of the year, a fixed number for each record.

    Parameters
    ----------
    records
        Dates of the records.
    outings
        Dates of every outing, those of the records among them.

    Returns
    -------
    list of tuple
        Date, and whether something was found; empty where there are fewer outings than records and a few.

    References
    ----------
    Phillips et al. 2009, target-group background (memory). Number of outings a record: our choice.
    """
    wanted = round(parameters.value("background_outings")) * len(records)
    days = sorted(set(outings), key=lambda day: (day.month, day.day, day.year))
    if not records or len(days) < parameters.value("fewest_outings"):
        return []
    count = min(wanted, len(days))
    taken = [days[(2 * step + 1) * len(days) // (2 * count)] for step in range(count)]
    return [*((day, True) for day in sorted(records)), *((day, False) for day in taken)]
