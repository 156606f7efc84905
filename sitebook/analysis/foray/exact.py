"""Finds the best route among all routes of up to twenty stops."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sitebook.analysis.foray.task import NEVER, Task, begin
from sitebook.analysis.foray.worth import score_of_subsets

Ints = NDArray[np.int64]
Ticks = NDArray[np.int32]
Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

MOST_STOPS = 20
"""A day of more stops is not searched whole: the table of sets would not fit."""

COLUMNS = 4096
"""Sets handled at once, so that they stay in the processor's nearest memory."""


@dataclass(frozen=True, eq=False)
class Layer:
    """All sets of one size that a day can hold.

    Parameters
    ----------
    sets
        The sets, sorted; bit k stands for stop k.
    done
        Earliest tick at which the last stop is left, by last stop and set (n, sets); NEVER where impossible.
    """

    sets: Ints
    done: Ticks


@dataclass(frozen=True, eq=False)
class AllSets:
    """Every set of stops that a day can hold, best first.

    Parameters
    ----------
    sets
        The sets; bit k stands for stop k.
    scores
        What each is worth.
    layers
        What the search kept, by size of set from one.
    """

    sets: Ints
    scores: Floats
    layers: tuple[Layer, ...]


def all_sets(task: Task) -> AllSets:
    """Find every set of stops that can be visited and left in time, with its score.

    For every set and every last stop the earliest instant is kept at which the last is left. Since leaving
    earlier never harms, no other order of the set can do better.

    Parameters
    ----------
    task
        The day's question, of up to twenty stops.

    Returns
    -------
    AllSets
        Sets that hold what is forced, by score; of equal scores the one that ends earlier comes first.

    Raises
    ------
    ValueError
        When there are more stops.
    """
    count = len(task.stops)
    if count > MOST_STOPS:
        raise ValueError(f"more than {MOST_STOPS} stops are not searched whole")
    layers = tuple(_layers(task))
    sets = np.concatenate([[0], *(layer.sets for layer in layers)]).astype(np.int64)
    home = task.travel[1:-1, -1].astype(np.int32)[:, None]
    ends = np.concatenate([[task.travel[0, -1]], *((layer.done + home).min(axis=0) for layer in layers)])
    forced = int((task.forced.astype(np.int64) << np.arange(count)).sum())
    kept = (ends <= task.latest) & ((sets & forced) == forced)
    sets, ends = sets[kept], ends[kept]
    scores = np.round(score_of_subsets(task.worth)[sets], 9)
    order = np.lexsort((sets, ends, -scores))
    return AllSets(sets[order], scores[order], layers)


def order_of(task: Task, found: AllSets, chosen: int) -> tuple[int, ...]:
    """Give the stops of a set in the order that ends earliest."""
    if chosen == 0:
        return ()
    stops: list[int] = []
    home = task.travel[1:-1, -1]
    left, aim = chosen, -1
    while left:
        layer = found.layers[left.bit_count() - 1]
        done = layer.done[:, int(np.searchsorted(layer.sets, left))].astype(np.int64)
        if aim < 0:
            last = int(np.argmin(done + home))
        else:
            arrives = done + task.travel[1:-1, aim + 1]
            last = int(np.argmin(np.where(done < NEVER, arrives, 2 * NEVER)))
        stops.append(last)
        left, aim = left & ~(1 << last), last
    return tuple(stops[::-1])


def _layers(task: Task) -> Iterator[Layer]:
    count = len(task.stops)
    if count == 0:
        return
    sets = np.array([0], dtype=np.int64)
    done = np.full((count, 1), NEVER, dtype=np.int32)
    needs = _needs(task)
    while True:
        layer = _next(task, Layer(sets, done), needs)
        if layer.sets.size == 0:
            return
        yield layer
        if int(layer.sets[0]).bit_count() == count:
            return
        sets, done = layer.sets, layer.done


def _needs(task: Task) -> Ints:
    """Give for each stop the set that must be visited before it."""
    needs = np.zeros(len(task.stops), dtype=np.int64)
    for earlier, later in zip(task.order, task.order[1:], strict=False):
        needs[later] = needs[earlier] | (1 << earlier)
    return needs


def _next(task: Task, layer: Layer, needs: Ints) -> Layer:
    """Add one stop to every set in every way that leaves time to reach the end."""
    steps = [step for stop in range(len(task.stops)) for step in _with(task, layer, stop, needs)]
    flags = np.zeros(1 << len(task.stops), np.bool_)
    for _, sets, _ in steps:
        flags[sets] = True
    found = np.flatnonzero(flags)
    place = np.zeros(len(flags), np.int32)
    place[found] = np.arange(len(found), dtype=np.int32)
    done = np.full((len(task.stops), len(found)), NEVER, dtype=np.int32)
    for stop, sets, leaves in steps:
        done[stop, place[sets]] = leaves
    return Layer(found, done)


def _with(task: Task, layer: Layer, stop: int, needs: Ints) -> Iterator[tuple[int, Ints, Ticks]]:
    """Give the sets that a stop makes of those of a layer, and when it is left."""
    bit, need = 1 << stop, int(needs[stop])
    reach = task.travel[1:-1, stop + 1].astype(np.int32)[:, None]
    latest = task.latest - int(task.travel[stop + 1, -1])
    for low in range(0, len(layer.sets), COLUMNS):
        sets, done = layer.sets[low : low + COLUMNS], layer.done[:, low : low + COLUMNS]
        arrives: Ticks = np.minimum.reduce(done + reach, axis=0)
        if sets[0] == 0:
            arrives = np.full(1, task.travel[0, stop + 1], dtype=np.int32)
        usable = np.flatnonzero(((sets & bit) == 0) & ((sets & need) == need) & (arrives <= latest))
        begins = _begin(task.hours[stop], arrives[usable])
        leaves = (begins + task.stay[stop]).astype(np.int32)
        in_time = leaves <= latest
        yield stop, sets[usable[in_time]] | bit, leaves[in_time]


def _begin(hours: Ints, arrives: Ticks) -> Ints:
    return begin(hours, arrives.astype(np.int64))


def differing(found: AllSets, most: int, difference: float, worth: float) -> list[tuple[int, float, float]]:
    """Choose sets that differ from the best and from one another, best first.

    Parameters
    ----------
    found
        All sets, best first.
    most
        How many at most, the best not counted.
    difference
        Share of the stops of two sets taken together that must be in one alone [1].
    worth
        Share of the best score below which a set is not chosen [1].

    Returns
    -------
    list of tuple
        The set, its score, and its difference from the nearest one chosen before.
    """
    sets, scores = found.sets, found.scores
    nearest = np.full(len(sets), np.inf)
    chosen: list[tuple[int, float, float]] = []
    last = int(sets[0])
    while len(chosen) < most:
        nearest = np.minimum(nearest, _apart(sets, last))
        fits = np.flatnonzero((nearest >= difference) & (scores >= worth * scores[0]) & (sets != 0))
        if fits.size == 0:
            break
        last = int(sets[fits[0]])
        chosen.append((last, float(scores[fits[0]]), float(nearest[fits[0]])))
    return chosen


def _apart(sets: Ints, other: int) -> Floats:
    """Give the share of stops that are in one of two sets alone, among those in either."""
    either = _sizes(sets | other)
    return np.asarray(_sizes(sets ^ other) / np.maximum(either, 1))


def _sizes(sets: Ints) -> Ints:
    table = np.array([k.bit_count() for k in range(1 << 10)], dtype=np.int64)
    return np.asarray(table[sets & 1023] + table[sets >> 10])
