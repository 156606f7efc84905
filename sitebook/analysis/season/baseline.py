"""Computes the chance by ISO week of finding a taxon at a site, from looks that count."""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import special

from sitebook.analysis.season import circular
from sitebook.analysis.season.kernel_calendars import week_sums
from sitebook.analysis.season.looks import WIDEST_DATE_DAYS, LookRecord, PlacedFind
from sitebook.citations import Cited
from sitebook.records.results.season import Calendar, CalendarRow, Choice, WeekChance

Floats = NDArray[np.float64]
Pair = tuple[int, int]
"""Site and taxon, by their ids."""

KERNEL_CONCENTRATION = Cited(20.0, "1", "ours", "our choice")
PSEUDO_LOOKS = Cited(2.0, "1", "ours", "our choice")
LOOK_MINUTES = Cited(30.0, "min", "ours", "our choice")
MINUTES_NOT_NOTED = Cited(30.0, "min", "ours", "our choice")
FEWEST_LOOKS = Cited(3.0, "1", "ours", "our choice")
INTERVAL_LEVEL = Cited(0.8, "1", "ours", "our choice")
JEFFREYS_PRIOR = Cited(0.5, "1", "ours", "our choice")

CHOICES: tuple[Choice, ...] = (
    Choice("length of the look that a chance is given for", LOOK_MINUTES),
    Choice("minutes a look counts as when none were noted", MINUTES_NOT_NOTED),
    Choice("concentration of the kernel: how fast a look loses weight with its distance in the year",
           KERNEL_CONCENTRATION),
    Choice("made-up looks at the taxon's overall rate that every week starts from", PSEUDO_LOOKS),
    Choice("fewest looks, weighted, that a week needs before a chance is given", FEWEST_LOOKS),
    Choice("share of cases the bar is meant to cover", INTERVAL_LEVEL),
    Choice("prior of Jeffreys: added to finds and to empty looks when the bar is computed", JEFFREYS_PRIOR),
    Choice("most days a visit's date may cover and still count", WIDEST_DATE_DAYS),
)  # fmt: skip

ISO_WEEKS = range(1, 54)
DAYS_IN_YEAR = 365
ROUNDING = 1e-9
"""How far below the fewest looks a weight may fall by rounding alone."""


@dataclass(frozen=True)
class WeekValues:
    """Chances at several times of the year, as arrays of one length.

    Parameters
    ----------
    chance, low, high
        Chance and the ends of its interval [1], also where too few looks speak.
    weight
        Looks that speak, each weighted by its nearness in the year.
    """

    chance: Floats
    low: Floats
    high: Floats
    weight: Floats


def middle_day(iso_week: int) -> int:
    """Give the day of the year that an ISO week's Thursday falls on, on average.

    The Thursday of week 1 is 4 January, give or take three days; that of a week 53 is always one of
    the last two days of a year.

    Parameters
    ----------
    iso_week
        1 to 53.
    """
    return min(7 * iso_week - 3, DAYS_IN_YEAR)


WEEK_ANGLES_RAD = tuple(
    float(angle) for angle in circular.day_angle([middle_day(week) for week in ISO_WEEKS], DAYS_IN_YEAR)
)
"""Times of the year that the 53 ISO weeks stand for [rad]."""


def chances(
    at_rad: ArrayLike, look_rad: ArrayLike, minutes: ArrayLike, found: ArrayLike, overall_rate: float
) -> WeekValues:
    """Compute the chance of at least one find in a look of 30 minutes.

    A look's weight is the von Mises kernel over its own peak; the rate is the weighted finds over
    the weighted effort, with pseudo-looks at the overall rate added to both; the chance is that of at
    least one event of this rate. The interval is that of Jeffreys on the weighted number of looks; an
    end that misses the chance is moved to it, as is usual at 0 and at 1.

    Parameters
    ----------
    at_rad
        Times of the year wanted [rad], shape (k,).
    look_rad
        Time of the year of each look [rad], shape (n,).
    minutes
        Effort of each look [min], shape (n,).
    found
        Whether each look found the taxon, shape (n,).
    overall_rate
        Finds to be expected in a look of 30 minutes whatever the time of the year and the site [1].

    References
    ----------
    Kernel ratio and pseudo-looks: our choice. Interval: Brown, Cai & DasGupta 2001, Statistical Science.
    """
    delta = np.asarray(at_rad, dtype=np.float64)[:, None] - np.asarray(look_rad, dtype=np.float64)[None, :]
    weights = np.exp(KERNEL_CONCENTRATION.value * (np.cos(delta) - 1.0))
    efforts = np.asarray(minutes, dtype=np.float64) / LOOK_MINUTES.value
    hits = np.asarray(found, dtype=np.float64)
    return _values(weights @ hits, weights @ efforts, weights.sum(axis=1), overall_rate)


def _values(hits: Floats, efforts: Floats, weight: Floats, overall_rate: ArrayLike) -> WeekValues:
    """Turn weighted finds, effort and looks into chances with their intervals; all broadcast."""
    pseudo = PSEUDO_LOOKS.value
    chance = -np.expm1(-(hits + pseudo * np.asarray(overall_rate)) / (efforts + pseudo))
    low, high = jeffreys_interval(chance, weight)
    return WeekValues(chance, np.minimum(low, chance), np.maximum(high, chance), weight)


def jeffreys_interval(share: ArrayLike, how_many: ArrayLike) -> tuple[Floats, Floats]:
    """Give the ends of the equal-tailed Jeffreys interval of a share [1].

    Parameters
    ----------
    share
        Share seen [1].
    how_many
        Cases it was seen in; need not be whole. Both broadcast.
    """
    shares, cases = np.asarray(share, dtype=np.float64), np.asarray(how_many, dtype=np.float64)
    first = shares * cases + JEFFREYS_PRIOR.value
    second = (1.0 - shares) * cases + JEFFREYS_PRIOR.value
    tail = (1.0 - INTERVAL_LEVEL.value) / 2.0
    low = special.betaincinv(first, second, tail)
    high = special.betaincinv(first, second, 1.0 - tail)
    return np.asarray(low), np.asarray(high)


def overall_rate(looks: Iterable[LookRecord]) -> float:
    """Give finds per 30 minutes over all looks of one taxon that count [1]; 0 without any effort."""
    counting = [look for look in looks if counts(look)]
    effort = math.fsum(minutes_of(look) for look in counting) / LOOK_MINUTES.value
    return sum(bool(look.found) for look in counting) / effort if effort > 0.0 else 0.0


def counts(look: LookRecord) -> bool:
    """Tell whether a look is decided and dated, so that it enters a rate."""
    return look.found is not None and look.local_date is not None


def minutes_of(look: LookRecord) -> float:
    """Give the minutes a look counts as [min]."""
    return MINUTES_NOT_NOTED.value if look.minutes is None else look.minutes


def calendar(
    looks: Sequence[LookRecord],
    finds: Sequence[PlacedFind],
    *,
    site_names: Mapping[int, str],
    taxon_names: Mapping[int, str],
) -> Calendar:
    """Draw up the calendar of every site and taxon that has a find or a look naming the taxon.

    Parameters
    ----------
    looks
        One a visit and taxon looked for, as `looks.gather` gives them, in any order.
    finds
        Finds with a certain name at a site, whatever the reason of their visit.
    site_names, taxon_names
        Id to the name shown; looks and finds of others are passed over.
    """
    known = [k for k in looks if k.site_id in site_names and k.taxon_id in taxon_names]
    by_taxon: dict[int, list[LookRecord]] = defaultdict(list)
    by_pair: dict[Pair, list[LookRecord]] = defaultdict(list)
    for look in known:
        by_taxon[look.taxon_id].append(look)
        by_pair[look.site_id, look.taxon_id].append(look)
    found_at = Counter(
        (f.site_id, f.taxon_id) for f in finds if f.site_id in site_names and f.taxon_id in taxon_names
    )
    rates = {taxon_id: overall_rate(own) for taxon_id, own in by_taxon.items()}
    named = {pair for pair, own in by_pair.items() if any(look.names_taxon for look in own)}
    pairs = sorted(named | set(found_at))
    weeks = weeks_of([by_pair.get(pair, []) for pair in pairs], [rates.get(pair[1], 0.0) for pair in pairs])
    rows = [
        CalendarRow(
            site_id=site_id,
            site_name=site_names[site_id],
            taxon_id=taxon_id,
            taxon_name=taxon_names[taxon_id],
            finds=found_at[site_id, taxon_id],
            weeks=own_weeks,
            **_tally(by_pair.get((site_id, taxon_id), [])),
        )
        for (site_id, taxon_id), own_weeks in zip(pairs, weeks, strict=True)
    ]
    rows.sort(
        key=lambda row: (row.taxon_name.casefold(), row.taxon_id, row.site_name.casefold(), row.site_id)
    )
    years = [look.local_date.year for look in known if look.local_date is not None and counts(look)]
    return Calendar(tuple(rows), min(years, default=None), max(years, default=None), CHOICES)


def _tally(looks: Iterable[LookRecord]) -> dict[str, int]:
    """Count the looks of one row by what becomes of them."""
    own = list(looks)
    counting = [look for look in own if counts(look)]
    return {
        "looks": len(counting),
        "looks_with_find": sum(bool(look.found) for look in counting),
        "looks_minutes_assumed": sum(look.minutes is None for look in counting),
        "looks_left_out": sum(look.found is None and look.local_date is not None for look in own),
        "looks_undated": sum(look.local_date is None for look in own),
    }


def weeks_of(groups: Sequence[Sequence[LookRecord]], rates: Sequence[float]) -> list[tuple[WeekChance, ...]]:
    """Compute the 53 weeks of many rows at once; the order of a row's looks changes not a bit of them.

    Parameters
    ----------
    groups
        Looks of each row; those that decide nothing are passed over.
    rates
        Overall rate of the taxon of each row [1].
    """
    laid = [look for number, own in enumerate(groups) for look in _dated(number, own)]
    number, day, length, minutes, found = (
        (np.array(column) for column in zip(*laid, strict=True)) if laid else (np.zeros(0),) * 5
    )
    hits, efforts, weight = week_sums(
        number,
        day,
        length,
        [found, minutes / LOOK_MINUTES.value, np.ones(number.size)],
        groups=len(groups),
        at_rad=WEEK_ANGLES_RAD,
        concentration=KERNEL_CONCENTRATION.value,
    )
    values = _values(hits, efforts, weight, np.array(rates)[:, None])
    return [tuple(_week(week, values, row) for week in ISO_WEEKS) for row in range(len(groups))]


def _dated(number: int, looks: Sequence[LookRecord]) -> list[tuple[int, int, int, float, float]]:
    """Lay out the looks of one row that count, in an order of their own."""
    return sorted(
        (
            number,
            look.local_date.timetuple().tm_yday,
            circular.length_of_year(look.local_date),
            minutes_of(look),
            float(bool(look.found)),
        )
        for look in looks
        if look.local_date is not None and look.found is not None
    )


def _week(iso_week: int, values: WeekValues, row: int) -> WeekChance:
    """Pick one week of one row, without a chance where too few looks speak for it."""
    at = (row, iso_week - 1)
    weight = float(values.weight[at])
    if weight < FEWEST_LOOKS.value - ROUNDING:
        return WeekChance(iso_week, None, None, None, weight)
    return WeekChance(
        iso_week, float(values.chance[at]), float(values.low[at]), float(values.high[at]), weight
    )
