"""Improves an order of stops by its true score: shorter, fuller, one stop for another."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from sitebook.analysis.foray.schedule import ends_of, in_order, insertions
from sitebook.analysis.foray.task import NEVER, Task
from sitebook.analysis.foray.worth import marginal, score

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
Order = tuple[int, ...]

LEAST_GAIN = 1e-9
"""Less than this is taken for rounding."""

MOST_ROUNDS = 12


def members_of(task: Task, order: Sequence[int]) -> Flags:
    """Say which stops an order holds (n,)."""
    members = np.zeros(len(task.stops), np.bool_)
    members[list(order)] = True
    return members


def rank(task: Task, order: Sequence[int]) -> tuple[float, int]:
    """Give what orders are compared by: the score, then the earlier end; the greater is the better."""
    return round(float(score(task.worth, members_of(task, order))), 9), -ends_of(task, order)


def improved(task: Task, order: Sequence[int], *, rounds: int = MOST_ROUNDS) -> Order:
    """Improve an order until no single change helps, or for some rounds.

    Parameters
    ----------
    task
        The day's question.
    order
        An order that keeps every hour and ends in time.
    rounds
        How many rounds at most.
    """
    best = filled(task, tuple(order))
    for _ in range(rounds):
        changed = filled(task, _exchanged(task, shortened(task, best)))
        if rank(task, changed) <= rank(task, best):
            return best
        best = changed
    return best


def filled(task: Task, order: Order) -> Order:
    """Put in stops as long as one fits and adds something: the most for its time first."""
    while True:
        gain = marginal(task.worth, members_of(task, order))
        ends, places = insertions(task, order, gain > LEAST_GAIN)
        extra = np.maximum(ends - ends_of(task, order), 1)
        rate = np.where((ends <= task.latest) & (gain > LEAST_GAIN), gain / extra, -np.inf)
        if not np.isfinite(rate).any():
            return order
        stop = int(np.argmax(rate))
        place = int(places[stop])
        order = (*order[:place], stop, *order[place:])


def forced_order(task: Task) -> Order | None:
    """Put the forced stops into an order that ends in time, by insertion; None where that finds none."""
    order: Order = ()
    for stop in task.order:
        order = (*order, stop)
    left = set(np.flatnonzero(task.forced).tolist()) - set(order)
    while left:
        ends, places = insertions(task, order)
        stop = min(left, key=lambda one: (int(ends[one]), one))
        if ends[stop] >= NEVER:
            stop, order = _hardest(task, left, order)
            if stop < 0:
                return None
        else:
            order = (*order[: int(places[stop])], stop, *order[int(places[stop]) :])
        left.discard(stop)
        order = shortened(task, order)
    return order if ends_of(task, order) <= task.latest else None


def _hardest(task: Task, left: set[int], order: Order) -> tuple[int, Order]:
    """Start over from the stop whose hours are over first, where the insertion came to a dead end."""
    if order and not task.order:
        early = sorted({*left, *order}, key=lambda one: (int(task.hours[one][-1, 1]), one))
        if ends_of(task, early) < NEVER:
            left.clear()
            return early[0], tuple(early)
    return -1, order


def shortened(task: Task, order: Order) -> Order:
    """Move and turn stops as long as that ends the day earlier."""
    best, ends = order, ends_of(task, order)
    again = True
    while again:
        again = False
        for other in _neighbours(best):
            found = ends_of(task, other)
            if found < ends and in_order(task, other):
                best, ends, again = other, found, True
                break
    return best


def _neighbours(order: Order) -> Iterator[Order]:
    count = len(order)
    for low in range(count):
        for high in range(low + 2, count + 1):
            yield (*order[:low], *order[low:high][::-1], *order[high:])
    for size in (1, 2, 3):
        for low in range(count - size + 1):
            rest = (*order[:low], *order[low + size :])
            for place in range(len(rest) + 1):
                if place != low:
                    yield (*rest[:place], *order[low : low + size], *rest[place:])


def _exchanged(task: Task, order: Order) -> Order:
    """Make the one exchange of a stop for another that gains the most, if any gains."""
    adds = marginal(task.worth, members_of(task, order))
    best, most = order, LEAST_GAIN
    for place, stop in enumerate(order):
        if task.forced[stop]:
            continue
        rest = (*order[:place], *order[place + 1 :])
        gain = marginal(task.worth, members_of(task, rest)) - adds[stop]
        ends, places = insertions(task, rest, gain > most)
        gain = np.where(ends <= task.latest, gain, -np.inf)
        gain[stop] = -np.inf
        new = int(np.argmax(gain))
        if gain[new] > most:
            most = float(gain[new])
            best = (*rest[: int(places[new])], new, *rest[int(places[new]) :])
    return best
