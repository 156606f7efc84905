"""Makes days with stops for tests, and reads the instances of the open data."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from sitebook.analysis.foray.stops import Hours, Stop

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Day:
    """A day to plan."""

    stops: tuple[Stop, ...]
    travel_min: Floats
    weights: dict[str, float]
    starts_min: float
    latest_end_min: float


def made_day(
    count: int, seed: int, *, minutes: float, taxa: int = 12, hours: float = 0.0, side: float = 60.0
) -> Day:
    """Scatter stops over a square of some minutes across; `hours` is the share that has opening hours."""
    random = np.random.default_rng(seed)
    places = random.uniform(0.0, side, (count + 2, 2))
    places[0] = places[-1] = side / 2.0
    names = [f"taxon {number}" for number in range(taxa)]
    stops = tuple(
        Stop(
            key=f"stop {number}",
            stay_min=float(random.integers(5, 30)),
            chances={
                name: float(random.choice([random.uniform(0.0, 0.7), 1.0], p=[0.95, 0.05]))
                for name in random.choice(names, min(4, taxa), replace=False)
            },
            scouting=float(random.uniform(0.0, 0.2)),
            hours=_hours(random, minutes) if random.uniform() < hours else (),
        )
        for number in range(count)
    )
    weights = {name: float(random.uniform(0.5, 3.0)) for name in names}
    return Day(stops, apart(places), weights, 540.0, 540.0 + minutes)


def _hours(random: np.random.Generator, minutes: float) -> tuple[Hours, ...]:
    spans = []
    for _ in range(int(random.integers(1, 3))):
        opens = 540.0 + float(random.uniform(0.0, minutes))
        spans.append(Hours(opens, opens + float(random.uniform(0.0, minutes / 2.0))))
    return tuple(spans)


def apart(places: Floats) -> Floats:
    """Give straight distances between places (n, 2)."""
    steps = places[:, None] - places[None, :]
    return np.asarray(np.hypot(steps[..., 0], steps[..., 1]))


def tsiligirides(path: Path) -> Day:
    """Read an instance: a budget, then x, y and score; first row the start, second the end."""
    rows = [[float(cell) for cell in line.split()] for line in path.read_text().splitlines() if line.strip()]
    budget, table = rows[0][0], np.array(rows[1:])
    order = [0, *range(2, len(table)), 1]
    stops = tuple(Stop(f"{number}", 0.0, scouting=float(table[number, 2])) for number in order[1:-1])
    return Day(stops, apart(table[order, :2]), {}, 0.0, budget)


def tsiligirides_optima(path: Path) -> dict[tuple[int, float], int]:
    """Read the proved optima by problem and budget."""
    found = {}
    for line in path.read_text().splitlines():
        problem, budget, _, _, proved, optimum, _ = line.split()
        assert proved == "OPTIMAL"
        found[int(problem), float(budget)] = int(optimum)
    return found


def with_time_windows(path: Path) -> Day:
    """Read an instance with time windows, distances cut to one decimal, one route.

    A row holds number, x, y, stay, score, three or more counts, and the window in the last two columns.
    """
    rows = [[float(cell) for cell in line.split()] for line in path.read_text().splitlines()[2:]]
    rows = [row for row in rows if row]
    places = np.array([[row[1], row[2]] for row in [*rows, rows[0]]])
    travel = np.floor(apart(places) * 10.0 + 1e-9) / 10.0
    stops = tuple(
        Stop(f"{row[0]:.0f}", row[3], scouting=row[4], hours=(Hours(row[-2], row[-1]),)) for row in rows[1:]
    )
    return Day(stops, travel, {}, 0.0, rows[0][-1])
