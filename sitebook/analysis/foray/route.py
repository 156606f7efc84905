"""Plans the route of a day: which stops, in which order, how sure, and what else there is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from sitebook.analysis.foray import exact, pace
from sitebook.analysis.foray.bound import upper_bound
from sitebook.analysis.foray.improve import improved, members_of, rank
from sitebook.analysis.foray.schedule import insertions, kept
from sitebook.analysis.foray.search import STEPS_OF_A_TURN, searched
from sitebook.analysis.foray.stops import Stop, Wishes
from sitebook.analysis.foray.task import NEVER, Task, no_order, task_of
from sitebook.analysis.foray.worth import marginal, score
from sitebook.records.results.route import Alternative, Bound, Route, RoutePlan, RouteStop, RunnerUp

Floats = NDArray[np.float64]
Order = tuple[int, ...]

MOST_ALTERNATIVES = 4
WEAKER = (0.3, 0.0)
"""Shares of its prize with which a stop shown before counts, tried in turn until a route differs enough."""

PROVED_SAID = "all sets of stops searched"
FOUND_SAID = "search with prizes made anew until the order stopped changing"
GROWN_SAID = "grown by insertion and improved by exchange, an order being asked for"


def plan_route(
    stops: Sequence[Stop],
    travel_min: ArrayLike,
    weights: Mapping[str, float],
    *,
    starts_min: float,
    latest_end_min: float,
    wishes: Wishes | None = None,
    seed: int = 1,
    alternatives: int = MOST_ALTERNATIVES,
    ticks_a_minute: int = 60,
) -> RoutePlan:
    """Plan the route that is worth most between a start and an end.

    Up to twenty stops within reach every set is searched, and the route is proved best. Beyond, a search
    finds a good route, and a bound tells how much better another could be. To plan anew at noon, give the
    stops that are left, the travel from where one stands, and weights lowered for what was found.

    Parameters
    ----------
    stops
        The stops.
    travel_min
        Time between the start, the stops and the end in this order (n + 2, n + 2) [min]; inf: no way.
    weights
        Worth of a worthwhile find by taxon; a taxon that is not named is worth nothing.
    starts_min, latest_end_min
        Minutes of the day at which it starts, and at which its end must be reached.
    wishes
        Stops to force, bar, visit in an order or at a time; None: none.
    seed
        Seed of the search; the same question and seed give the same plan.
    alternatives
        How many other routes to look for.
    ticks_a_minute
        How fine times are; travel and stays are rounded up to it.

    Returns
    -------
    RoutePlan
        The plan. Alternatives differ from the route and one another in at least the share of stops that
        the table of the model gives ("alternative_difference"), our choice; there may be fewer than asked.

    Raises
    ------
    BadArgument
        When a wish cannot be kept or the end cannot be reached in time.
    ValueError
        When the numbers given are none that can be.
    """
    task = task_of(
        stops,
        travel_min,
        weights,
        starts_min=starts_min,
        latest_end_min=latest_end_min,
        wishes=wishes,
        ticks_a_minute=ticks_a_minute,
    )
    whole = len(task.stops) <= exact.MOST_STOPS
    found = _proved(task, alternatives) if whole else _searched(task, seed, alternatives)
    return RoutePlan(
        route=_route(task, found.order),
        proved=found.proved,
        bound=found.bound,
        method=found.method,
        alternatives=found.alternatives,
        runners_up=_runners_up(task, found.order),
        unreachable=task.unreachable,
    )


@dataclass(frozen=True)
class _Found:
    order: Order
    proved: bool
    bound: Bound
    method: str
    alternatives: tuple[Alternative, ...]


def _proved(task: Task, alternatives: int) -> _Found:
    found = exact.all_sets(task)
    if found.sets.size == 0:
        raise no_order()
    order = exact.order_of(task, found, int(found.sets[0]))
    others = exact.differing(
        found, alternatives, pace.value("alternative_difference"), pace.value("alternative_worth")
    )
    shown = tuple(
        Alternative(_route(task, exact.order_of(task, found, chosen)), difference)
        for chosen, _, difference in others
    )
    best = float(score(task.worth, members_of(task, order)))
    return _Found(order, proved=True, bound=Bound(best, PROVED_SAID), method=PROVED_SAID, alternatives=shown)


def _searched(task: Task, seed: int, alternatives: int) -> _Found:
    order = searched(task, seed=seed)
    best = float(score(task.worth, members_of(task, order)))
    bound = upper_bound(task, order)
    proved = bound.score <= best + 1e-9
    method = GROWN_SAID if task.order else FOUND_SAID
    return _Found(order, proved, bound, method, _others(task, order, seed, alternatives))


def _others(task: Task, order: Order, seed: int, most: int) -> tuple[Alternative, ...]:
    """Search again with weaker prizes for what was shown, until a route differs enough."""
    shown = [order]
    chosen: list[tuple[float, Alternative]] = []
    least = pace.value("alternative_worth") * rank(task, order)[0]
    for _ in range(most):
        found = _other(task, shown, seed + 100 * len(shown))
        if found is None or rank(task, found)[0] < least:
            break
        chosen.append((rank(task, found)[0], Alternative(_route(task, found), _nearest(found, shown))))
        shown.append(found)
    return tuple(other for _, other in sorted(chosen, key=lambda one: -one[0]))


def _other(task: Task, shown: Sequence[Order], seed: int) -> Order | None:
    times = np.zeros(len(task.stops))
    for order in shown:
        times[list(order)] += 1.0
    times[task.forced] = 0.0
    for weaker in WEAKER:
        discount = np.where(times > 0.0, weaker**times if weaker else 0.0, 1.0)
        found = searched(task, seed=seed, steps=STEPS_OF_A_TURN // 2, discount=discount)
        for order in (improved(task, found, rounds=2), found):
            if _nearest(order, shown) >= pace.value("alternative_difference"):
                return order
    return None


def _nearest(order: Order, shown: Sequence[Order]) -> float:
    """Give the share of stops in one of two routes alone, among those in either, for the most alike."""
    own = set(order)
    return min(len(own ^ set(other)) / max(len(own | set(other)), 1) for other in shown)


def _route(task: Task, order: Order) -> Route:
    found = kept(task, order)
    members = members_of(task, order)
    adds = marginal(task.worth, members)

    def minute(ticks: int) -> float:
        return task.starts_min + ticks / task.ticks_a_minute

    before = (0, *found.leaves)
    stops = tuple(
        RouteStop(
            key=task.stops[stop].key,
            travel_min=(found.arrives[place] - before[place]) / task.ticks_a_minute,
            arrives_min=minute(found.arrives[place]),
            begins_min=minute(found.begins[place]),
            leaves_min=minute(found.leaves[place]),
            adds=float(adds[stop]),
        )
        for place, stop in enumerate(order)
    )
    stay = int(task.stay[list(order)].sum())
    wait = sum(found.begins) - sum(found.arrives)
    return Route(
        stops=stops,
        score=float(score(task.worth, members)),
        starts_min=task.starts_min,
        ends_min=minute(found.ends),
        travel_min=(found.ends - stay - wait) / task.ticks_a_minute,
        stay_min=stay / task.ticks_a_minute,
        wait_min=wait / task.ticks_a_minute,
    )


def _runners_up(task: Task, order: Order) -> tuple[RunnerUp, ...]:
    """Give the stops left out, those that would add most first."""
    base = kept(task, order)
    ends, _ = insertions(task, order)
    adds = marginal(task.worth, members_of(task, order))
    left = sorted(set(range(len(task.stops))) - set(order), key=lambda stop: (-float(adds[stop]), stop))
    return tuple(
        RunnerUp(
            key=task.stops[stop].key,
            would_add=float(adds[stop]),
            costs_min=(int(ends[stop]) - base.ends) / task.ticks_a_minute if ends[stop] < NEVER else None,
            over_min=max(int(ends[stop]) - task.latest, 0) / task.ticks_a_minute
            if ends[stop] < NEVER
            else None,
        )
        for stop in left
    )
