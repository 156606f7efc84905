"""Tests the score of sets: what repeats adds less, and the quick ways agree with the rule."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sitebook.analysis.foray.stops import Stop
from sitebook.analysis.foray.worth import marginal, score, score_of_subsets, worth_of
from tests.analysis.foray.days import made_day


def test_a_taxon_offered_twice_counts_less_the_second_time() -> None:
    stops = [Stop("a", 10.0, {"chanterelle": 0.5}), Stop("b", 10.0, {"chanterelle": 0.5}, scouting=0.1)]
    worth = worth_of(stops, {"chanterelle": 4.0})
    sets = np.array([[False, False], [True, False], [False, True], [True, True]])
    assert score(worth, sets) == pytest.approx([0.0, 2.0, 2.1, 3.1])


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 10_000), st.integers(0, 9))
def test_all_subsets_at_once_agree_with_one_at_a_time(seed: int, count: int) -> None:
    day = made_day(count, seed, minutes=200.0, taxa=5)
    worth = worth_of(day.stops, day.weights)
    sets = (np.arange(1 << count)[:, None] >> np.arange(count)) & 1 == 1
    assert score_of_subsets(worth) == pytest.approx(score(worth, sets), abs=1e-9)


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 10_000))
def test_what_a_stop_adds_is_the_difference_it_makes_and_falls_as_others_come(seed: int) -> None:
    random = np.random.default_rng(seed)
    day = made_day(8, seed, minutes=200.0, taxa=4)
    worth = worth_of(day.stops, day.weights)
    fewer = random.uniform(size=8) < 0.4
    more = fewer | (random.uniform(size=8) < 0.4)
    for members in (fewer, more):
        adds = marginal(worth, members)
        for stop in range(8):
            with_it, without = members.copy(), members.copy()
            with_it[stop], without[stop] = True, False
            assert adds[stop] == pytest.approx(score(worth, with_it) - score(worth, without), abs=1e-9)
    outside = ~more
    assert np.all(marginal(worth, more)[outside] <= marginal(worth, fewer)[outside] + 1e-12)


@pytest.mark.parametrize(
    ("stop", "weights"),
    [
        (Stop("a", 1.0, {"x": 1.5}), {"x": 1.0}),
        (Stop("a", 1.0, {"x": 0.5}), {"x": -1.0}),
        (Stop("a", 1.0, scouting=-0.1), {}),
        (Stop("a", 1.0, {"x": float("nan")}), {"x": 1.0}),
    ],
)
def test_numbers_that_cannot_be_are_refused(stop: Stop, weights: dict[str, float]) -> None:
    with pytest.raises(ValueError, match=r"chance|worth"):
        worth_of([stop], weights)
