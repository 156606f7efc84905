"""Finds a score that no route of a day can exceed."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from sitebook.analysis.foray.task import Task
from sitebook.analysis.foray.worth import marginal, score
from sitebook.records.results.route import Bound

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

SAID = (
    "fractional knapsack: each stop costs its stay and the shortest way to it from anywhere, the time of the"
    " day is spent on what adds most for its cost, and the last stop may be taken in part"
)
ALL_SAID = "every stop that can be reached at all"


def upper_bound(task: Task, order: tuple[int, ...]) -> Bound:
    """Give the least score of several that no route can exceed.

    The score of any set of stops is at most that of another set and what each further stop adds to that
    other set alone, since stops add less to more. So each of a row of sets gives a bound: nothing, the
    route found, and the sets on the way to it.

    Parameters
    ----------
    task
        The day's question.
    order
        The route found, which makes the bound tighter.
    """
    costs, budget = _costs(task)
    added = sorted(order, key=lambda stop: -float(marginal(task.worth, _flags(task, order))[stop]))
    bounds = [_from(task, _flags(task, added[:size]), costs, budget) for size in range(len(added) + 1)]
    everything = float(score(task.worth, np.ones(len(task.stops), np.bool_)))
    if everything <= min(bounds):
        return Bound(everything, ALL_SAID)
    return Bound(min(bounds), SAID)


def _flags(task: Task, stops: tuple[int, ...] | list[int]) -> Flags:
    members = np.zeros(len(task.stops), np.bool_)
    members[list(stops)] = True
    return members


def _costs(task: Task) -> tuple[Ints, int]:
    """Give the least time each stop takes of the day, and the day's time less the shortest way to the end."""
    count = len(task.stops)
    arrive = task.travel[:-1, 1:].copy()
    arrive[np.arange(1, count + 1), np.arange(count)] = np.iinfo(np.int64).max
    nearest = arrive.min(axis=0)
    return task.stay + nearest[:count], int(task.latest - nearest[count])


def _from(task: Task, members: Flags, costs: Ints, budget: int) -> float:
    """Bound the score by a set, and the further stops that the whole day's time would buy."""
    gain = np.where(members, 0.0, marginal(task.worth, members))
    order = np.argsort(-gain / np.maximum(costs, 1e-9), kind="stable")
    spent = np.minimum(np.cumsum(costs[order]), budget)
    used = np.diff(np.concatenate([[0], spent]))
    taken = np.where(costs[order] > 0, used / np.maximum(costs[order], 1), 1.0)
    return float(score(task.worth, members) + (np.clip(taken, 0.0, 1.0) * gain[order]).sum())
