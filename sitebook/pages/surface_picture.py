"""Draws the road index of a ground as a small grey picture of its steps that lies straight on the map."""

from __future__ import annotations

import base64
import struct
import zlib
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sitebook.ground.projection import LocalMetres
from sitebook.records.results.surface import SurfacePart

Floats = NDArray[np.float64]
Steps = NDArray[np.uint8]

MOST_PIXELS = 1_000_000
MOST_BYTES = 150_000
"""Size a picture may have; above either it is drawn in larger squares."""

GREY_BITS = 4
GREY_STEP = 17
"""Grey of a picture's step, of 255: step 1 is 17, step 2 is 34."""


@dataclass(frozen=True)
class StepPicture:
    """A picture of steps.

    Parameters
    ----------
    png
        The picture as PNG, north up; its grey is the step times `GREY_STEP`, 0 below the lowest level and
        outside the ground.
    west, south, east, north
        Its edges, WGS 84 [deg]; its rows are even in spherical Mercator, as the map is.
    square_m
        Side of the squares it shows, each by its highest cell [m].
    """

    png: bytes
    west: float
    south: float
    east: float
    north: float
    square_m: float

    @property
    def address(self) -> str:
        """The picture as an address that holds all of it."""
        return "data:image/png;base64," + base64.b64encode(self.png).decode("ascii")


def step_picture(part: SurfacePart, most_bytes: int = MOST_BYTES) -> StepPicture:
    """Draw the steps of a surface, in squares just large enough for the size allowed.

    Parameters
    ----------
    part
        The surface.
    most_bytes
        Size allowed for the PNG.
    """
    times = max(int(np.ceil(np.sqrt(part.index.size / MOST_PIXELS))), 1)
    while True:
        drawn = _drawn(part, times)
        if len(drawn.png) <= most_bytes or times >= max(part.index.shape):
            return drawn
        times += max(times // 2, 1)


def _drawn(part: SurfacePart, times: int) -> StepPicture:
    steps = _steps(part, times)
    square_m = times * part.cell_m
    frame = LocalMetres(part.centre_lon, part.centre_lat)
    rows, columns = steps.shape
    edge_x = part.west_m + square_m * np.array([0, columns / 2, columns])
    edge_y = part.south_m + square_m * np.array([0, rows / 2, rows])
    round_it = frame.to_degrees([(x, y) for x in edge_x for y in edge_y])
    (west, south), (east, north) = round_it.min(axis=0), round_it.max(axis=0)
    lon = west + (east - west) * (np.arange(columns) + 0.5) / columns
    low, high = _mercator(np.array([south, north]))
    lat = _latitude(high - (high - low) * (np.arange(rows) + 0.5) / rows)
    seen = np.zeros_like(steps)
    for number, parallel in enumerate(lat):
        place = frame.to_metres(np.column_stack([lon, np.full(columns, parallel)]))
        column = np.floor((place[:, 0] - part.west_m) / square_m).astype(np.int64)
        row = np.floor((place[:, 1] - part.south_m) / square_m).astype(np.int64)
        inside = (column >= 0) & (column < columns) & (row >= 0) & (row < rows)
        seen[number, inside] = steps[row[inside], column[inside]]
    return StepPicture(grey_png(seen), float(west), float(south), float(east), float(north), square_m)


def _steps(part: SurfacePart, times: int) -> Steps:
    """Give the step of the highest cell of each square, 0 below the lowest level and outside the ground."""
    levels = [level.level for level in part.levels]
    steps = np.digitize(np.nan_to_num(part.index), levels).astype(np.uint8)
    rows, columns = (-(-size // times) for size in steps.shape)
    whole = np.zeros((rows * times, columns * times), dtype=np.uint8)
    whole[: steps.shape[0], : steps.shape[1]] = steps
    return np.asarray(whole.reshape(rows, times, columns, times).max(axis=(1, 3)), dtype=np.uint8)


def grey_png(steps: Steps) -> bytes:
    """Write small numbers (rows, columns), at most 15, as a grey PNG of 4 bits; row 0 is the uppermost.

    The form is that of the PNG specification, third edition (W3C): signature, IHDR, IDAT, IEND.
    """
    rows, columns = steps.shape
    even = np.zeros((rows, columns + columns % 2), dtype=np.uint8)
    even[:, :columns] = steps
    lines = np.zeros((rows, 1 + even.shape[1] // 2), dtype=np.uint8)
    lines[:, 1:] = even[:, 0::2] << GREY_BITS | even[:, 1::2]
    head = struct.pack(">IIBBBBB", columns, rows, GREY_BITS, 0, 0, 0, 0)
    chunks = ((b"IHDR", head), (b"IDAT", zlib.compress(lines.tobytes(), 9)), (b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(_chunk(kind, content) for kind, content in chunks)


def _chunk(kind: bytes, content: bytes) -> bytes:
    return struct.pack(">I", len(content)) + kind + content + struct.pack(">I", zlib.crc32(kind + content))


def _mercator(lat: Floats) -> Floats:
    return np.asarray(np.arctanh(np.sin(np.radians(lat))))


def _latitude(y: Floats) -> Floats:
    return np.asarray(np.degrees(np.arcsin(np.tanh(y))))
