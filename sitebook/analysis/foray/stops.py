"""Describes the stops a day may hold, what is wanted there, and what the planner is asked for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True)
class Hours:
    """A span in which work at a stop may begin.

    Parameters
    ----------
    begin_min, until_min
        Earliest and latest minute of the day at which it may begin.
    """

    begin_min: float
    until_min: float


def open_between(opens_min: float, closes_min: float, stay_min: float) -> Hours:
    """Give the hours of a place that must be left again before it closes.

    Parameters
    ----------
    opens_min, closes_min
        Minutes of the day at which it opens and closes.
    stay_min
        Time spent there [min].
    """
    return Hours(opens_min, closes_min - stay_min)


@dataclass(frozen=True)
class Stop:
    """A place that the day may hold.

    Parameters
    ----------
    key
        What it is called; no two stops are called alike.
    stay_min
        Time spent there [min].
    chances
        Chance of a worthwhile find by taxon, 0 to 1.
    scouting
        What the look alone is worth, whatever the other stops offer; 0 or more.
    hours
        Spans in which work may begin; none: at any time.
    """

    key: str
    stay_min: float
    chances: Mapping[str, float] = field(default_factory=dict)
    scouting: float = 0.0
    hours: tuple[Hours, ...] = ()


@dataclass(frozen=True)
class Wishes:
    """What is asked of the route beside its worth.

    Parameters
    ----------
    force
        Stops it must hold.
    bar
        Stops it must not hold.
    in_order
        Stops it must hold one after another in this order, others between them or not.
    at_min
        Minute of the day at which work at a stop must begin; such a stop is forced too.
    """

    force: frozenset[str] = frozenset()
    bar: frozenset[str] = frozenset()
    in_order: tuple[str, ...] = ()
    at_min: Mapping[str, float] = field(default_factory=dict)
