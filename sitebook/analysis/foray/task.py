"""Puts a day's question into whole ticks of time, as the searches need it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from sitebook.analysis.foray.stops import Hours, Stop, Wishes
from sitebook.analysis.foray.worth import Worth, worth_of
from sitebook.errors import BadArgument

Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

NEVER = 1 << 30
"""Later than any instant of a day, in ticks."""
LONGEST_DAY = 1 << 28
HAIR = 1e-6
"""What rounding may have added to a time, in ticks."""


@dataclass(frozen=True, eq=False)
class Task:
    """A day's question; times are whole ticks, places are the start, the stops and the end.

    Parameters
    ----------
    stops
        The stops that can be reached at all.
    worth
        What they offer.
    travel
        Between the places (n + 2, n + 2), rounded up.
    stay
        At each stop (n,), rounded up.
    hours
        Spans in which work at each stop may begin, sorted, each (k, 2).
    latest
        When the end must be reached, after the start of the day.
    forced
        Which stops the route must hold (n,).
    order
        Stops that must follow one another.
    starts_min
        Minute of the day at which it starts, tick 0.
    ticks_a_minute
        How fine a tick is.
    unreachable
        Keys of stops that no route can hold.
    """

    stops: tuple[Stop, ...]
    worth: Worth
    travel: Ints
    stay: Ints
    hours: tuple[Ints, ...]
    latest: int
    forced: Flags
    order: tuple[int, ...]
    starts_min: float
    ticks_a_minute: int
    unreachable: tuple[str, ...]

    @cached_property
    def rows(self) -> list[list[int]]:
        """The travel as lists, which are quicker to read one by one."""
        found: list[list[int]] = self.travel.tolist()
        return found

    @cached_property
    def stays(self) -> list[int]:
        """The stays as a list."""
        found: list[int] = self.stay.tolist()
        return found

    @cached_property
    def open_spans(self) -> list[list[list[int]]]:
        """The hours as lists."""
        return [hours.tolist() for hours in self.hours]

    @cached_property
    def spans(self) -> Ints:
        """The hours of all stops in one array (n, most spans, 2); a missing span is over before the day."""
        most = max((len(hours) for hours in self.hours), default=0)
        found = np.full((len(self.hours), most, 2), -1, dtype=np.int64)
        found[..., 0] = NEVER
        for stop, hours in enumerate(self.hours):
            found[stop, : len(hours)] = hours
        return found


def task_of(
    stops: Sequence[Stop],
    travel_min: ArrayLike,
    weights: Mapping[str, float],
    *,
    starts_min: float,
    latest_end_min: float,
    wishes: Wishes | None = None,
    ticks_a_minute: int = 60,
) -> Task:
    """Put a day's question into ticks, and leave out what is barred or cannot be reached.

    Parameters
    ----------
    stops
        The stops.
    travel_min
        Time between the start, the stops and the end in this order (n + 2, n + 2) [min]; inf: no way.
    weights
        Worth of a worthwhile find by taxon.
    starts_min, latest_end_min
        Minutes of the day at which it starts, and at which its end must be reached.
    wishes
        What else is asked; None: nothing.
    ticks_a_minute
        How fine times are; travel and stays are rounded up, so that a plan never starts too late.

    Raises
    ------
    BadArgument
        When a wish names no stop, wishes contradict each other, a wished stop cannot be reached, or the end
        itself cannot be.
    ValueError
        When the travel has another size or the day is longer than ticks can tell.
    """
    wish = wishes or Wishes()
    keys = [stop.key for stop in stops]
    _refuse(keys, wish)
    minutes = np.asarray(travel_min, dtype=np.float64)
    if minutes.shape != (len(stops) + 2, len(stops) + 2) or np.isnan(minutes).any():
        raise ValueError("the travel has a row and a column for the start, each stop and the end")
    if (latest_end_min - starts_min) * ticks_a_minute > LONGEST_DAY:
        raise ValueError("the day has too many ticks")
    wanted = frozenset({*wish.force, *wish.in_order, *wish.at_min})
    whole = _whole(stops, minutes, wish, (starts_min, latest_end_min), ticks_a_minute)
    alone = np.array([_alone(whole, k) and keys[k] not in wish.bar for k in range(len(keys))], dtype=np.bool_)
    lost = sorted(key for key, fits in zip(keys, alone, strict=True) if key in wanted and not fits)
    if lost:
        raise BadArgument(
            f"{', '.join(lost)} cannot be reached, visited and left in time",
            remedy="Give the day more hours, or ask for other stops.",
        )
    return _kept(whole, np.flatnonzero(alone), weights, wanted, wish)


def _refuse(keys: list[str], wish: Wishes) -> None:
    wanted = {*wish.force, *wish.in_order, *wish.at_min}
    unknown = sorted((wanted | wish.bar) - set(keys))
    if len(set(keys)) != len(keys) or len(set(wish.in_order)) != len(wish.in_order):
        raise BadArgument("two stops are called alike", remedy="Name each stop once.")
    if unknown:
        raise BadArgument(
            f"{', '.join(unknown)} is not one of the stops of this day",
            remedy="Take a name from the list of stops.",
        )
    both = sorted(wanted & wish.bar)
    if both:
        raise BadArgument(
            f"{', '.join(both)} is asked for and barred at once", remedy="Ask for it, or bar it."
        )


@dataclass(frozen=True, eq=False)
class _Whole:
    stops: Sequence[Stop]
    travel: Ints
    stay: Ints
    hours: tuple[Ints, ...]
    starts_min: float
    latest: int
    ticks: int


def _whole(
    stops: Sequence[Stop], minutes: NDArray[np.float64], wish: Wishes, day: tuple[float, float], ticks: int
) -> _Whole:
    travel = np.minimum(np.ceil(np.minimum(minutes, NEVER) * ticks - HAIR), LONGEST_DAY * 2)
    stay = np.ceil(np.array([stop.stay_min for stop in stops], np.float64) * ticks - HAIR)
    start = int(np.ceil(day[0] * ticks - HAIR))
    latest = int(np.floor(day[1] * ticks + HAIR))
    hours = tuple(_hours(stop, wish, start, ticks) for stop in stops)
    left = max(latest - start, -1)
    return _Whole(stops, travel.astype(np.int64), stay.astype(np.int64), hours, start / ticks, left, ticks)


def _hours(stop: Stop, wish: Wishes, start: int, ticks: int) -> Ints:
    """Give the spans in ticks after the start of the day, those that are over left out.

    A span may run past the latest end, so that it can be told how late a stop would make the day.
    """
    at = wish.at_min.get(stop.key)
    spans = (Hours(at, at),) if at is not None else stop.hours
    if not spans:
        return np.array([[0, NEVER - 1]])
    found = sorted(
        (
            int(np.ceil(np.clip(span.begin_min * ticks - HAIR - start, 0, NEVER - 1))),
            int(np.floor(np.clip(span.until_min * ticks + HAIR - start, -1, NEVER - 1))),
        )
        for span in spans
    )
    kept = [span for span in found if span[0] <= span[1]]
    return np.array(kept, dtype=np.int64).reshape(-1, 2)


def _alone(whole: _Whole, stop: int) -> bool:
    """Say whether a day could hold this stop and no other."""
    begins = begin(whole.hours[stop], whole.travel[0, stop + 1 : stop + 2])[0]
    return bool(begins + whole.stay[stop] + whole.travel[stop + 1, -1] <= whole.latest)


def no_order() -> BadArgument:
    """Give the error of forced stops that do not fit into one day together."""
    return BadArgument(
        "no order was found that holds every stop asked for in time",
        remedy="Give the day more hours, or ask for fewer stops.",
    )


def begin(hours: Ints, arrives: Ints) -> Ints:
    """Give when work may begin after arriving; NEVER where no span is left."""
    if len(hours) == 1:
        waited = np.maximum(arrives, hours[0, 0])
        return np.where(waited <= hours[0, 1], waited, NEVER)
    begins = np.full(arrives.shape, NEVER, dtype=arrives.dtype)
    for opens, closes in hours[::-1]:
        waited = np.maximum(arrives, opens)
        begins = np.where(waited <= closes, waited, begins)
    return begins


def _kept(
    whole: _Whole, kept: Ints, weights: Mapping[str, float], wanted: frozenset[str], wish: Wishes
) -> Task:
    stops = tuple(whole.stops[k] for k in kept)
    places = np.concatenate([[0], kept + 1, [len(whole.stops) + 1]])
    number = {stop.key: k for k, stop in enumerate(stops)}
    gone = [stop.key for stop in whole.stops if stop.key not in number and stop.key not in wish.bar]
    travel = whole.travel[np.ix_(places, places)]
    if travel[0, -1] > whole.latest:
        raise BadArgument(
            "the end cannot be reached in time, even without a stop",
            remedy="Start earlier, end later, or end elsewhere.",
        )
    return Task(
        stops=stops,
        worth=worth_of(stops, weights),
        travel=travel,
        stay=whole.stay[kept],
        hours=tuple(whole.hours[k] for k in kept),
        latest=whole.latest,
        forced=np.array([stop.key in wanted for stop in stops], dtype=np.bool_),
        order=tuple(number[key] for key in wish.in_order),
        starts_min=whole.starts_min,
        ticks_a_minute=whole.ticks,
        unreachable=tuple(gone),
    )
