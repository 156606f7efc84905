"""What books say of a taxon's season, as a curve over the year."""

from __future__ import annotations

import calendar
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import optimize, stats

from sitebook.analysis.season import circular, parameters

Floats = NDArray[np.float64]

COMMON_YEAR = 2023
"""Any year of 365 days, to count the days of months."""
MOST_CONCENTRATED = 2000.0
"""Concentration of a season of about four days; no month is shorter."""


@dataclass(frozen=True)
class MonthSpan:
    """Months that a source gives for a taxon.

    Parameters
    ----------
    first_month, last_month
        1 to 12, both included; the last may lie before the first, over the turn of the year.
    from_memory
        Whether the months are marked memory.
    """

    first_month: int
    last_month: int
    from_memory: bool = False

    def __post_init__(self) -> None:
        if not (1 <= self.first_month <= 12 and 1 <= self.last_month <= 12):
            raise ValueError("months run from 1 to 12")


@dataclass(frozen=True)
class Hump:
    """One season of a year: a von Mises curve of height 1.

    Parameters
    ----------
    mean_rad
        Its peak, as an angle of the year [rad].
    concentration
        Kappa [1].
    """

    mean_rad: float
    concentration: float


@dataclass(frozen=True)
class SeasonPrior:
    """The season that a fit starts from.

    Parameters
    ----------
    humps
        The seasons of a year, at most two in practice; none for a flat year.
    said
        In a sentence or two, what the season rests on.
    """

    humps: tuple[Hump, ...] = ()
    said: str = ""

    @property
    def flat(self) -> bool:
        """Whether no time of the year is favoured."""
        return not any(hump.concentration > 0.0 for hump in self.humps)

    @property
    def mean_rad(self) -> float:
        """Peak of the most concentrated season [rad], 0 for a flat year; waves are counted from it."""
        return 0.0 if self.flat else max(self.humps, key=lambda hump: hump.concentration).mean_rad

    def offset(self, angle_rad: ArrayLike) -> Floats:
        """Give the log of the curve at times of the year: 0 at the peak of a single season [1]."""
        angle = np.asarray(angle_rad, np.float64)
        return np.zeros(angle.shape) if self.flat else np.logaddexp.reduce(self._logs(angle), axis=0)

    def slope(self, angle_rad: ArrayLike) -> Floats:
        """Give what a delay of the season by one radian adds to the log of the curve [1/rad]."""
        angle = np.asarray(angle_rad, np.float64)
        if self.flat:
            return np.zeros(angle.shape)
        logs = self._logs(angle)
        weights = np.exp(logs - np.logaddexp.reduce(logs, axis=0))
        rises = np.stack([h.concentration * np.sin(angle - h.mean_rad) for h in self.humps])
        return np.asarray((weights * rises).sum(axis=0))

    def _logs(self, angle: Floats) -> Floats:
        return np.stack([h.concentration * (np.cos(angle - h.mean_rad) - 1.0) for h in self.humps])


def season_prior(spans: Sequence[MonthSpan], *, southern: bool = False) -> SeasonPrior:
    """Make the season of a taxon out of the months its sources give.

    Months from a source are taken before months from memory. Spans that meet or overlap are laid
    together; spans apart from each other are seasons of their own. A season holds its months with its
    central 90 %; from memory, or moved to the south, it is half as concentrated.

    Parameters
    ----------
    spans
        Months as sources give them; none for a flat season.
    southern
        Whether the place lies south of the equator, so that northern months are moved by half a year.

    Returns
    -------
    SeasonPrior
        The season, with a sentence of what it rests on.
    """
    sourced = [span for span in spans if not span.from_memory]
    used = sourced or list(spans)
    if not used:
        return SeasonPrior((), "No months of fruiting are known: no time of the year is favoured.")
    share = 1.0 if sourced else parameters.value("memory_share")
    share *= parameters.value("southern_share") if southern else 1.0
    shift_rad = math.pi if southern else 0.0
    runs = _runs({month for span in used for month in _months(span)})
    humps = tuple(_hump(first, count, share, shift_rad) for first, count in runs)
    return SeasonPrior(humps, _said(runs, from_memory=not sourced, southern=southern))


def _months(span: MonthSpan) -> Iterable[int]:
    count = (span.last_month - span.first_month) % 12 + 1
    return ((span.first_month - 1 + step) % 12 + 1 for step in range(count))


def _runs(months: set[int]) -> list[tuple[int, int]]:
    """Give the first month and the number of months of each unbroken run round the year."""
    if len(months) == 12:
        return [(1, 12)]
    starts = sorted(month for month in months if (month - 2) % 12 + 1 not in months)
    return [(start, _run_length(start, months)) for start in starts]


def _run_length(start: int, months: set[int]) -> int:
    count = 1
    while (start - 1 + count) % 12 + 1 in months:
        count += 1
    return count


def _hump(first_month: int, count: int, share: float, shift_rad: float) -> Hump:
    """Fit a curve whose central 90 % is the months given."""
    days = [calendar.monthrange(COMMON_YEAR, month)[1] for month in range(1, 13)]
    start = sum(days[: first_month - 1])
    length = sum(days[(first_month - 1 + step) % 12] for step in range(count))
    middle_rad = circular.FULL_TURN_RAD * (start + length / 2.0) / 365.0
    half_rad = math.pi * length / 365.0
    return Hump((middle_rad + shift_rad) % circular.FULL_TURN_RAD, share * concentration_within(half_rad))


def concentration_within(half_width_rad: float) -> float:
    """Give the concentration of the curve that holds 90 % within a width either side of its peak.

    Parameters
    ----------
    half_width_rad
        Half of the span [rad]; 0 is given for a span that holds 90 % of an even year.
    """
    wanted = parameters.value("span_share")

    def excess(concentration: float) -> float:
        return 2.0 * float(stats.vonmises.cdf(half_width_rad, concentration)) - 1.0 - wanted

    if half_width_rad >= wanted * math.pi:
        return 0.0
    return float(optimize.brentq(excess, 1e-9, MOST_CONCENTRATED, xtol=1e-9))


def _said(runs: Sequence[tuple[int, int]], *, from_memory: bool, southern: bool) -> str:
    names = (f"{_name(first)} to {_name((first + count - 2) % 12 + 1)}" for first, count in runs)
    parts = [f"Months of fruiting: {' and '.join(names)}."]
    if from_memory:
        parts.append("No source confirms them, so they count half.")
    if southern:
        parts.append(
            "They hold for the north; for a southern place they are moved by half a year and widened."
        )
    return " ".join(parts)


def _name(month: int) -> str:
    return calendar.month_name[month]
