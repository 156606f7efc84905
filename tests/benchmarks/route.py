"""Times the day's route and the graph of ways, and says how good the routes of many stops are."""

from __future__ import annotations

import argparse
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

import numpy as np

from sitebook.analysis.foray import ways_kept
from sitebook.analysis.foray.improve import rank
from sitebook.analysis.foray.route import plan_route
from sitebook.analysis.foray.search import searched, with_prizes
from sitebook.analysis.foray.stops import Stop
from sitebook.analysis.foray.task import Task, task_of
from sitebook.analysis.foray.ways_graph import build
from sitebook.analysis.foray.ways_travel import travel
from sitebook.analysis.foray.worth import marginal
from sitebook.records.results.route import RoutePlan
from tests.analysis.foray.days import Day, made_day, tsiligirides, tsiligirides_optima, with_time_windows
from tests.analysis.foray.ways import ways_of
from tests.benchmarks.extract import repeat
from tests.benchmarks.growth import draw

Value = TypeVar("Value")

LONG_RUN_S = 10.0
WINDOWS = {"c101": 320, "c105": 340, "c106": 340, "r101": 198, "r105": 247, "rc101": 219}


def wall(work: Callable[[], Value]) -> tuple[Value, float]:
    """Give what a function answers, and the time by the clock [s]."""
    began = time.perf_counter()
    value = work()
    return value, time.perf_counter() - began


def plan(day: Day, *, ticks: int = 60, alternatives: int = 0) -> RoutePlan:
    """Plan a day."""
    return plan_route(
        day.stops,
        day.travel_min,
        day.weights,
        starts_min=day.starts_min,
        latest_end_min=day.latest_end_min,
        alternatives=alternatives,
        ticks_a_minute=ticks,
    )


def task(day: Day, *, ticks: int = 60) -> Task:
    """Put a day into ticks."""
    return task_of(
        day.stops,
        day.travel_min,
        day.weights,
        starts_min=day.starts_min,
        latest_end_min=day.latest_end_min,
        ticks_a_minute=ticks,
    )


def alone(day: Day) -> Day:
    """Give the day with the worth of each stop alone, so that prizes are the whole truth."""
    asked = task(day)
    prizes = marginal(asked.worth, np.zeros(len(asked.stops), np.bool_))
    stops = tuple(
        Stop(stop.key, stop.stay_min, scouting=float(prize), hours=stop.hours)
        for stop, prize in zip(asked.stops, prizes, strict=True)
    )
    kept = [k for k, stop in enumerate(day.stops) if stop.key in {one.key for one in asked.stops}]
    places = [0, *(k + 1 for k in kept), len(day.stops) + 1]
    return Day(stops, day.travel_min[np.ix_(places, places)], {}, day.starts_min, day.latest_end_min)


def long_run(asked: Task) -> tuple[float, float]:
    """Give the true score of PyVRP with prizes of stops alone, and with prizes made anew, 10 s each."""
    prizes = marginal(asked.worth, np.zeros(len(asked.stops), np.bool_))
    _, seconds = wall(lambda: with_prizes(asked, prizes, seed=1, steps=500))
    steps = int(500 * LONG_RUN_S / seconds)
    once = with_prizes(asked, prizes, seed=1, steps=steps) or ()
    best, order = rank(asked, once), once
    for turn in range(4):
        members = np.isin(np.arange(len(asked.stops)), order)
        order = with_prizes(asked, marginal(asked.worth, members), seed=turn, steps=steps // 4) or ()
        best = max(best, rank(asked, order))
    return rank(asked, once)[0], best[0]


def proved() -> None:
    """Time twenty stops, from a day that holds few of them to one that holds all."""
    for minutes in (240.0, 360.0, 420.0, 480.0, 560.0, 700.0):
        found, seconds = wall(lambda minutes=minutes: plan(made_day(20, 1, minutes=minutes)))  # type: ignore[misc]
        held = len(found.route.stops)
        print(f"20 stops, {minutes:.0f} min: {seconds:.2f} s, {held} visited, proved {found.proved}")


def many() -> None:
    """Compare with PyVRP run for ten seconds."""
    times = []
    for count in (40, 100, 200, 500):
        day = made_day(count, 1, minutes=420.0, hours=0.3)
        for said, asked in (("taxa repeat", day), ("no taxon repeats", alone(day))):
            found, seconds = wall(lambda asked=asked: plan(asked))  # type: ignore[misc]
            once, anew = long_run(task(asked))
            score = found.route.score
            print(
                f"{count} stops, {said}: {seconds:.2f} s, score {score:.3f}, bound {found.bound.score:.3f};"
                f" PyVRP {LONG_RUN_S:.0f} s: prizes of stops alone {once:.3f}"
                f" ({100 * (score / once - 1):+.2f} %), prizes made anew {anew:.3f}"
                f" ({100 * (score / anew - 1):+.2f} %)"
            )
            if said == "taxa repeat":
                times.append((float(count), seconds))
        _, seconds = wall(lambda day=day: plan(day, alternatives=4))  # type: ignore[misc]
        print(f"{count} stops with four alternatives: {seconds:.2f} s")
    draw("route", "A day's route by search", "stops", {"one plan": times})


def others(shared: Path) -> None:
    """Run all 49 orienteering instances and those with time windows."""
    folder = shared / "orienteering"
    best = tsiligirides_optima(folder / "tsiligirides_optima_cpsat.txt")
    missed, total, longest = [], 0.0, 0.0
    for path in sorted(folder.glob("op/Tsiligirides_*/*.txt")):
        day = tsiligirides(path)
        found, seconds = wall(lambda day=day: plan(day, ticks=10_000))  # type: ignore[misc]
        total, longest = total + seconds, max(longest, seconds)
        optimum = best[int(path.parent.name[-1]), day.latest_end_min]
        asked = task(day, ticks=10_000)
        by_search = rank(asked, searched(asked, seed=1))[0] if found.proved else found.route.score
        if not round(found.route.score) == round(by_search) == optimum:
            missed.append(f"{path.stem}: {found.route.score:.0f}, by search {by_search:.0f}, of {optimum}")
    print(f"49 orienteering instances: {total:.1f} s, longest {longest:.2f} s, missed {missed or 'none'}")
    for name, optimum in WINDOWS.items():
        day = with_time_windows(folder / "toptw" / f"{name}.txt")
        found, seconds = wall(lambda day=day: plan(day, ticks=10))  # type: ignore[misc]
        print(f"{name}: {found.route.score:.0f} of {optimum}, {seconds:.2f} s")


def graph(city: Path) -> None:
    """Build the graph of a city and of twenty copies of it, and read it again."""
    with tempfile.TemporaryDirectory() as folder:
        large = Path(folder) / "large.osm.pbf"
        repeat(city, large)
        for said, extract in (("Helsinki", city), ("Helsinki x 20", large)):
            ways = ways_of(extract)
            made, build_s = wall(lambda ways=ways: build(ways))  # type: ignore[misc]
            kept, pack_s = wall(lambda made=made: ways_kept.pack(made))  # type: ignore[misc]
            again, unpack_s = wall(lambda kept=kept: ways_kept.unpack(kept))  # type: ignore[misc]
            random = np.random.default_rng(1)
            spots = again.junctions_m[random.choice(len(again.junctions_m), 42, replace=False)]
            places = again.metres.to_degrees(spots)
            _, travel_s = wall(lambda again=again, places=places: travel(again, "foot", places))  # type: ignore[misc]
            print(
                f"{said}: {len(ways):,} ways, {len(made.first):,} pieces; built {build_s:.2f} s, written"
                f" {pack_s:.2f} s ({len(kept) / 1e6:.1f} MB), read {unpack_s:.2f} s, 42 places on foot"
                f" {travel_s:.2f} s"
            )


def main() -> None:
    """Print seconds and scores."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("shared", type=Path, help="the folder of open data")
    asked = parser.parse_args()
    proved()
    graph(asked.shared / "osm" / "Helsinki.osm.pbf")
    others(asked.shared)
    many()


if __name__ == "__main__":
    main()
