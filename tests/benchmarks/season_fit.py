"""Times fits of the season model against a plain Newton on all columns, in one run."""

from __future__ import annotations

import time
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from sitebook.analysis.season import model, newton, prediction, spreads
from sitebook.analysis.season.design import Looks, Points, chosen_looks, design, levels_of
from sitebook.analysis.season.prior import Hump, SeasonPrior
from tests.analysis.season import dense, worlds
from tests.benchmarks.growth import draw

Floats = NDArray[np.float64]

PRIOR = SeasonPrior((Hump(4.6, 4.0),))
SITES, TREES, YEARS = 50, 150, 10
GROWTH = (200, 1_000, 5_000, 20_000, 100_000)
PLAIN_TO = 20_000
"""Looks above which the plain way is not tried: its columns would fill gigabytes."""


def made(looks: int, seed: int, *, sites: int = SITES, trees: int = TREES) -> Looks:
    """Make looks of about one find in five at many trees, every seventh of them beside the trees."""
    chance = np.random.default_rng(seed)
    site_of = np.arange(trees) * sites // trees
    tree, year = chance.integers(0, trees, looks), chance.integers(0, YEARS, looks)
    angle = np.mod(chance.normal(4.7, 0.9, looks), 2.0 * np.pi)
    effect = chance.normal(0.0, 0.8, sites)[site_of] + chance.normal(0.0, 0.6, trees)
    weather = chance.normal(0.0, 1.0, (looks, 3))
    minutes = np.exp(chance.normal(np.log(30.0), 0.5, looks))
    rate = -1.0 + PRIOR.offset(angle) + effect[tree] + chance.normal(0.0, 0.45, YEARS)[year]
    rate = rate + weather @ np.array([0.5, 0.3, 0.0]) + np.log(minutes / 30.0)
    found = chance.random(looks) < prediction.at_least_one(rate)
    beside = np.where(chance.random(looks) < 1.0 / 7.0, -1, tree)
    at = Points(angle, year, minutes, tree % 4, site_of[tree], beside, weather, np.zeros(looks, np.bool_))
    return Looks(at, found)


def both_ways(looks: Looks) -> tuple[float, float, float]:
    """Give seconds of one fit with fixed spreads, our way and plainly, and how far they lie apart."""
    laid = design(looks.at, levels_of(looks.at), PRIOR)
    mean, precision = spreads.before(PRIOR, laid, spreads.first_spreads())
    ours, our_s = timed(lambda: newton.maximised(laid, looks.found, mean, precision, mean).coefficients)
    plain, plain_s = timed(lambda: dense.mode(laid, looks.found, mean, precision))
    return our_s, plain_s, float(np.abs(ours - plain).max())


def timed(work: Callable[[], Floats]) -> tuple[Floats, float]:
    """Give what a function answers and its processor time [s]."""
    start = time.process_time()
    found = work()
    return found, time.process_time() - start


def whole_fit(looks: Looks, times: int) -> float:
    """Give the median time of a whole fit with all its spreads [s]."""
    took = []
    for _ in range(times):
        start = time.process_time()
        model.fit(looks, PRIOR)
        took.append(time.process_time() - start)
    return float(np.median(took))


def of_200() -> float:
    """Give the median time of a whole fit of 200 looks, one fit in each of 40 made worlds [s]."""
    took = []
    for seed in range(40):
        world = worlds.matched(seed)
        order = np.random.default_rng(seed).permutation(len(world.looks))[:200]
        looks = chosen_looks(world.looks, order)
        start = time.process_time()
        model.fit(looks, world.prior)
        took.append(time.process_time() - start)
    return float(np.median(took))


def of_a_big_book() -> tuple[float, float]:
    """Time a fit of 100,000 looks at 3,000 trees, and all its sites by weeks drawn from it [s]."""
    looks = made(100_000, 4, sites=1_000, trees=3_000)
    fit = model.fit(looks, PRIOR)
    start = time.process_time()
    weeks = 53
    site = np.repeat(np.arange(1_000), weeks)
    angle = np.tile(np.linspace(0.0, 2.0 * np.pi, weeks, endpoint=False), 1_000)
    none = np.full(site.size, -1)
    half_hours, usual = np.full(site.size, 30.0), np.zeros((site.size, 3))
    at = Points(angle, none, half_hours, none, site, none, usual, np.zeros(site.size, np.bool_))
    prediction.predict(fit, at)
    drawn_s = time.process_time() - start
    return whole_fit(looks, 1), drawn_s


def main() -> None:
    """Print the times and draw how they grow."""
    print(f"200 looks, whole fit, median over 40 worlds: {1e3 * of_200():.0f} ms (goal 50 ms)")
    whole: list[tuple[float, float]] = []
    ours: list[tuple[float, float]] = []
    plain: list[tuple[float, float]] = []
    for size in GROWTH:
        looks = made(size, size)
        whole.append((size, whole_fit(looks, 3)))
        said = f"{size:,} looks x {TREES} trees: whole fit {whole[-1][1]:.3f} s"
        if size <= PLAIN_TO:
            our_s, plain_s, apart = min((both_ways(looks) for _ in range(3)), key=lambda one: one[0])
            ours.append((size, our_s))
            plain.append((size, plain_s))
            ratio = plain_s / our_s
            said += f"; one fit {our_s:.4f} s, plainly {plain_s:.4f} s ({ratio:.1f} times), {apart:.0e} apart"
        print(said)
    fit_s, drawn_s = of_a_big_book()
    print(f"100,000 looks x 3,000 trees: whole fit {fit_s:.2f} s; 1,000 sites x 53 weeks {drawn_s:.2f} s")
    lines = {"whole fit": whole, "one fit": ours, "one fit, plainly": plain}
    print(draw("season_fit", "Fit of the season model, 150 trees", "looks", lines))


if __name__ == "__main__":
    main()
