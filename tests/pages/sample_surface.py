"""An invented road index over the sample town, for tests of pages."""

from __future__ import annotations

import datetime

import numpy as np
import shapely

from sitebook.ground.projection import LocalMetres
from sitebook.records.results.surface import Level, SurfacePart, SurfaceView
from tests.pages.sample_town import at

LEVELS = (0.005, 0.05, 0.3, 1.0)
ROWS, COLUMNS, CELL_M = 400, 500, 5.0


def sample_part(cell_m: float = CELL_M) -> SurfacePart:
    """Give a surface that falls off from a straight road, north to south through the middle of the town."""
    lon, lat = at(0, 0)
    frame = LocalMetres(lon, lat)
    west, south = -0.5 * COLUMNS * cell_m, -0.5 * ROWS * cell_m
    x = west + cell_m * (np.arange(COLUMNS) + 0.5)
    index = np.tile(1.5 * np.exp(-np.abs(x) / 60.0), (ROWS, 1)).astype(np.float32)
    index[:, :20] = np.nan
    return SurfacePart(
        name="road index round the town",
        made_at=datetime.datetime(2026, 10, 1, tzinfo=datetime.UTC),
        ground=_box(frame, west + 20 * cell_m, south, -west, -south),
        index=index,
        cell_m=cell_m,
        centre_lon=lon,
        centre_lat=lat,
        west_m=west,
        south_m=south,
        levels=tuple(_level(frame, level, south) for level in LEVELS),
        error_median=2e-5,
        error_p99=3.4e-4,
        error_points=3000,
    )


def sample_surface(*, current: bool = True, left_out_km2: float = 0.0) -> SurfaceView:
    """Give the surface as the map takes it."""
    return SurfaceView((sample_part(),), current=current, made_anew=False, left_out_km2=left_out_km2)


def _level(frame: LocalMetres, level: float, south: float) -> Level:
    half = 60.0 * float(np.log(1.5 / level))
    outline = shapely.MultiPolygon([_box(frame, -half, south, half, -south)])
    return Level(level, 2.0 * half / (COLUMNS * CELL_M), outline)


def _box(frame: LocalMetres, west: float, south: float, east: float, north: float) -> shapely.Polygon:
    corners = [(west, south), (east, south), (east, north), (west, north)]
    return shapely.Polygon(frame.to_degrees(corners))
