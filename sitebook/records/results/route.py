"""What the search for a day's route answers: the stops in order, the ways between them, and what was left."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class LegPart:
    """One piece of a way between two stops, travelled by one mode.

    Parameters
    ----------
    mode
        "foot", "bicycle" or "car".
    minutes
        Time it takes [min].
    metres
        Its length [m].
    lonlat
        Its line, WGS 84 [deg]; two points where no way is known.
    unmapped
        Whether no way is known, and a stated detour on the straight line was taken.
    """

    mode: str
    minutes: float
    metres: float
    lonlat: tuple[tuple[float, float], ...]
    unmapped: bool = False


@dataclass(frozen=True)
class Leg:
    """The way from one stop to the next.

    Parameters
    ----------
    minutes
        Time it takes, parking included [min].
    metres
        Its length [m].
    parts
        Its pieces in order.
    """

    minutes: float
    metres: float
    parts: tuple[LegPart, ...]


@dataclass(frozen=True)
class RouteStop:
    """One stop of a route.

    Parameters
    ----------
    key
        Which stop.
    travel_min
        Travel to it [min].
    arrives_min
        Minute of the day at which it is reached.
    begins_min
        Minute of the day at which work there begins, after any wait for its hours.
    leaves_min
        Minute of the day at which it is left.
    adds
        What it adds to the score of the other stops of the route together.
    """

    key: str
    travel_min: float
    arrives_min: float
    begins_min: float
    leaves_min: float
    adds: float


@dataclass(frozen=True)
class Route:
    """Stops in order between a start and an end.

    Parameters
    ----------
    stops
        The stops; empty where none can be reached in time.
    score
        What they are worth together.
    starts_min, ends_min
        Minutes of the day at which it starts and is over.
    travel_min, stay_min, wait_min
        Time travelled, spent at stops and waited for hours [min].
    """

    stops: tuple[RouteStop, ...]
    score: float
    starts_min: float
    ends_min: float
    travel_min: float
    stay_min: float
    wait_min: float

    @property
    def keys(self) -> tuple[str, ...]:
        """The stops in order, by key."""
        return tuple(stop.key for stop in self.stops)


@dataclass(frozen=True)
class Bound:
    """A score that no route can exceed.

    Parameters
    ----------
    score
        The score.
    said
        How it was found, in words.
    """

    score: float
    said: str


@dataclass(frozen=True)
class Alternative:
    """Another route that goes to other stops.

    Parameters
    ----------
    route
        The route.
    difference
        Share of stops that are in this route or the one most like it alone, among the stops of both, 0 to 1;
        compared are the best route and the alternatives that were found before this one.
    """

    route: Route
    difference: float


@dataclass(frozen=True)
class RunnerUp:
    """A stop that the route leaves out.

    Parameters
    ----------
    key
        Which stop.
    would_add
        What it would add to the score.
    costs_min
        How much later the route would end with it in the best place of the unchanged order [min]; None where
        the hours of a stop forbid every place.
    over_min
        How far the route would then run past its latest end [min]; 0 where it would still be in time, None
        as before.
    """

    key: str
    would_add: float
    costs_min: float | None
    over_min: float | None


@dataclass(frozen=True)
class RoutePlan:
    """The best route found, how sure that is, and what else there is.

    Parameters
    ----------
    route
        The route.
    proved
        Whether no better one exists.
    bound
        A score that no route can exceed; that of the route where it is proved.
    method
        How it was found, in words.
    alternatives
        Routes that go to other stops, best first; difference as `Alternative` says.
    runners_up
        Stops left out, those that would add most first.
    unreachable
        Stops that no route can hold, being too far or closed.
    """

    route: Route
    proved: bool
    bound: Bound
    method: str
    alternatives: tuple[Alternative, ...]
    runners_up: tuple[RunnerUp, ...]
    unreachable: tuple[str, ...]
