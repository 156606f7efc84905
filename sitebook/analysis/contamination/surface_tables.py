"""Tables of what a straight road carries to a place, split into a blunt far part and a sharp near part.

The kernel of one scale is a sum of Gaussians of all widths,

    K0(r/l) / (pi l) = 1/(2 pi l) integral of exp(-s/l^2 - r^2/(4 s)) ds/s over s from 0 on,

and is cut at one width s = tau: what is above is blunt and can be read off a grid, what is below ends within
a few lengths of sqrt(tau) (P. P. Ewald's split). All lengths are metres.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy import special
from scipy.interpolate import CubicSpline

Floats = NDArray[np.float64]
Kernel = Callable[[Floats], Floats]

NEAR_STEP = 0.025
"""Step of the table of the sharp part, as a share of a cell's side."""

BLUNT_STEP = 0.1
"""Step of the table of the blunt part, as a share of a cell's side."""

TAU = 0.8
"""Width of the cut, as a share of a cell's area; less and the grid no longer resolves the blunt part."""

NEAR_REACH = 6.7
"""The sharp part ends at this many sqrt(tau), where it has fallen by exp(-11)."""

STRIP_M = 100.0
"""So far beyond the ends of a piece a place between its kerbs counts as at the kerb [m]."""

PANELS, NODES = 5, 40
STEEP_STEPS, STEEP_NODES, PLAIN_NODES = 16, 12, 2


def tau_m2(cell_m: float) -> float:
    """Give the width of the cut for cells of a side [m2]."""
    return TAU * cell_m * cell_m


def near_reach_m(cell_m: float) -> float:
    """Give where the sharp part ends [m]."""
    return NEAR_REACH * float(np.sqrt(tau_m2(cell_m)))


def sharp(r: Floats, scale_m: float, tau: float) -> Floats:
    """Give the sharp part of one scale's kernel at distances above 0 [1/m]."""
    end = np.log(np.maximum(180.0 * tau / (r * r), 1.0001))
    return _by_panels(
        lambda v: -tau * np.exp(-v) / scale_m**2 - (r * r)[:, None] / (4.0 * tau) * np.exp(v), end
    ) / (2.0 * np.pi * scale_m)


def blunt(r: Floats, scale_m: float, tau: float) -> Floats:
    """Give the blunt part of one scale's kernel at distances from 0 on [1/m]."""
    end = np.full(r.shape, max(np.log(40.0 * scale_m**2 / tau), 1.0))
    return _by_panels(
        lambda v: -tau * np.exp(v) / scale_m**2 - (r * r)[:, None] / (4.0 * tau) * np.exp(-v), end
    ) / (2.0 * np.pi * scale_m)


def whole(r: Floats, scale_m: float) -> Floats:
    """Give one scale's kernel at distances above 0 [1/m]."""
    return np.asarray(special.k0(r / scale_m) / (np.pi * scale_m))


def _by_panels(exponent: Callable[[Floats], Floats], end: Floats) -> Floats:
    """Integrate exp(exponent(v)) over v from 0 to an end of each row."""
    nodes, weights = np.polynomial.legendre.leggauss(NODES)
    total = np.zeros(end.shape)
    for panel in range(PANELS):
        v = (panel + 0.5 + 0.5 * nodes) * end[:, None] / PANELS
        total += np.exp(exponent(v)) @ weights * end / (2 * PANELS)
    return total


@dataclass(frozen=True)
class LineTable:
    """What a line carries from the foot point of a place to a point along it, by both distances.

    Parameters
    ----------
    step_m
        Step in both directions [m].
    first_m
        Distance from the line in the first row [m].
    values
        Rows by distance from the line, columns by distance along it from 0 on [1].
    """

    step_m: float
    first_m: float
    values: Floats

    def between(self, start_m: Floats, end_m: Floats, beside_m: Floats) -> Floats:
        """Give what a piece carries, from its ends along its line and the distance beside it [1].

        Beyond the last column nothing is added any more.
        """
        across = (beside_m - self.first_m) * (1.0 / self.step_m)
        row = across.astype(np.int64)
        across -= row
        row *= self.values.shape[1]
        upto = self._to(end_m, row, across)
        upto -= self._to(start_m, row, across)
        return upto

    def _to(self, along_m: Floats, row: NDArray[np.int64], across: Floats) -> Floats:
        flat, width = self.values.reshape(-1), self.values.shape[1]
        t = np.abs(along_m)
        t *= 1.0 / self.step_m
        np.minimum(t, width - 1.001, out=t)
        place = t.astype(np.int64)
        t -= place
        place += row
        low = _between(flat, place, t)
        place += width
        high = _between(flat, place, t)
        high -= low
        high *= across
        low += high
        return np.copysign(low, along_m, out=low)


def _between(flat: Floats, place: NDArray[np.int64], share: Floats) -> Floats:
    low, high = flat.take(place), flat.take(place + 1)
    high -= low
    high *= share
    low += high
    return low


@dataclass(frozen=True)
class KernelTables:
    """The tables of all scales for cells of one side, each scale apart.

    Parameters
    ----------
    cell_m
        Side of a cell [m].
    scales_m
        Length of each scale [m].
    sharp, blunt
        Table of each scale; the first row is distance 0.
    """

    cell_m: float
    scales_m: tuple[float, ...]
    sharp: tuple[Floats, ...]
    blunt: tuple[Floats, ...]

    @property
    def near_step_m(self) -> float:
        """Step of the sharp tables [m]."""
        return NEAR_STEP * self.cell_m

    @property
    def blunt_step_m(self) -> float:
        """Step of the blunt tables [m]."""
        return BLUNT_STEP * self.cell_m

    def near(self, factors: tuple[float, ...], half_width_m: float) -> LineTable:
        """Give the sharp part of all scales, from the kerb of a road outward."""
        first = int(half_width_m / self.near_step_m)
        values = _weighed(factors, [table[first:] for table in self.sharp])
        return LineTable(self.near_step_m, first * self.near_step_m, values)

    def smooth(self, factors: tuple[float, ...]) -> LineTable:
        """Give the blunt part of all scales."""
        return LineTable(self.blunt_step_m, 0.0, _weighed(factors, list(self.blunt)))

    def at_kerb(self, factors: tuple[float, ...], half_width_m: float) -> LineTable:
        """Give all of the kernel at the kerb of a road, as a table of two equal rows."""
        steps = int(self.blunt[0].shape[1] * BLUNT_STEP / NEAR_STEP)

        def kernel(r: Floats) -> Floats:
            return _weighed(factors, [whole(r, scale) for scale in self.scales_m])

        row = added_up(kernel, np.array([half_width_m]), steps, self.near_step_m)
        return LineTable(self.near_step_m, half_width_m, np.vstack([row, row]))


def _weighed(factors: tuple[float, ...], values: list[Floats]) -> Floats:
    total = factors[0] * values[0]
    for factor, value in zip(factors[1:], values[1:], strict=True):
        total += factor * value
    return total


@lru_cache(maxsize=4)
def kernel_tables(
    scales_m: tuple[float, ...], cell_m: float, longest_m: float, widest_m: float
) -> KernelTables:
    """Make the tables for cells of a side.

    Parameters
    ----------
    scales_m
        Length of each scale [m].
    cell_m
        Side of a cell [m].
    longest_m
        Longest piece [m].
    widest_m
        Greatest half width [m].
    """
    tau, reach = tau_m2(cell_m), near_reach_m(cell_m)
    near_step, blunt_step = NEAR_STEP * cell_m, BLUNT_STEP * cell_m
    columns, rows = int(1.25 * reach / near_step) + 2, int(reach / near_step) + 3
    beside = np.arange(rows, dtype=np.float64) * near_step
    along = int((STRIP_M + longest_m) / blunt_step) + 3
    inside = np.arange(int(widest_m / blunt_step) + 3, dtype=np.float64) * blunt_step
    return KernelTables(
        cell_m,
        scales_m,
        tuple(added_up(_sharp_spline(scale, tau, reach), beside, columns, near_step) for scale in scales_m),
        tuple(
            added_up(_blunt_spline(scale, tau, STRIP_M + longest_m), inside, along, blunt_step)
            for scale in scales_m
        ),
    )


def added_up(kernel: Kernel, beside_m: Floats, steps: int, step_m: float) -> Floats:
    """Integrate a kernel along lines that pass at some distances.

    Parameters
    ----------
    kernel
        Of the distance, above 0 [1/m].
    beside_m
        Distance of each line (n,) [m].
    steps, step_m
        How many steps along it, and how long each is [m].

    Returns
    -------
    ndarray
        The integral from the foot point to the end of each step (n, steps + 1) [1].
    """
    total = np.zeros((len(beside_m), steps + 1))
    for first, last, count in ((0, STEEP_STEPS, STEEP_NODES), (STEEP_STEPS, steps, PLAIN_NODES)):
        nodes, weights = np.polynomial.legendre.leggauss(count)
        along = (np.arange(first, min(last, steps))[:, None] + 0.5 + 0.5 * nodes) * step_m
        r = np.hypot(along.ravel()[None], beside_m[:, None])
        values = kernel(r.ravel()).reshape(len(beside_m), -1, count)
        total[:, first + 1 : min(last, steps) + 1] = values @ (0.5 * step_m * weights)
    return np.asarray(np.cumsum(total, axis=1))


def _sharp_spline(scale_m: float, tau: float, reach_m: float) -> Kernel:
    known = np.log(np.geomspace(1e-4, 2.0 * reach_m, 600))
    spline = CubicSpline(known, sharp(np.exp(known), scale_m, tau))
    return lambda r: np.asarray(spline(np.log(r)))


def _blunt_spline(scale_m: float, tau: float, farthest_m: float) -> Kernel:
    known = np.linspace(0.0, farthest_m + 100.0, 800)
    spline = CubicSpline(known, blunt(known, scale_m, tau))
    return lambda r: np.asarray(spline(r))
