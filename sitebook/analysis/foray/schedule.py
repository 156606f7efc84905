"""Tells when each stop of an order is reached and left, and what one more stop would cost."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sitebook.analysis.foray.task import NEVER, Task, begin

Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]


@dataclass(frozen=True)
class Schedule:
    """An order of stops in time, in ticks after the start of the day.

    Parameters
    ----------
    order
        The stops.
    arrives, begins, leaves
        When each is reached, work begins, and it is left.
    ends
        When the end is reached.
    """

    order: tuple[int, ...]
    arrives: tuple[int, ...]
    begins: tuple[int, ...]
    leaves: tuple[int, ...]
    ends: int


def scheduled(task: Task, order: Sequence[int]) -> Schedule | None:
    """Go through an order as early as possible; None where the hours of a stop are over before it is reached.

    The end may come out later than the day allows.
    """
    now, place, rows, stays = 0, 0, task.rows, task.stays
    arrives, begins, leaves = [], [], []
    for stop in order:
        arrived = now + rows[place][stop + 1]
        began = _begin(task, stop, arrived)
        if began >= NEVER:
            return None
        now, place = began + stays[stop], stop + 1
        arrives.append(arrived)
        begins.append(began)
        leaves.append(now)
    ends = now + rows[place][-1]
    return Schedule(tuple(order), tuple(arrives), tuple(begins), tuple(leaves), ends)


def kept(task: Task, order: Sequence[int]) -> Schedule:
    """Go through an order that keeps every hour.

    Raises
    ------
    ValueError
        When it does not.
    """
    found = scheduled(task, order)
    if found is None:
        raise ValueError("the hours of a stop are over before it is reached")
    return found


def ends_of(task: Task, order: Sequence[int]) -> int:
    """Give when an order reaches the end; NEVER where the hours of a stop forbid it."""
    found = scheduled(task, order)
    return NEVER if found is None else found.ends


def in_order(task: Task, order: Sequence[int]) -> bool:
    """Say whether the stops that must follow one another do."""
    places = {stop: place for place, stop in enumerate(order)}
    asked = [places[stop] for stop in task.order if stop in places]
    return asked == sorted(asked)


def insertions(task: Task, order: Sequence[int], among: Flags | None = None) -> tuple[Ints, Ints]:
    """Give for every stop when the end is reached with it in the best place of an order, and that place.

    Parameters
    ----------
    task
        The day's question.
    order
        The order, which is kept.
    among
        Which stops to try (n,); None: all.

    Returns
    -------
    tuple of ndarray
        The end in ticks (n,), NEVER for stops in the order, not tried, or forbidden by the hours of one; the
        place, 0 in front (n,).
    """
    count, base = len(task.stops), scheduled(task, order)
    best, place = np.full(count, NEVER, dtype=np.int64), np.zeros(count, dtype=np.int64)
    if base is None:
        return best, place
    free = np.ones(count, np.bool_) if among is None else among.copy()
    free[list(order)] = False
    candidates = np.flatnonzero(free)
    if candidates.size == 0:
        return best, place
    leaves, before = (0, *base.leaves), (0, *(stop + 1 for stop in order))
    for spot in range(len(order) + 1):
        arrives = leaves[spot] + task.travel[before[spot], candidates + 1]
        now = _begin_each(task, candidates, arrives)
        now = np.where(now < NEVER, now + task.stay[candidates], NEVER)
        ends = _onward(task, candidates, now, order[spot:])
        better = (ends < best[candidates]) & _may_stand(task, candidates, order, spot)
        best[candidates[better]], place[candidates[better]] = ends[better], spot
    return best, place


def _begin(task: Task, stop: int, arrived: int) -> int:
    for opens, closes in task.open_spans[stop]:
        began = max(arrived, opens)
        if began <= closes:
            return began
    return NEVER


def _begin_each(task: Task, stops: Ints, arrives: Ints) -> Ints:
    """Give when work may begin at stops that each have an arrival of their own."""
    begins = np.full(len(stops), NEVER, dtype=np.int64)
    for turn in range(task.spans.shape[1])[::-1]:
        opens, closes = task.spans[stops, turn].T
        waited = np.maximum(arrives, opens)
        begins = np.where(waited <= closes, waited, begins)
    return begins


def _onward(task: Task, starts: Ints, now: Ints, order: Sequence[int]) -> Ints:
    """Go on from different stops through the rest of an order to the end."""
    reach = task.travel[starts + 1]
    for turn, stop in enumerate(order):
        arrives = now + (reach[:, stop + 1] if turn == 0 else task.travel[order[turn - 1] + 1, stop + 1])
        now = begin(task.hours[stop], arrives) + task.stays[stop]
    home = reach[:, -1] if not order else task.travel[order[-1] + 1, -1]
    return np.minimum(now + home, NEVER)


def _may_stand(task: Task, stops: Ints, order: Sequence[int], spot: int) -> Flags:
    """Say which stops may stand at a place of an order, for those that must follow one another."""
    fits = np.ones(len(stops), np.bool_)
    for number, stop in enumerate(task.order):
        before = set(task.order[:number]) & set(order[spot:])
        after = set(task.order[number + 1 :]) & set(order[:spot])
        if before or after:
            fits[stops == stop] = False
    return fits
