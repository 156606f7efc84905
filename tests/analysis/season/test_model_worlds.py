"""Tests that the season model beats simpler ways in made worlds, and that its intervals hold the truth."""

from __future__ import annotations

import numpy as np
import pytest

from sitebook.analysis.season import scores
from tests.analysis.season import trials, worlds

SEEDS = range(1, 41)
FINDS = (5.0, 40.0)
WINS = {"matched": 0.80, "rain-triggered": 0.70}

Run = list[trials.Trial]


@pytest.fixture(scope="module")
def runs() -> dict[str, dict[float, Run]]:
    return {name: trials.trials(make, FINDS, SEEDS) for name, make in worlds.WORLDS.items()}


@pytest.mark.parametrize("finds", FINDS)
@pytest.mark.parametrize("world", list(worlds.WORLDS))
@pytest.mark.parametrize("way", ["month histogram", "pooled ratio"])
def test_the_model_beats_what_is_simpler(
    runs: dict[str, dict[float, Run]], world: str, finds: float, way: str
) -> None:
    gains = trials.gains(runs[world][finds], way)
    assert (gains > 0.0).mean() >= WINS[world]
    assert gains.mean() >= 0.03


@pytest.mark.parametrize("finds", FINDS)
@pytest.mark.parametrize("world", list(worlds.WORLDS))
def test_chances_mean_what_they_say(runs: dict[str, dict[float, Run]], world: str, finds: float) -> None:
    run = runs[world][finds]
    away = np.array([one.said.mean() - one.came.mean() for one in run])
    assert abs(away.mean()) <= 0.02 + 2.0 * away.std(ddof=1) / np.sqrt(away.size)
    assert scores.calibration_error(trials.bins(run)) <= 0.04


@pytest.mark.parametrize("finds", FINDS)
def test_intervals_hold_the_true_chance(runs: dict[str, dict[float, Run]], finds: float) -> None:
    half, most, nearly_all = trials.covered(runs["matched"][finds])
    assert 0.70 <= most <= 0.88
    assert half < most < nearly_all


def test_a_trial_learns_from_about_as_many_finds_as_asked(runs: dict[str, dict[float, Run]]) -> None:
    for world in worlds.WORLDS:
        for finds in FINDS:
            learnt = np.mean([one.finds for one in runs[world][finds]])
            assert learnt == pytest.approx(finds, rel=0.25)


def test_the_truth_beats_the_model(runs: dict[str, dict[float, Run]]) -> None:
    for world in worlds.WORLDS:
        assert trials.gains(runs[world][40.0], trials.TRUTH).mean() < 0.0


def test_a_calendar_that_is_six_weeks_off_is_corrected_by_forty_finds() -> None:
    run = [trials.trial(worlds.matched(seed, books_off_days=45.0), 40.0, seed) for seed in range(101, 121)]
    assert (trials.gains(run, "month histogram") > 0.0).mean() >= 0.8
    assert trials.gains(run, "published calendar").mean() > 0.1


@pytest.mark.parametrize("world", list(worlds.WORLDS))
def test_a_seed_gives_the_same_world_again(world: str) -> None:
    first, again = worlds.WORLDS[world](5), worlds.WORLDS[world](5)
    assert first.chance.tolist() == again.chance.tolist()
    assert first.looks.found.tolist() == again.looks.found.tolist()
    assert worlds.WORLDS[world](6).chance.size != 0
