"""Tests routes of many stops against proved optima, and that a bound holds and a seed repeats."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from sitebook.analysis.foray import exact, pace
from sitebook.analysis.foray.bound import upper_bound
from sitebook.analysis.foray.improve import forced_order, improved, members_of, rank
from sitebook.analysis.foray.route import plan_route
from sitebook.analysis.foray.schedule import ends_of, insertions
from sitebook.analysis.foray.search import searched, with_prizes
from sitebook.analysis.foray.stops import Wishes
from sitebook.analysis.foray.task import NEVER, Task, task_of
from sitebook.analysis.foray.worth import score
from sitebook.errors import BadArgument
from sitebook.records.results.route import RoutePlan
from tests.analysis.foray.days import Day, made_day, tsiligirides, tsiligirides_optima, with_time_windows

BUDGETS = [(1, 10), (1, 46), (1, 55), (1, 85), (2, 23), (2, 45), (3, 50), (3, 80), (3, 110)]
"""A sample of the 49; the benchmark runs them all."""

WINDOWS = {"c101": 320, "c105": 340, "c106": 340, "r101": 198, "r105": 247, "rc101": 219}


def _plan(day: Day, *, ticks: int = 60, wishes: Wishes | None = None, alternatives: int = 0) -> RoutePlan:
    return plan_route(
        day.stops,
        day.travel_min,
        day.weights,
        starts_min=day.starts_min,
        latest_end_min=day.latest_end_min,
        wishes=wishes,
        ticks_a_minute=ticks,
        alternatives=alternatives,
    )


def _task(day: Day, wishes: Wishes | None = None) -> Task:
    return task_of(
        day.stops,
        day.travel_min,
        day.weights,
        starts_min=day.starts_min,
        latest_end_min=day.latest_end_min,
        wishes=wishes,
    )


@pytest.mark.source(
    item="",
    what="best score of nine of Tsiligirides' 49 orienteering instances",
    value="the optimum",
    source="thtran97/orienteering-cpp; optima proved with CP-SAT",
    mark="computed",
)
@pytest.mark.parametrize(("problem", "budget"), BUDGETS)
def test_orienteering_instances_reach_the_proved_optimum(
    problem: int, budget: int, shared_file: Callable[[str], Path]
) -> None:
    digits = 3 if problem == 3 else 2
    name = f"tsiligirides_problem_{problem}_budget_{budget:0{digits}d}.txt"
    day = tsiligirides(shared_file(f"orienteering/op/Tsiligirides_{problem}/{name}"))
    best = tsiligirides_optima(shared_file("orienteering/tsiligirides_optima_cpsat.txt"))
    plan = _plan(day, ticks=10_000)
    assert plan.route.score == pytest.approx(best[problem, float(budget)])
    assert plan.route.ends_min <= budget
    assert plan.bound.score >= plan.route.score


@pytest.mark.source(
    item="",
    what="best score of one route with time windows, distances cut to one decimal",
    value="c101 320, c105 340, c106 340, r101 198, r105 247, rc101 219",
    source="Righini & Salani's instances; optima proved with CP-SAT",
    mark="computed",
)
@pytest.mark.parametrize(("name", "best"), WINDOWS.items())
def test_instances_with_time_windows_reach_the_proved_optimum(
    name: str, best: int, shared_file: Callable[[str], Path]
) -> None:
    plan = _plan(with_time_windows(shared_file(f"orienteering/toptw/{name}.txt")), ticks=10)
    assert plan.route.score == pytest.approx(best)
    assert not plan.proved
    assert plan.bound.score >= best


@pytest.mark.source(
    item="",
    what="best score of made days of 14 to 18 stops whose taxa repeat",
    value="that of the search over all sets, within 1 %",
    source="the exact programme, itself held to trying every order",
    mark="computed",
)
@pytest.mark.parametrize(("count", "seed"), [(14, 1), (16, 2), (18, 3)])
def test_the_search_comes_near_the_proved_route(count: int, seed: int) -> None:
    task = _task(made_day(count, seed, minutes=240.0, hours=0.3))
    best = exact.all_sets(task).scores[0]
    order = searched(task, seed=1)
    assert 0.99 * best <= rank(task, order)[0] <= best + 1e-9
    assert upper_bound(task, order).score >= best - 1e-9


def test_a_bound_holds_whatever_route_it_is_made_from() -> None:
    for seed in range(30):
        task = _task(made_day(10, seed, minutes=150.0))
        found = exact.all_sets(task)
        for chosen in found.sets[:: max(len(found.sets) // 5, 1)]:
            order = exact.order_of(task, found, int(chosen))
            assert upper_bound(task, order).score >= found.scores[0] - 1e-9


def test_the_same_seed_gives_the_same_plan() -> None:
    day = made_day(30, 4, minutes=240.0, hours=0.2)
    one, other = _plan(day, alternatives=2), _plan(day, alternatives=2)
    assert one == other
    assert 1 <= len(one.alternatives) <= 2
    for found in one.alternatives:
        assert found.difference >= pace.value("alternative_difference")
        assert found.route.score <= one.route.score + 1e-9


def test_wishes_are_kept_among_many_stops() -> None:
    day = made_day(26, 6, minutes=240.0)
    wishes = Wishes(
        force=frozenset({"stop 3"}), bar=frozenset({"stop 4"}), in_order=("stop 9", "stop 2", "stop 7")
    )
    route = _plan(day, wishes=wishes).route
    places = [route.keys.index(key) for key in wishes.in_order]
    assert places == sorted(places)
    assert "stop 3" in route.keys
    assert "stop 4" not in route.keys
    assert route.ends_min <= day.latest_end_min
    timed = _plan(day, wishes=Wishes(force=frozenset({"stop 3"}), at_min={"stop 5": 640.0})).route
    stop = next(stop for stop in timed.stops if stop.key == "stop 5")
    assert stop.begins_min == pytest.approx(640.0)
    assert "stop 3" in timed.keys


def test_too_many_forced_stops_are_told() -> None:
    day = made_day(24, 6, minutes=100.0)
    within = [stop.key for stop in _task(day).stops]
    assert len(within) > 20
    with pytest.raises(BadArgument, match="no order was found"):
        _plan(day, wishes=Wishes(force=frozenset(within)))


def test_a_stop_open_twice_is_visited_once() -> None:
    day = made_day(24, 8, minutes=240.0, hours=1.0)
    task = _task(day)
    assert any(len(hours) > 1 for hours in task.hours)
    order = with_prizes(task, np.ones(len(task.stops)), seed=1, steps=400)
    assert order
    assert len(set(order)) == len(order)
    assert ends_of(task, order) <= task.latest


def test_where_every_stop_fits_the_plan_is_proved() -> None:
    plan = _plan(made_day(22, 1, minutes=900.0, side=20.0))
    assert plan.proved
    assert len(plan.route.stops) >= 20
    assert plan.bound.score == pytest.approx(plan.route.score)


@pytest.mark.parametrize("seed", range(8))
def test_the_best_place_of_an_insertion_is_found_as_by_trying_all(seed: int) -> None:
    task = _task(made_day(12, seed, minutes=300.0, hours=0.5))
    start = forced_order(task)
    assert start is not None
    order = improved(task, start, rounds=1)[:6]
    ends, places = insertions(task, order)
    for stop in set(range(len(task.stops))) - set(order):
        tried = [ends_of(task, (*order[:k], stop, *order[k:])) for k in range(len(order) + 1)]
        assert ends[stop] == min(tried)
        assert min(tried) == NEVER or tried[int(places[stop])] == min(tried)
    assert float(score(task.worth, members_of(task, order))) > 0.0
