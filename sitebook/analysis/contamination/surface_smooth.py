"""Adds up the blunt part of the road index on a grid, all scales in one pass of Fourier transforms."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy import fft

from sitebook.analysis.contamination import parameters
from sitebook.analysis.contamination.surface_pieces import Streets
from sitebook.analysis.contamination.surface_tables import tau_m2
from sitebook.ground.grid import Grid

Floats = NDArray[np.float64]
Indices = NDArray[np.int64]

MARGIN_M = 600.0
"""Roads so far outside a grid are added up with it; the margin also keeps the transform's repeats away."""

NODE_APART = 1.1
"""Pieces are replaced by points at most this many cells apart."""

BLOCK_POINTS = 100_000


def smooth_part(streets: Streets, grid: Grid) -> Floats:
    """Give the blunt part of the index in the middle of each cell (rows, columns) [1].

    Parameters
    ----------
    streets
        Pieces within `MARGIN_M` of the grid; those farther off are left aside.
    grid
        The cells.

    Notes
    -----
    Pieces become Gauss points; each is shared out to 16 cells by the cubic B-spline, whose transform is
    divided out again. The transform of the kernel is known in closed form, so no kernel is sampled.
    """
    margin = int(np.ceil(MARGIN_M / grid.cell_m))
    rows = fft.next_fast_len(grid.rows + 2 * margin, real=True)
    columns = fft.next_fast_len(grid.columns + 2 * margin, real=True)
    heard = streets.near(grid.bounds_m, MARGIN_M - 0.5 * grid.cell_m)
    scales = parameters.scales()
    spread = np.zeros((len(scales), rows, columns))
    for x, y, weight, half_width in _points(heard, grid):
        places, shares = _stencil(x, y, rows, columns)
        for number, (scale, share) in enumerate(scales):
            added = shares * (weight * share * np.exp(half_width / scale))
            np.add.at(spread[number].reshape(-1), places.ravel(), added.ravel())
    waves = fft.rfft2(spread)
    del spread
    return _blurred(waves, (rows, columns), grid.cell_m)[: grid.rows, : grid.columns].copy()


def _points(streets: Streets, grid: Grid) -> list[tuple[Floats, Floats, Floats, Floats]]:
    """Replace pieces by Gauss points: places in cells, lengths times load, half widths."""
    first_x, first_y = grid.first_m
    many = np.maximum(np.ceil(streets.length_m / (NODE_APART * grid.cell_m)), 2.0).astype(np.int64)
    blocks = []
    for count in np.unique(many):
        nodes, weights = np.polynomial.legendre.leggauss(int(count))
        alike = np.flatnonzero(many == count)
        for k in range(0, alike.size, max(BLOCK_POINTS // int(count), 1)):
            some = streets.some(alike[k : k + max(BLOCK_POINTS // int(count), 1)])
            along = 0.5 * some.length_m[:, None] * (1.0 + nodes)
            x = (some.x_m[:, None] + along * some.ux[:, None] - first_x) / grid.cell_m
            y = (some.y_m[:, None] + along * some.uy[:, None] - first_y) / grid.cell_m
            load = (0.5 * some.length_m * some.load)[:, None] * weights
            width = np.repeat(some.half_width_m, int(count))
            blocks.append((x.ravel(), y.ravel(), load.ravel(), width))
    return blocks


def _stencil(x: Floats, y: Floats, rows: int, columns: int) -> tuple[Indices, Floats]:
    """Give the 16 cells round each point (16, n) with the share each takes."""
    column, row = np.floor(x), np.floor(y)
    shares_x, shares_y = _spline(x - column), _spline(y - row)
    steps = np.arange(-1, 3)[:, None]
    columns_at = (column.astype(np.int64) + steps) % columns
    rows_at = (row.astype(np.int64) + steps) % rows
    places = rows_at[:, None] * columns + columns_at[None]
    return places.reshape(16, -1), (shares_y[:, None] * shares_x[None]).reshape(16, -1)


def _spline(share: Floats) -> Floats:
    """Give the cubic B-spline at four neighbouring nodes."""
    left, low, high = 1.0 - share, share**2, share**3
    return np.stack([left**3, 4.0 - 6.0 * low + 3.0 * high, 1.0 + 3.0 * (share + low - high), high]) / 6.0


def _blurred(waves: NDArray[np.complex128], shape: tuple[int, int], cell_m: float) -> Floats:
    """Multiply the waves by the blunt kernel of their scale, add them up and transform back."""
    tau = tau_m2(cell_m)
    north = 2.0 * np.pi * fft.fftfreq(shape[0], cell_m)
    east = 2.0 * np.pi * fft.rfftfreq(shape[1], cell_m)
    square = (north**2)[:, None] + east**2
    for number, (scale, _) in enumerate(parameters.scales()):
        waves[number] *= (2.0 / scale) * np.exp(-tau / scale**2) / (square + 1.0 / scale**2)
    total = waves.sum(axis=0)
    total *= _damping(north, cell_m, tau)[:, None]
    total *= _damping(east, cell_m, tau)
    return np.asarray(fft.irfft2(total, s=shape))


def _damping(wave: Floats, cell_m: float, tau: float) -> Floats:
    """Give the Gaussian of the cut over the transform of the B-spline, in one direction [1/m]."""
    return np.asarray(np.exp(-tau * wave**2) / np.sinc(0.5 * cell_m * wave / np.pi) ** 4 / cell_m)
