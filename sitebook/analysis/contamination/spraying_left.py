"""Says how much of each active substance of a spraying may be left in soil and on leaves."""

from __future__ import annotations

import dataclasses
import datetime
import math
from collections.abc import Iterator

from sitebook.analysis.contamination.decay import (
    BAND_FACTOR,
    WASHING_RAIN_MM,
    foliage_fraction,
    remaining_fraction,
    soil_residue_mg_kg,
)
from sitebook.analysis.contamination.spraying_ground import INJECTED, SPREAD_DRY
from sitebook.analysis.contamination.spraying_rate import brought_out_g_ha, rate_words
from sitebook.analysis.contamination.spraying_told import Days, RainSeen, Told, Washings, days_of, happened
from sitebook.citations import Cited
from sitebook.quantities import two_digits
from sitebook.records.results.contamination import Band
from sitebook.records.results.spray_term import ActiveLeft
from sitebook.records.spraying import SprayingActive
from sitebook.reference.substances import NOT_KNOWN, Substance, substance

SOURCES = {
    "swatplus_pesticides": "pesticide data of the SWAT+ model",
    "mkin_d24_2014": "five soils of the European assessment of 2,4-D, fitted here",
    "daisy_chemicals": "chemical files of the soil model Daisy",
    "gardner_branham2001": "Gardner and Branham 2001",
    "ppdb": "Pesticide Properties Database, from memory",
    "peryea_creger1994": "Peryea and Creger 1994",
    "handbook_unnamed": "a handbook, from memory",
    "not confirmed": "not confirmed in any source",
}
"""Sources of the table of substances, in words."""


@dataclasses.dataclass(frozen=True)
class _Since:
    """What passed since a spraying.

    Parameters
    ----------
    longest, shortest
        Days since the first and since the last day on which it may have been [d].
    washings
        How often rain washed the leaves.
    """

    longest: float
    shortest: float
    washings: Washings


def actives_left(told: Told, *, today: datetime.date, rain: RainSeen) -> tuple[ActiveLeft, ...]:
    """Say what may be left of each active, as a share of what was brought out.

    The later day of the spraying is taken, which leaves more; the earlier one widens the range. For more
    than one application the days between are not told, so all are taken as of that day.

    Parameters
    ----------
    told
        The spraying with its actives.
    today
        Day of the review.
    rain
        Rain by day.
    """
    days = days_of(told.spraying)
    past = happened(told.spraying, today) != "no"
    since = _since(days, today, rain) if past else None
    return tuple(_left(active, told, since, past=past) for active in told.standing_actives)


def settled(active: ActiveLeft, percent: Band) -> ActiveLeft:
    """Give what an active makes in the soil of a place on which a share of the rate settled."""
    if active.rate_g_ha is None or active.soil_left is None:
        return active
    left, rate_g_ha = active.soil_left, active.rate_g_ha
    shares = (
        percent.central / 100.0 * left.central,
        percent.low / 100.0 * left.low,
        percent.high / 100.0 * left.high,
    )
    return dataclasses.replace(
        active, soil_mg_kg=Band(*(float(soil_residue_mg_kg(rate_g_ha, share)) for share in shares))
    )


def range_of(known: Substance) -> tuple[float, float]:
    """Give the shortest and longest half-life in soil: a factor either way, wider where more was reported."""
    if known.soil_dt50 is None:
        return math.inf, math.inf
    central = known.soil_dt50.value
    low = known.soil_dt50_low.value if known.soil_dt50_low else central
    high = known.soil_dt50_high.value if known.soil_dt50_high else central
    return min(low, central / BAND_FACTOR.value), max(high, central * BAND_FACTOR.value)


def _since(days: Days, today: datetime.date, rain: RainSeen) -> _Since | None:
    washings = rain.washings(days, today)
    if days.last is None or washings is None:
        return None
    first = days.first or days.last
    return _Since(max((today - first).days, 0), max((today - days.last).days, 0), washings)


def _left(active: SprayingActive, told: Told, since: _Since | None, *, past: bool) -> ActiveLeft:
    known = substance(active.active)
    method = told.spraying.method
    shares: tuple[Band | None, Band | None] = (None, None)
    if known and method != INJECTED and past:
        on_leaves = None if method == SPREAD_DRY else _on_leaves(known, since)
        shares = _in_soil(known, since), on_leaves
    source = known and (known.soil_dt50.source_key if known.soil_dt50 else known.source_key)
    return ActiveLeft(
        active=active.active,
        element=known is not None and known.element,
        rate_g_ha=brought_out_g_ha(active, told.spraying.applications),
        rate_words=rate_words(active),
        soil_left=shares[0],
        soil_mg_kg=None,
        foliage_left=shares[1],
        said=" ".join(_sentences(known, method, since, past=past)),
        source=_cited(source, known) if known and source else "",
        mark=(known.soil_dt50.mark if known.soil_dt50 else known.mark) if known else "memory",
    )


def _in_soil(known: Substance, since: _Since | None) -> Band | None:
    if known.element:
        return Band(1.0, 1.0, 1.0)
    if since is None or known.soil_dt50 is None:
        return None
    shortest, longest = range_of(known)
    return Band(
        float(remaining_fraction(since.shortest, known.soil_dt50.value)),
        float(remaining_fraction(since.longest, shortest)),
        float(remaining_fraction(since.shortest, longest)),
    )


def _on_leaves(known: Substance, since: _Since | None) -> Band | None:
    if since is None or known.foliage_half_life is None or known.wash_off is None:
        return None
    half_life, taken, factor = known.foliage_half_life.value, known.wash_off.value, BAND_FACTOR.value
    least, most = since.washings
    return Band(
        float(foliage_fraction(since.shortest, half_life, least, taken)),
        float(foliage_fraction(since.longest, half_life / factor, most, taken)),
        float(foliage_fraction(since.shortest, half_life * factor, least, taken)),
    )


def _sentences(
    known: Substance | None, method: str | None, since: _Since | None, *, past: bool
) -> Iterator[str]:
    if known is None:
        yield f"{NOT_KNOWN.capitalize()}."
        return
    if method == INJECTED:
        yield "Put into the trunk: how long it stays in wood, leaves and litter is not known to the book."
        return
    if known.soil_dt50 is None:
        yield "An element or a salt of one: it does not decay. Reckoned as the substance named."
    else:
        yield _half_life_words(known, known.soil_dt50)
        if past and since is None:
            yield "How much is left cannot be told without a day on which it was done."
    if method == SPREAD_DRY:
        yield "Spread dry: what lies on leaves is not reckoned."
    else:
        yield from _leaves_words(known, since)


def _half_life_words(known: Substance, soil: Cited) -> str:
    low, high = range_of(known)
    reported = [c for c in (known.soil_dt50_low, known.soil_dt50_high) if c and c.value in {low, high}]
    reasons = [f"reported, {_words(reported[0].source_key)}"] if reported else []
    if not {low, high} <= {each.value for each in reported}:
        ends = "else " if reported else ""
        reasons.append(f"{ends}{BAND_FACTOR.value:g} times shorter or longer, our choice")
    return (
        f"Half-life in soil {soil.value:g} days ({_words(soil.source_key)}); "
        f"range taken {two_digits(low)} to {two_digits(high)} days ({'; '.join(reasons)})."
    )


def _leaves_words(known: Substance, since: _Since | None) -> Iterator[str]:
    if known.foliage_half_life is None or known.wash_off is None:
        if not known.element:
            yield "No half-life on leaves known to the book."
        return
    yield (
        f"On leaves {known.foliage_half_life.value:g} days; one day of more than "
        f"{WASHING_RAIN_MM.value:g} mm of rain takes {100.0 * known.wash_off.value:.0f} % "
        f"({_words(known.wash_off.source_key)})."
    )
    if since is None:
        return
    least, most = since.washings
    if least == most:
        yield f"{_rains(least)} since."
    else:
        why = "the rain of some days is not known, or fell on the day itself"
        yield f"{least} to {_rains(most)} since: {why}."


def _rains(number: int) -> str:
    return "1 such day" if number == 1 else f"{number} such days"


def _words(source_key: str) -> str:
    return SOURCES.get(source_key, source_key)


def _cited(source_key: str, known: Substance) -> str:
    if source_key == "not confirmed":
        return "" if known.element else _words(source_key)
    locator = known.soil_dt50.locator if known.soil_dt50 else known.locator
    return f"{_words(source_key)} ({', '.join(filter(None, (source_key, locator)))})"
