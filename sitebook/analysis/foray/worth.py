"""Scores sets of stops: the same taxon at several stops adds less each time."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sitebook.analysis.foray.stops import Stop

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
Ints = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Worth:
    """What some stops offer.

    Parameters
    ----------
    weight
        Worth of a worthwhile find of each taxon (t,).
    chance
        Chance of one at each stop (n, t).
    scouting
        What the look at each stop is worth alone (n,).
    """

    weight: Floats
    chance: Floats
    scouting: Floats


def worth_of(stops: Sequence[Stop], weights: Mapping[str, float]) -> Worth:
    """Gather what some stops offer.

    Parameters
    ----------
    stops
        The stops.
    weights
        Worth of a worthwhile find by taxon, 0 or more; a taxon that is not named is worth nothing.

    Raises
    ------
    ValueError
        When a chance is no chance, or a worth is below 0 or not finite.
    """
    taxa = sorted({taxon for stop in stops for taxon in stop.chances} & set(weights))
    weight = np.array([weights[taxon] for taxon in taxa], dtype=np.float64)
    chance = np.array([[stop.chances.get(taxon, 0.0) for taxon in taxa] for stop in stops], dtype=np.float64)
    scouting = np.array([stop.scouting for stop in stops], dtype=np.float64)
    if not (np.all((chance >= 0.0) & (chance <= 1.0))):
        raise ValueError("a chance lies between 0 and 1")
    for worths in (weight, scouting):
        if not np.all(np.isfinite(worths) & (worths >= 0.0)):
            raise ValueError("a worth is 0 or more, and finite")
    return Worth(weight, chance.reshape(len(stops), len(taxa)), scouting)


def score(worth: Worth, members: Flags) -> Floats:
    """Score sets of stops.

    The score is, for each taxon, its weight times the chance that at least one stop yields it, finds at
    different stops being independent, and the scouting of every stop.

    Parameters
    ----------
    worth
        What the stops offer.
    members
        Which stops are in each set (..., n).

    Returns
    -------
    ndarray
        Score of each set (...).
    """
    missed = np.prod(np.where(members[..., None], 1.0 - worth.chance, 1.0), axis=-2)
    return np.asarray((1.0 - missed) @ worth.weight + members @ worth.scouting)


def marginal(worth: Worth, members: Flags) -> Floats:
    """Give what each stop adds to a set, or to the rest of the set where it is in it (n,)."""
    missed = np.where(members[:, None], 1.0 - worth.chance, 1.0)
    ones = np.ones((1, missed.shape[1]))
    before = np.concatenate([ones, np.cumprod(missed, axis=0)[:-1]])
    after = np.concatenate([np.cumprod(missed[::-1], axis=0)[::-1][1:], ones])
    of_others = before[: len(missed)] * after[: len(missed)]
    return np.asarray((of_others * worth.chance) @ worth.weight + worth.scouting)


def score_of_subsets(worth: Worth) -> Floats:
    """Score every subset of n stops (2**n,): bit k of the index stands for stop k.

    The missed chances of a subset are those of its lower half times those of its upper half, so that all
    subsets are one product of two matrices.
    """
    count = len(worth.scouting)
    low = count // 2
    missed_low, look_low = _halves(worth, slice(0, low))
    missed_high, look_high = _halves(worth, slice(low, count))
    missed = (missed_high * worth.weight) @ missed_low.T
    both = worth.weight.sum() - missed + look_high[:, None] + look_low[None, :]
    return np.asarray(np.maximum(both, 0.0).ravel())


def _halves(worth: Worth, part: slice) -> tuple[Floats, Floats]:
    """Give the missed chances (2**k, t) and the scouting (2**k,) of all subsets of some stops."""
    missed = np.ones((1, len(worth.weight)))
    look = np.zeros(1)
    for chance, scouting in zip(worth.chance[part], worth.scouting[part], strict=True):
        missed = np.concatenate([missed, missed * (1.0 - chance)])
        look = np.concatenate([look, look + scouting])
    return missed, look
