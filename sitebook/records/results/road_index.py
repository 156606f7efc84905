"""What the roads round a point add up to, and which parameter widens that most."""

from __future__ import annotations

from dataclasses import dataclass

from sitebook.records.results.contamination import Band, NearSource


@dataclass(frozen=True)
class ParameterEffect:
    """What one parameter alone does to an index when it moves through its range.

    Parameters
    ----------
    name
        Name in the table of the road model, or "position".
    said
        The parameter in words, as a page prints it.
    low, high
        Lowest and highest index it makes, all else central [1].
    """

    name: str
    said: str
    low: float
    high: float


@dataclass(frozen=True)
class IndexAt:
    """The traffic index at one point.

    Parameters
    ----------
    index
        Central value with its 90 % band [1].
    effects
        Each parameter alone, the one that widens the band most first; empty where no road adds anything.
    edge_m
        Distance to the edge of the nearest motor road, 0 on it [m]; inf where none is within the reach.
    nearest_edge_m
        The same less the uncertainty of the position, 0 or more [m].
    roads
        Nearest roads first, pieces of one road taken together, with the strongest among them.
    """

    index: Band
    effects: tuple[ParameterEffect, ...]
    edge_m: float
    nearest_edge_m: float
    roads: tuple[NearSource, ...]

    @property
    def driver(self) -> str:
        """The parameter that widens the band most, in words; "" where no road adds anything."""
        return self.effects[0].said if self.effects else ""


@dataclass(frozen=True)
class Profile:
    """The index along a line across the nearest road, through the place.

    Parameters
    ----------
    road
        Name of the road.
    distance_m
        Distance from its centre line, below 0 on the far side, rising [m].
    central, low, high
        Index at each of them with its 90 % band [1].
    half_width_m
        Half the width of the road [m].
    place_m
        Where the place lies on the line [m].
    """

    road: str
    distance_m: tuple[float, ...]
    central: tuple[float, ...]
    low: tuple[float, ...]
    high: tuple[float, ...]
    half_width_m: float
    place_m: float
