"""What a road adds to the index of a place, and how an index is written."""

from __future__ import annotations

from dataclasses import dataclass

from sitebook.citations import Mark
from sitebook.quantities import two_digits

SMALLEST_INDEX = 0.0005
"""Index below which no number is written; a tenth of the lowest step [1]."""


def index_words(index: float) -> str:
    """Write an index in two digits, or that it is less than can be resolved."""
    return f"under {SMALLEST_INDEX:g}" if index < SMALLEST_INDEX else two_digits(index)


@dataclass(frozen=True)
class Band:
    """A central value between the ends of its range."""

    central: float
    low: float
    high: float

    @property
    def ends_said(self) -> str:
        """The ends of the range of an index, in words."""
        return f"{index_words(self.low)} to {index_words(self.high)}"


@dataclass(frozen=True)
class NearSource:
    """One source near a place, with what it adds and how that is known.

    Parameters
    ----------
    kind
        Kind of source, as "road".
    name
        Its name, or its class where it has none.
    distance_m
        Distance from the place to its centre line or edge [m].
    value, low, high
        What it adds to the traffic index, with the ends of the range [1].
    vehicles_per_day
        Traffic used; None for a source without traffic.
    vehicles_low, vehicles_high
        Ends of the range of that traffic; None for a source without traffic.
    edge_m
        Distance to the edge of the road, 0 on it [m].
    direction
        In which of eight directions its nearest point lies; "" on it.
    reason
        Why it counts, in words.
    source
        Where the number comes from.
    mark
        How well that is known.
    """

    kind: str
    name: str
    distance_m: float
    value: float
    low: float
    high: float
    vehicles_per_day: float | None
    reason: str
    source: str
    mark: Mark
    vehicles_low: float | None = None
    vehicles_high: float | None = None
    edge_m: float = 0.0
    direction: str = ""
