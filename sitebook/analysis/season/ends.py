"""Estimates when the seasons of a taxon begin, stand highest and end."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from sitebook.analysis.season import laplace, newton
from sitebook.analysis.season.circular import FULL_TURN_RAD
from sitebook.analysis.season.design import NONE, WEATHER, Points, design
from sitebook.analysis.season.onset import weibull_endpoint
from sitebook.analysis.season.spot_looks import FindDay
from sitebook.analysis.season.spots import Fitted, angle_of
from sitebook.citations import Cited
from sitebook.records.results.fruiting import DayOfYear, SeasonSpan

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

DAYS = 365
FEWEST_FINDS = Cited(8.0, "finds", "ours", "our choice")
"""Dated finds of a season from which its ends are estimated beyond those seen."""
FLAT_BELOW = Cited(2.0, "1", "ours", "our choice")
"""A year whose highest day has less than this times the finds of its lowest has no season that stands out."""
VALLEY = Cited(0.5, "1", "ours", "our choice")
"""Two humps are two seasons where the year between them falls below this share of the lower one."""
TAIL = Cited(0.05, "1", "ours", "our choice")
"""Share of a season's finds before its onset, and after its end."""
WIDEST_INTERVAL_DAYS = Cited(90.0, "d", "ours", "our choice")
"""An end whose interval is wider than this is read off the curve instead."""
LEVEL = 0.8
DRAWS = 500


@dataclass(frozen=True)
class _Stretch:
    """The days of one season: its first, counted from 0 on 1 January, and how many they are."""

    first: int
    length: int

    @property
    def days(self) -> Ints:
        """Days of the year, from 0, in the order of the season."""
        return (self.first + np.arange(self.length)) % DAYS

    def of_these(self, days: Iterable[int]) -> list[int]:
        """Pick the days that lie in the season."""
        return [day for day in days if (day - self.first) % DAYS < self.length]


def season_spans(fitted: Fitted, finds: Iterable[FindDay], seed: int = 1) -> tuple[SeasonSpan, ...]:
    """Give onset, peak and end of each season of a taxon, over all places together in a usual year.

    A season's onset and end are estimated beyond the finds seen where it has enough dated finds, else
    they are the days before and after which 5 % of its finds are to be expected by the model; the first
    and the last find themselves are never taken for an end.

    Parameters
    ----------
    fitted
        The taxon.
    finds
        Its dated finds; those whose date covers too many days are passed over.
    seed
        Start of the random numbers of the intervals.

    Returns
    -------
    tuple of SeasonSpan
        One or two in the order of the year; none where no time of the year stands out.

    References
    ----------
    Ends beyond the finds: cooke1979; roberts_solow2003. The numbers: our choice.
    """
    laid = design(_whole_year(), fitted.fit.levels, fitted.prior)
    curve = usual_curve(fitted)
    if float(curve.max()) < FLAT_BELOW.value * float(curve.min()):
        return ()
    drawn = laplace.drawn(fitted.fit.factor, fitted.fit.mean, DRAWS, seed)
    draws = np.exp(laid.offset + drawn[:, : laid.dense.shape[1]] @ laid.dense.T)
    days = [day_of_year(date) for find in finds if (date := find.middle) is not None]
    return tuple(_span(one, curve, draws, one.of_these(days)) for one in stretches_of(curve))


def usual_curve(fitted: Fitted) -> Floats:
    """Give the finds to be expected on each day of a usual year, at no place in particular (365,) [1]."""
    laid = design(_whole_year(), fitted.fit.levels, fitted.prior)
    return np.asarray(np.exp(newton.log_rate(laid, fitted.fit.mean)))


def stretches_of(curve: Floats) -> list[_Stretch]:
    """Part a year into its seasons, each from one valley to the next.

    Parameters
    ----------
    curve
        Finds to be expected on each day of the year (365,).
    """
    peaks = np.flatnonzero((curve > np.roll(curve, 1)) & (curve >= np.roll(curve, -1)))
    best = sorted(peaks.tolist(), key=lambda day: -float(curve[day]))
    lowest = int(curve.argmin())
    for other in best[1:]:
        valleys = [_lowest_between(curve, best[0], other), _lowest_between(curve, other, best[0])]
        if max(float(curve[valley]) for valley in valleys) < VALLEY.value * float(curve[other]):
            first, second = sorted(valleys)
            return [_Stretch(first, second - first), _Stretch(second, DAYS - second + first)]
    return [_Stretch(lowest, DAYS)]


def _lowest_between(curve: Floats, start: int, stop: int) -> int:
    days = (start + np.arange((stop - start) % DAYS)) % DAYS
    return int(days[curve[days].argmin()])


def _span(stretch: _Stretch, curve: Floats, draws: Floats, finds: Sequence[int]) -> SeasonSpan:
    along, drawn = curve[stretch.days], draws[:, stretch.days]
    places = np.array([(day - stretch.first) % DAYS for day in finds], np.float64)
    peak = _day(stretch, float(along.argmax()), drawn.argmax(axis=1).astype(np.float64))
    return SeasonSpan(
        _end(stretch, places, "first") or _quantile(stretch, along, drawn, TAIL.value),
        peak,
        _end(stretch, places, "last") or _quantile(stretch, along, drawn, 1.0 - TAIL.value),
        len(finds),
    )


def _quantile(stretch: _Stretch, along: Floats, drawn: Floats, share: float) -> DayOfYear:
    """Give the day before which a share of a season's finds is to be expected."""
    return _day(stretch, float(_reached(along[None, :], share)[0]), _reached(drawn, share))


def _reached(rates: Floats, share: float) -> Floats:
    summed = np.cumsum(rates, axis=1)
    return np.asarray((summed < share * summed[:, -1:]).sum(axis=1), np.float64)


def _day(stretch: _Stretch, place: float, places: Floats) -> DayOfYear:
    tail = (1.0 - LEVEL) / 2.0
    low, high = np.quantile(places, [tail, 1.0 - tail])
    return DayOfYear(
        _counted(stretch, place),
        _counted(stretch, min(float(low), place)),
        _counted(stretch, max(float(high), place)),
        "season model",
    )


def _end(stretch: _Stretch, places: Floats, end: Literal["first", "last"]) -> DayOfYear | None:
    """Estimate an end beyond the finds seen; None with too few of them, or no use of the estimate."""
    if places.size < FEWEST_FINDS.value:
        return None
    try:
        found = weibull_endpoint(places, end, LEVEL)
    except ValueError:
        return None
    if not np.isfinite([found.low, found.high]).all() or found.high - found.low > WIDEST_INTERVAL_DAYS.value:
        return None
    day, low, high = (_counted(stretch, value) for value in (found.day, found.low, found.high))
    return DayOfYear(day, low, high, "dated finds")


def _counted(stretch: _Stretch, place: float) -> float:
    return (stretch.first + place) % DAYS + 1.0


def day_of_year(date: datetime.date) -> int:
    """Give the day of the year of a date, from 0, on a year of 365 days."""
    return min(int(angle_of(date) / FULL_TURN_RAD * DAYS), DAYS - 1)


def _whole_year() -> Points:
    """Lay out the days of a year at no place in particular, its weather usual."""
    nothing = np.full(DAYS, NONE, np.int64)
    angle = FULL_TURN_RAD * (np.arange(DAYS) + 0.5) / DAYS
    return Points(
        angle,
        nothing,
        np.full(DAYS, np.nan),
        nothing,
        nothing,
        nothing,
        np.zeros((DAYS, len(WEATHER))),
        np.zeros(DAYS, dtype=bool),
    )
