"""Treats fruit bodies that stand for years: seen or not, without a season."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cache

from scipy import special

from sitebook.analysis.season.baseline import INTERVAL_LEVEL
from sitebook.analysis.season.spot_looks import SpotLook
from sitebook.citations import Cited
from sitebook.records.results.fruiting import Chance, LastingRow, Spot
from sitebook.reference import reader

EVERYWHERE_LOOKS = Cited(2.0, "looks", "ours", "our choice")
"""Made-up looks, seeing it as often as looks anywhere do, that every spot starts from."""
FEWEST_LOOKS = Cited(3.0, "looks", "ours", "our choice")
"""Looks below which a chance rests mostly on other spots."""


def is_lasting(scientific_name: str, *synonyms: str) -> bool:
    """Tell whether the fruit bodies of a taxon stand for years.

    Its name is looked for first, then its synonyms, then its genus, then the genera of its synonyms.
    """
    table, names = _table(), (scientific_name, *synonyms)
    keys = (*names, *(name.split(" ", 1)[0] for name in names))
    return next((table[key] for key in keys if key in table), False)


@cache
def _table() -> dict[str, bool]:
    return {row["taxon"]: row["lasts"] == "yes" for row in reader.rows("lasting_fruit_bodies")}


def lasting_rows(looks: Iterable[SpotLook], spots: Sequence[Spot]) -> tuple[LastingRow, ...]:
    """Say of each spot how often it was seen, and how likely the next look sees it.

    The chance is that of a beta law: the spot's own looks, on top of a few made-up ones that saw it as
    often as looks anywhere did. Nothing is said of the time of the year.

    Parameters
    ----------
    looks
        Looks of the taxon at any spot.
    spots
        Spots wanted, in the order of the answer.
    """
    made = [look for look in looks if look.found is not None and not look.effort_assumed]
    everywhere = (sum(bool(look.found) for look in made) + 0.5) / (len(made) + 1.0)
    return tuple(_row(spot, [look for look in made if _is_at(look, spot)], everywhere) for spot in spots)


def _is_at(look: SpotLook, spot: Spot) -> bool:
    if spot.tree_id is not None:
        return look.tree_id == spot.tree_id
    return look.site_id == spot.site_id


def _row(spot: Spot, own: Sequence[SpotLook], everywhere: float) -> LastingRow:
    seen = sum(bool(look.found) for look in own)
    first = seen + EVERYWHERE_LOOKS.value * everywhere
    second = len(own) - seen + EVERYWHERE_LOOKS.value * (1.0 - everywhere)
    tail = (1.0 - INTERVAL_LEVEL.value) / 2.0
    low = float(special.betaincinv(first, second, tail))
    high = float(special.betaincinv(first, second, 1.0 - tail))
    middle = first / (first + second)
    dates = sorted(look.local_date for look in own if look.local_date is not None)
    finds = sorted(look.local_date for look in own if look.local_date is not None and look.found)
    return LastingRow(
        spot,
        len(own),
        seen,
        finds[0] if finds else None,
        finds[-1] if finds else None,
        dates[-1] if dates else None,
        Chance(
            middle,
            min(low, middle),
            max(high, middle),
            len(own) < FEWEST_LOOKS.value,
        ),
    )
