"""Finds a good route among more stops than can be searched whole."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
import pyvrp
from numpy.typing import NDArray

from sitebook.analysis.foray.improve import filled, forced_order, improved, members_of, rank
from sitebook.analysis.foray.schedule import ends_of, in_order
from sitebook.analysis.foray.task import Task, no_order
from sitebook.analysis.foray.worth import marginal

Floats = NDArray[np.float64]
Order = tuple[int, ...]

MOST_TURNS, TURNS_DISCOUNTED = 4, 2
"""How often prizes are made anew at most, for the best route and for others beside it."""

PRIZE_OF_A_DAY = 2.0
"""A stop of the mean prize counts as much as travelling this many days, so that travel only breaks ties."""

LARGEST_PRIZE = 1 << 42

POLISH = 2
"""Rounds of improvement of each order found; the best one is improved until nothing helps."""

STEPS_OF_A_TURN, STEPS_ALONE = 800, 3_000
"""Steps of one search where prizes are made anew, and where they stay as they are."""


def steps_for(task: Task) -> int:
    """Give how many steps a search takes: more where no taxon repeats, since one search is all then."""
    repeats = (task.worth.chance > 0.0).sum(axis=0) > 1
    return STEPS_OF_A_TURN if repeats.any() else STEPS_ALONE


def searched(task: Task, *, seed: int, steps: int | None = None, discount: Floats | None = None) -> Order:
    """Find a good route by search with prizes, made anew until the order stops changing.

    A prize is what a stop adds to the route found before it, so that what several stops offer alike counts
    once. The best order by true score is kept. The same question and seed give the same answer.

    Parameters
    ----------
    task
        The day's question.
    seed
        Seed of the search.
    steps
        Steps of one search; None: as many as `steps_for` says.
    discount
        Share of its prize that each stop counts with (n,); None: all of it.

    Returns
    -------
    tuple
        The stops in order.

    Raises
    ------
    BadArgument
        When the forced stops cannot all be held, as far as was found.
    """
    share = np.ones(len(task.stops)) if discount is None else discount
    best = _first(task)
    if task.order or (best is not None and len(best) == len(task.stops)):
        return _required(best)
    turns: list[Order] = []
    prizes = np.zeros(0)
    for turn in range(MOST_TURNS if discount is None else TURNS_DISCOUNTED):
        start = turns[-1] if turns else ()
        made = marginal(task.worth, members_of(task, start)) * share
        if turns and np.allclose(made, prizes, rtol=1e-9, atol=1e-12):
            break
        prizes = made
        order = with_prizes(task, prizes, seed=seed + turn, steps=steps or steps_for(task), warm=start)
        if order is None:
            continue
        order = improved(task, order, rounds=POLISH) if discount is None else order
        best = order if best is None or _better(task, order, best, share) else best
        if order in turns:
            break
        turns.append(order)
    best = _required(best)
    return improved(task, best) if discount is None else best


def with_prizes(
    task: Task, prizes: Floats, *, seed: int, steps: int, warm: Sequence[int] = ()
) -> Order | None:
    """Search for the route with the most prizes; None where the one found breaks an hour or the end.

    Parameters
    ----------
    task
        The day's question.
    prizes
        What each stop counts (n,).
    seed
        Seed of the search.
    steps
        Steps of the search.
    warm
        Order to start from; none: from chance.
    """
    stops = [stop for stop in range(len(task.stops)) for _ in task.hours[stop]]
    data = _problem(task, prizes, stops)
    client_of = {stop: client for client, stop in reversed(list(enumerate(stops)))}
    single = len(stops) == len(task.stops)
    first = pyvrp.Solution(data, [[client_of[stop] for stop in warm]]) if warm and single else None
    stop_when = pyvrp.stop.MaxIterations(steps)
    found = pyvrp.solve(
        data, stop_when, seed=seed, collect_stats=False, display=False, initial_solution=first
    )
    routes = found.best.routes()
    visits = [stops[visit.idx] for route in routes for visit in route if visit.is_client()]
    order = tuple(visits)
    held = members_of(task, order)
    whole = bool(held[task.forced].all()) and len(set(order)) == len(order)
    return order if whole and ends_of(task, order) <= task.latest else None


def _problem(task: Task, prizes: Floats, stops: list[int]) -> pyvrp.ProblemData:
    count, latest = len(task.stops), task.latest
    matrices: Any = [np.minimum(task.travel, latest + 1)]
    scale = (
        PRIZE_OF_A_DAY
        * max(latest, 1)
        / max(float(prizes[prizes > 0.0].mean()) if prizes.any() else 1.0, 1e-12)
    )
    counted = np.minimum(np.rint(prizes * scale), LARGEST_PRIZE).astype(np.int64)
    several = np.bincount(stops, minlength=count) > 1
    groups = {stop: number for number, stop in enumerate(np.flatnonzero(several).tolist())}
    spans = [span for stop in range(count) for span in task.hours[stop]]
    clients = [
        pyvrp.Client(
            stop + 1,
            service_duration=int(task.stay[stop]),
            tw_early=min(int(span[0]), latest),
            tw_late=min(int(span[1]), latest),
            prize=int(counted[stop]),
            required=bool(task.forced[stop]) and not several[stop],
            group=groups.get(stop),
        )
        for stop, span in zip(stops, spans, strict=True)
    ]
    return pyvrp.ProblemData(
        locations=[pyvrp.Location(0.0, 0.0) for _ in range(count + 2)],
        clients=clients,
        depots=[pyvrp.Depot(0), pyvrp.Depot(count + 1)],
        vehicle_types=[
            pyvrp.VehicleType(1, start_depot=0, end_depot=1, tw_early=0, tw_late=latest, start_late=latest)
        ],
        distance_matrices=matrices,
        duration_matrices=matrices,
        groups=[
            pyvrp.ClientGroup([c for c, s in enumerate(stops) if s == stop], required=bool(task.forced[stop]))
            for stop in groups
        ],
    )


def _first(task: Task) -> Order | None:
    """Grow a route from the forced stops alone; None where no order of them was found that ends in time."""
    forced = forced_order(task)
    if forced is None:
        return None
    return improved(task, forced) if task.order else filled(task, forced)


def _better(task: Task, one: Order, other: Order, share: Floats) -> bool:
    if not in_order(task, one):
        return False
    if np.all(share == 1.0):
        return rank(task, one) > rank(task, other)
    return _discounted(task, one, share) > _discounted(task, other, share)


def _discounted(task: Task, order: Order, share: Floats) -> float:
    members = members_of(task, order)
    return float((marginal(task.worth, members) * share)[members].sum())


def _required(best: Order | None) -> Order:
    if best is None:
        raise no_order()
    return best
