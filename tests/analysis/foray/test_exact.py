"""Tests the proved route against trying every order, and what wishes and alternatives do to it."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sitebook.analysis.foray import exact, pace
from sitebook.analysis.foray.route import plan_route
from sitebook.analysis.foray.stops import Hours, Stop, Wishes, open_between
from sitebook.analysis.foray.task import task_of
from sitebook.errors import BadArgument
from sitebook.records.results.route import RoutePlan
from tests.analysis.foray.days import Day, made_day

CASES = 500


def _plan(day: Day, wishes: Wishes | None = None) -> RoutePlan:
    return plan_route(
        day.stops,
        day.travel_min,
        day.weights,
        starts_min=day.starts_min,
        latest_end_min=day.latest_end_min,
        wishes=wishes,
        ticks_a_minute=6000,
    )


def _worth(day: Day, chosen: tuple[int, ...]) -> float:
    """Score stops by the rule itself, one taxon after another."""
    total = sum(day.stops[stop].scouting for stop in chosen)
    for taxon, weight in day.weights.items():
        missed = 1.0
        for stop in chosen:
            missed *= 1.0 - day.stops[stop].chances.get(taxon, 0.0)
        total += weight * (1.0 - missed)
    return total


def _feasible(day: Day, order: tuple[int, ...]) -> bool:
    now, place = day.starts_min, 0
    for stop in order:
        now += float(day.travel_min[place, stop + 1])
        spans = sorted(
            (span.begin_min, span.until_min) for span in day.stops[stop].hours or (Hours(0.0, 1e9),)
        )
        begins = [max(now, opens) for opens, closes in spans if max(now, opens) <= closes]
        if not begins:
            return False
        now, place = begins[0] + day.stops[stop].stay_min, stop + 1
    return now + float(day.travel_min[place, -1]) <= day.latest_end_min


def _brute_force(day: Day) -> float:
    """Try every order, growing only those that are in time so far."""
    best = 0.0
    fronts: list[tuple[int, ...]] = [()]
    while fronts:
        order = fronts.pop()
        if _feasible(day, order):
            best = max(best, _worth(day, order))
            fronts += [(*order, stop) for stop in range(len(day.stops)) if stop not in order]
    return best


@pytest.mark.source(
    item="",
    what="best score of 500 made days of up to 8 stops whose taxa repeat, a third with hours",
    value="that of trying every order",
    source="exhaustive search in the test",
    mark="computed",
)
def test_the_proved_route_is_the_best_of_every_order() -> None:
    for seed in range(CASES):
        random = np.random.default_rng(seed)
        day = made_day(
            int(random.integers(0, 9)), seed, minutes=float(random.uniform(60.0, 260.0)), taxa=5, hours=0.33
        )
        plan = _plan(day)
        assert plan.proved
        chosen = tuple(
            next(k for k, stop in enumerate(day.stops) if stop.key == key) for key in plan.route.keys
        )
        assert plan.route.score == pytest.approx(_worth(day, chosen), abs=1e-9)
        assert plan.route.score == pytest.approx(_brute_force(day), abs=1e-6), seed
        assert plan.route.ends_min <= day.latest_end_min + 1e-9


def test_the_schedule_adds_up() -> None:
    plan = _plan(made_day(9, 3, minutes=240.0, hours=0.5))
    route = plan.route
    assert len(route.stops) > 3
    total = route.travel_min + route.stay_min + route.wait_min
    assert route.starts_min + total == pytest.approx(route.ends_min)
    now = route.starts_min
    for stop in route.stops:
        assert stop.arrives_min == pytest.approx(now + stop.travel_min)
        assert stop.begins_min >= stop.arrives_min
        now = stop.leaves_min


@pytest.mark.parametrize("seed", range(6))
def test_wishes_are_kept_and_cost_score(seed: int) -> None:
    day = made_day(8, seed, minutes=200.0)
    free = _plan(day).route
    left = [stop.key for stop in day.stops if stop.key not in free.keys]
    forced = _plan(day, Wishes(force=frozenset(left[:1]))).route
    assert set(left[:1]) <= set(forced.keys)
    assert forced.score <= free.score + 1e-9
    barred = _plan(day, Wishes(bar=frozenset(free.keys[:1])))
    assert free.keys[0] not in barred.route.keys
    assert free.keys[0] not in {other.key for other in barred.runners_up}
    turned = _plan(day, Wishes(in_order=(free.keys[-1], free.keys[0]))).route
    assert turned.keys.index(free.keys[-1]) < turned.keys.index(free.keys[0])


def test_a_stop_is_begun_at_the_minute_asked_for() -> None:
    day = made_day(6, 2, minutes=300.0)
    at = _plan(day, Wishes(at_min={"stop 3": 700.0})).route
    stop = next(stop for stop in at.stops if stop.key == "stop 3")
    assert stop.begins_min == pytest.approx(700.0)


def test_a_place_is_left_before_it_closes() -> None:
    hours = (open_between(600.0, 660.0, 20.0),)
    stop = Stop("garden", 20.0, scouting=1.0, hours=hours)
    late = np.array([[0, 110.0, 0], [0, 0, 5.0], [0, 0, 0]])
    plan = plan_route([stop], late, {}, starts_min=540.0, latest_end_min=900.0)
    assert plan.route.keys == ()
    assert plan.unreachable == ("garden",)
    early = np.where(late == 110.0, 10.0, late)
    route = plan_route([stop], early, {}, starts_min=540.0, latest_end_min=900.0).route
    assert route.wait_min == pytest.approx(50.0)
    assert route.stops[0].leaves_min == pytest.approx(620.0)


@pytest.mark.parametrize(
    ("wishes", "said"),
    [
        (Wishes(force=frozenset({"nowhere"})), "not one of the stops"),
        (Wishes(force=frozenset({"stop 1"}), bar=frozenset({"stop 1"})), "barred at once"),
        (Wishes(at_min={"stop 1": 541.0}), "cannot be reached"),
        (Wishes(force=frozenset(f"stop {number}" for number in range(8))), "no order was found"),
    ],
)
def test_wishes_that_cannot_be_are_told(wishes: Wishes, said: str) -> None:
    with pytest.raises(BadArgument, match=said):
        _plan(made_day(8, 1, minutes=90.0), wishes)


def test_an_end_out_of_reach_is_told() -> None:
    with pytest.raises(BadArgument, match="the end cannot be reached"):
        plan_route([], np.array([[0.0, 50.0], [0.0, 0.0]]), {}, starts_min=0.0, latest_end_min=40.0)


def test_alternatives_differ_and_come_best_first() -> None:
    plan = _plan(made_day(14, 5, minutes=240.0))
    routes = [plan.route, *(other.route for other in plan.alternatives)]
    assert 3 <= len(routes) <= 5
    for one, other in itertools.combinations(routes, 2):
        both, either = set(one.keys) & set(other.keys), set(one.keys) | set(other.keys)
        assert 1.0 - len(both) / len(either) >= pace.value("alternative_difference")
    scores = [route.score for route in routes]
    assert scores == sorted(scores, reverse=True)


def test_what_a_runner_up_costs_is_what_forcing_it_into_the_order_costs() -> None:
    day = made_day(9, 7, minutes=200.0)
    plan = _plan(day)
    place = {stop.key: k + 1 for k, stop in enumerate(day.stops)}
    assert plan.runners_up
    for other in plan.runners_up:
        chain = [0, *(place[key] for key in plan.route.keys), len(day.stops) + 1]
        new = place[other.key]
        least = min(
            day.travel_min[a, new] + day.travel_min[new, b] - day.travel_min[a, b]
            for a, b in itertools.pairwise(chain)
        )
        assert other.costs_min == pytest.approx(least + day.stops[new - 1].stay_min, abs=0.01)
        assert other.over_min is not None
        assert other.over_min > 0.0
    gains = [other.would_add for other in plan.runners_up]
    assert gains == sorted(gains, reverse=True)


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 10_000), st.floats(60.0, 300.0))
def test_more_time_never_makes_a_day_worth_less(seed: int, minutes: float) -> None:
    day = made_day(7, seed, minutes=minutes, hours=0.3)
    longer = Day(day.stops, day.travel_min, day.weights, day.starts_min, day.latest_end_min + 30.0)
    assert _plan(longer).route.score >= _plan(day).route.score - 1e-9


def test_more_stops_than_a_table_holds_are_refused() -> None:
    day = made_day(21, 1, minutes=600.0)
    task = task_of(day.stops, day.travel_min, day.weights, starts_min=540.0, latest_end_min=1140.0)
    with pytest.raises(ValueError, match="not searched whole"):
        exact.all_sets(task)


def test_travel_of_another_size_is_refused() -> None:
    with pytest.raises(ValueError, match="row and a column"):
        plan_route([], np.zeros((3, 3)), {}, starts_min=0.0, latest_end_min=10.0)
