"""The road index over a whole ground: its cells, its error, and how much of it reaches which level."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry


@dataclass(frozen=True)
class Level:
    """How much of a ground reaches a level of the index.

    Parameters
    ----------
    level
        The level, a step between classes [1].
    share
        Share of the covered ground at or above it, 0 to 1.
    outline
        The ground at or above it, WGS 84 [deg]; None where there is none.
    """

    level: float
    share: float
    outline: BaseGeometry | None


@dataclass(frozen=True, eq=False)
class SurfacePart:
    """The index over one connected ground.

    Parameters
    ----------
    name
        What it is over, as "road index round 48.6012 N, 19.4034 W".
    made_at
        Instant it was reckoned, UTC.
    ground
        The ground, WGS 84 [deg].
    index
        The index (rows, columns), rows from south to north; NaN outside the ground [1].
    cell_m
        Side of a cell [m].
    centre_lon, centre_lat
        Where the flat sheet of its metres touches the globe [deg].
    west_m, south_m
        Outer edges of the first cell on that sheet [m].
    levels
        The levels, lowest first.
    error_median, error_p99
        Median and 99th percentile of the relative error against the exact sum [1].
    error_points
        Cells of the sample; 0 where no cell was strong enough to compare.
    """

    name: str
    made_at: datetime.datetime
    ground: BaseGeometry
    index: NDArray[np.float32]
    cell_m: float
    centre_lon: float
    centre_lat: float
    west_m: float
    south_m: float
    levels: tuple[Level, ...]
    error_median: float
    error_p99: float
    error_points: int

    @property
    def cells(self) -> int:
        """Cells on the ground."""
        return int(np.count_nonzero(~np.isnan(self.index)))


@dataclass(frozen=True, eq=False)
class SurfaceView:
    """The index over all ground that maps cover.

    Parameters
    ----------
    parts
        One for each connected ground, the largest first.
    current
        Whether nothing it was reckoned from has changed since.
    made_anew
        Whether it was reckoned just now.
    left_out_km2
        Covered ground it does not reach, because it would be too large [km2].
    """

    parts: tuple[SurfacePart, ...]
    current: bool
    made_anew: bool
    left_out_km2: float

    @property
    def cells(self) -> int:
        """Cells on all grounds."""
        return sum(part.cells for part in self.parts)
