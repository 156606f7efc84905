"""Fits the season model in many made worlds, and scores it against simpler ways on a year held out."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sitebook.analysis.season import model, prediction, scores, simpler
from tests.analysis.season.worlds import World

Floats = NDArray[np.float64]

LEVELS = (0.5, 0.8, 0.95)
MODEL = "season model"
TRUTH = "the truth"
THINNING = 7
"""Added to the seed of a world to draw the looks that are kept, so that both draws differ."""


@dataclass(frozen=True)
class Trial:
    """One world, learnt from some finds and scored on its last year.

    Parameters
    ----------
    losses
        Log loss by way of saying a chance.
    covered
        Share of looks whose true chance lies within the interval of each level.
    said, came
        Chance the model gave each look, and whether it found something.
    finds
        Finds learnt from.
    """

    losses: dict[str, float]
    covered: tuple[float, ...]
    said: Floats
    came: NDArray[np.bool_]
    finds: int


def trial(world: World, finds: float, seed: int) -> Trial:
    """Learn from about this many finds of a world, and score on the year held out."""
    past = world.past(finds, np.random.default_rng([seed, THINNING]))
    held_out, true = world.held_out()
    fit = model.fit(past, world.prior)
    answers = [prediction.predict(fit, held_out.at, level) for level in LEVELS]
    ways = {name: say(past, held_out.at, world.prior) for name, say in simpler.SIMPLER.items()}
    ways |= {MODEL: answers[0].chance, TRUTH: true}
    losses = {name: scores.log_loss(chance, held_out.found) for name, chance in ways.items()}
    covered = tuple(float(((true >= a.low) & (true <= a.high)).mean()) for a in answers)
    return Trial(losses, covered, answers[0].chance, held_out.found, fit.finds)


def trials(
    make: Callable[[int], World], finds: Iterable[float], seeds: Iterable[int]
) -> dict[float, list[Trial]]:
    """Run trials at several numbers of finds, each world made once."""
    wanted = tuple(finds)
    found: dict[float, list[Trial]] = {number: [] for number in wanted}
    for seed in seeds:
        world = make(seed)
        for number in wanted:
            found[number].append(trial(world, number, seed))
    return found


def gains(run: list[Trial], way: str) -> Floats:
    """Give how much lower the model's log loss is than that of another way, one a trial."""
    return np.array([one.losses[way] - one.losses[MODEL] for one in run])


def covered(run: list[Trial]) -> Floats:
    """Give the mean coverage of each level."""
    return np.asarray(np.mean([one.covered for one in run], axis=0))


def bins(run: list[Trial]) -> tuple[scores.Bin, ...]:
    """Give the reliability over all looks of all trials."""
    said, came = (np.concatenate([getattr(one, name) for one in run]) for name in ("said", "came"))
    return scores.reliability(said, came)
