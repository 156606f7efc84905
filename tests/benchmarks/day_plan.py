"""Times a day's plan from a cold start, and holds its worth to going to the nearest site each time."""

from __future__ import annotations

import datetime
import math
import sqlite3
import subprocess
import sys
import tempfile
import time
from contextlib import closing
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from sitebook.analysis.foray.pace import MODES, Mode
from sitebook.analysis.foray.stops import Stop
from sitebook.analysis.foray.worth import score, worth_of
from sitebook.records.results.day_plan import DayPlan
from sitebook.work import opened
from sitebook.work.day_asked import DayAsked
from sitebook.work.demo import SATURDAY, STATION
from sitebook.work.plan import plan
from sitebook.work.ways import travel_of, ways_of

NOW = datetime.datetime(2025, 10, 3, 19, 0, tzinfo=datetime.UTC)
NETWORKX = """
import pickle, sys, networkx
from pathlib import Path
from sitebook.ground.projection import LocalMetres
from sitebook.records.map_data import Way
from sitebook.store import map_data
from sitebook.work import opened
from tests.analysis.foray.networks import their_graph
with opened(Path(sys.argv[1])) as book:
    ways = map_data.standing(book, Way)
graph = their_graph(ways, "foot", LocalMetres(-19.39, 48.6))
nodes = list(graph.nodes)[:: len(graph.nodes) // 15][:15]
for node in nodes:
    networkx.single_source_dijkstra_path_length(graph, node)
"""
"""The ways of the same book as a graph of networkx, with 15 searches, in a process of its own."""


def seconds(*words: str | Path, folder: Path) -> float:
    """Run Python with some words in a folder and give its seconds."""
    began = time.perf_counter()
    subprocess.run([sys.executable, *words], cwd=folder, capture_output=True, check=True)
    return time.perf_counter() - began


def forget(book: Path) -> None:
    """Empty what the book keeps of fits and graphs."""
    with closing(sqlite3.connect(book)) as file:
        file.execute("DELETE FROM derived")
        file.commit()


def timed(folder: Path) -> None:
    """Print the seconds of a plan with nothing kept and with all kept, beside those of networkx."""
    start = ("--from", f"{STATION[0]},{STATION[1]}", "--start", "09:00", "--end", "16:00")
    words = ("-m", "sitebook", "plan", "--on", SATURDAY.isoformat(), *start, "--not-kept")
    book = folder / "sitebook.gpkg"
    forget(book)
    cold = seconds(*words, folder=folder)
    warm = seconds(*words, folder=folder)
    theirs = seconds("-c", NETWORKX, book, folder=Path.cwd())
    print(f"plan, nothing kept: {cold:.1f} s; fits and graph kept: {warm:.1f} s")
    print(
        f"networkx, its graph and 15 searches alone: {theirs:.1f} s; the plan takes {warm / theirs:.1f}x that"
    )


def question(mode: Mode) -> DayAsked:
    """Ask for the demo's Saturday."""
    return DayAsked(SATURDAY, STATION, 540.0, 960.0, mode, 30.0, 0.2, 3.0)


def nearest_first(day: DayPlan, minutes: NDArray[np.float64]) -> list[int]:
    """Give the sites in the order of always going to the nearest that still leaves time to come back."""
    places = list(day.places.values())
    left, at, clock, order = set(range(len(places))), 0, day.starts_min, list[int]()
    while left:
        best = min(left, key=lambda place: minutes[at, place + 1])
        over = clock + minutes[at, best + 1] + places[best].stay_min
        left.remove(best)
        if over + minutes[best + 1, -1] <= day.latest_end_min:
            at, clock = best + 1, over
            order.append(best)
    return order


def worth(day: DayPlan, members: list[int]) -> float:
    """Score sites as the plan scores them."""
    share = day.scouting_share
    stops = [
        Stop(
            place.key,
            place.stay_min,
            {one.taxon_name: one.worthwhile for one in place.expected if place.purpose == "gather"},
            share * place.scouting,
        )
        for place in day.places.values()
    ]
    weights = {
        one.taxon_name: (1.0 - share) * one.weight for place in day.places.values() for one in place.expected
    }
    flags = np.zeros(len(stops), dtype=np.bool_)
    flags[members] = True
    return float(score(worth_of(stops, weights), flags))


def compared(folder: Path) -> None:
    """Print the worth of the plan beside that of going to the nearest site each time."""
    with opened(folder / "sitebook.gpkg") as book:
        for mode in MODES:
            day = plan(book, question(mode), now=NOW, keep=False).result
            lonlat = [(place.lon, place.lat) for place in day.places.values()]
            travel = travel_of(ways_of(book), mode, day.start, lonlat, day.end)
            order = nearest_first(day, np.asarray(travel.minutes))
            keys = list(day.places)
            ours = worth(day, [keys.index(key) for key in day.plan.route.keys])
            theirs = worth(day, order)
            if not math.isclose(ours, day.plan.route.score, rel_tol=1e-9):
                raise ValueError("the plan was scored otherwise")
            stops = len(day.plan.route.stops)
            print(f"by {mode}: worth {ours:.3f} in {stops} stops; nearest first {theirs:.3f}")
            print(f"    in {len(order)} stops; the plan is worth {ours / theirs:.2f}x that")


def main() -> None:
    """Make the demo, time its Saturday and compare its worth."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name) / "island"
        subprocess.run(
            [sys.executable, "-m", "sitebook", "demo", "--to", folder], capture_output=True, check=True
        )
        timed(folder)
        compared(folder)


if __name__ == "__main__":
    main()
