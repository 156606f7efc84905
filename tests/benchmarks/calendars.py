"""Times kernel calendars of many places at once, and all places of a taxon drawn from a kept fit."""

from __future__ import annotations

import datetime
import sys
import time
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray
from scipy import stats

from sitebook.analysis.season import baseline, calendar_rows, circular, kept_fit, model, spots
from sitebook.analysis.season.held_out import Way
from sitebook.analysis.season.kept_fit import KeptFit
from sitebook.analysis.season.kernel_calendars import week_sums
from sitebook.analysis.season.prior import MonthSpan, season_prior
from sitebook.analysis.season.spot_looks import SpotLook
from sitebook.analysis.season.spots import Fitted
from sitebook.pages.fruiting import draw_fruiting
from sitebook.records.results.fruiting import SEASON_MODEL, FruitingCalendar, Spot, TaxonSeason
from tests.benchmarks import growth

Floats = NDArray[np.float64]
KERNEL = baseline.KERNEL_CONCENTRATION.value
WEEKS = np.array(baseline.WEEK_ANGLES_RAD)
SIZES = ((1_000, 100), (10_000, 1_000), (100_000, 10_000))


def timed(work: Callable[[], object], rounds: int) -> float:
    """Give the shortest of some rounds [s]."""
    best = float("inf")
    for _ in range(rounds):
        start = time.perf_counter()
        work()
        best = min(best, time.perf_counter() - start)
    return best


def records(count: int, groups: int) -> tuple[NDArray[np.int64], NDArray[np.int64], NDArray[np.int64]]:
    """Make records: group, day of the year, length of the year."""
    chance = np.random.default_rng(8)
    days = chance.choice([365, 365, 365, 366], count)
    day = np.minimum(chance.integers(1, 367, count), days)
    return chance.integers(0, groups, count), day, days


def loop(group: NDArray[np.int64], angle: Floats, groups: int) -> Floats:
    """Add up each group by itself with scipy's von Mises density, as one would write it first."""
    peak = stats.vonmises.pdf(0.0, KERNEL)
    sums = np.zeros((groups, WEEKS.size))
    for number in range(groups):
        own = angle[group == number]
        sums[number] = (stats.vonmises.pdf(WEEKS[:, None] - own[None, :], KERNEL) / peak).sum(axis=1)
    return sums


def binned(group: NDArray[np.int64], day: NDArray[np.int64], days: NDArray[np.int64], groups: int) -> Floats:
    """Add up by whole days of a common year and multiply the transforms; leap years are shifted a little."""
    at = np.minimum((circular.day_angle(day, days) / (2.0 * np.pi) * 365.0).astype(np.int64), 364)
    laid = np.bincount(group * 365 + at, minlength=groups * 365).reshape(groups, 365)
    kernel = np.exp(KERNEL * (np.cos(2.0 * np.pi * np.arange(365) / 365.0) - 1.0))
    smooth = np.fft.irfft(np.fft.rfft(laid, axis=1) * np.fft.rfft(kernel), n=365, axis=1)
    return np.asarray(smooth[:, [min(7 * week - 3, 365) - 1 for week in range(1, 54)]])


def kernel_calendars() -> None:
    """Print the times of the three ways at growing sizes, and how far they lie apart."""
    print("| records | groups | at once, s | bincount and rfft, s | scipy loop, s | loop / at once | apart |")
    print("|---|---|---|---|---|---|---|")
    lines: dict[str, list[tuple[float, float]]] = {"at once": [], "transform": [], "scipy loop": []}
    for count, groups in SIZES:
        seconds = _row(count, groups)
        for name, one in zip(lines, seconds, strict=True):
            lines[name].append((count, one))
    print(growth.draw("calendars", "Kernel calendars, 10 records a group", "records", lines))


def _row(count: int, groups: int) -> tuple[float, float, float]:
    group, day, days = records(count, groups)
    angle = circular.day_angle(day, days)
    ones = np.ones(count)

    def ours() -> Floats:
        at_rad = baseline.WEEK_ANGLES_RAD
        return week_sums(group, day, days, [ones], groups=groups, at_rad=at_rad, concentration=KERNEL)[0]

    quick = timed(ours, 9)
    by_transform = timed(lambda: binned(group, day, days, groups), 9)
    slow = timed(lambda: loop(group, angle, groups), 1)
    apart = float(np.abs(ours() - loop(group, angle, groups)).max())
    row = f"| {count:,} | {groups:,} | {quick:.4f} | {by_transform:.4f} | {slow:.2f} |"
    print(f"{row} {slow / quick:,.0f} | {apart:.1e} |")
    return quick, by_transform, slow


def kept(finds: int) -> None:
    """Print how long all sites by week of a taxon take from a kept fit, page and all."""
    chance = np.random.default_rng(2)
    prior, sites = season_prior([MonthSpan(8, 11)]), 400
    known: dict[tuple[int | None, int | None], Spot] = {
        (n, None): Spot(n, None, f"Site {n}") for n in range(1, sites + 1)
    }
    looks = []
    for _ in range(7 * finds):
        date = datetime.date(2010, 1, 1) + datetime.timedelta(days=int(chance.integers(0, 15 * 365)))
        height = float(np.exp(prior.offset(spots.angle_of(date))))
        site = int(chance.integers(1, sites + 1))
        looks.append(SpotLook(1, site, None, date, 30.0, bool(chance.random() < 0.6 * height)))
    made = spots.made_looks(looks, known, prior, _no_weather)
    start = time.perf_counter()
    data = kept_fit.packed(KeptFit(model.fit(made, prior), Way(SEASON_MODEL, "", 0.0, 0)))
    fit_s = time.perf_counter() - start

    def drawn() -> str:
        fit = kept_fit.unpacked(data)
        fitted = Fitted(1, "any", False, False, prior, tuple(looks), made, fit.fit, fit.way.name, "")  # noqa: FBT003
        rows, _ = calendar_rows.rows_of(fitted, list(known.values()))
        told = calendar_rows.told_of(fitted.looks, [], made)
        season = TaxonSeason(
            1, "any", southern=False, books="", from_memory=False, way=SEASON_MODEL, way_said="", sites=rows,
            trees=(), lasting=(), spans=(), told=told,
        )  # fmt: skip
        calendar = FruitingCalendar((season,), datetime.date(2025, 10, 4))
        return draw_fruiting(calendar, title="any", today=calendar.today, poison_centre="")

    head = f"{made.found.sum():,} finds on {len(looks):,} looks at {sites} sites"
    print(f"\n{head}: fitted in {fit_s:.2f} s, kept in {len(data) / 1024:,.0f} kB;")
    print(f"all sites by week drawn from the kept fit in {timed(drawn, 3):.2f} s.")


def _no_weather(_: int | None, dates: object) -> spots.WeatherSeen:
    size = len(dates)  # type: ignore[arg-type]
    return np.full((size, 3), np.nan), np.zeros(size, np.int64)


if __name__ == "__main__":
    kernel_calendars()
    kept(int(sys.argv[1]) if len(sys.argv) > 1 else 100_000)
