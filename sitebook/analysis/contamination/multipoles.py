"""Sees a whole area from afar as one point with moments, in place of edge after edge.

The kernel K0 of a distance obeys an addition theorem: with the place at (z, phi) and a point of the area
at (s, psi), both measured from a centre c in units of the length, and s < z,

    K0(distance) = sum over all whole m of K_m(z) I_m(s) cos(m (phi - psi)).

So an area's share is a sum over m of K_m(z), which is the same for every area, times a moment
Q_m = integral over the area of I_m(s) exp(i m psi), which is the same for every place. The moment too
is had from the outline: F_m = I_m(s) exp(i m psi) obeys Laplacian(F) = F, so its integral is that of its
outward slope along the outline, (conj(n) F_(m+1) + n F_(m-1)) / 2, n being the outward direction as a
complex number.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import factorial

import numpy as np
from numpy.typing import NDArray

from sitebook.analysis.contamination import bessel
from sitebook.analysis.contamination.outlines import Outlines
from sitebook.analysis.contamination.panels import nodes

Floats = NDArray[np.float64]
Complex = NDArray[np.complex128]
Indices = NDArray[np.int64]

ORDER = 10
"""Highest m that is kept; what is left out falls as (radius / distance)^(ORDER + 1)."""

EDGE_NODES = 6

SERIES_TERMS = 12
"""Terms of the power series of I_m, which is then exact to 1e-16 up to s = LARGEST."""

LARGEST = 2.5
"""Radius of an area, in lengths, above which it is never seen as one point."""

FAR_RADII = 2.5
"""An area is seen as one point from this many of its radii on."""


@dataclass(frozen=True)
class Moments:
    """What areas look like from afar.

    Parameters
    ----------
    centre
        Middle of each area (n, 2) [lengths].
    far_from
        Distance from there at which it may be seen as one point (n,) [lengths]; inf for a large one.
    moments
        For m from 0 to ORDER, the moments (ORDER + 1, n), those above 0 doubled.
    """

    centre: Floats
    far_from: Floats
    moments: Complex


def moments_of(edges: Outlines, areas: int, length_scale_m: float) -> Moments:
    """Give the moments of some areas from their edges; those of areas above LARGEST are not used."""
    start, end = edges.start_m / length_scale_m, edges.end_m / length_scale_m
    centre = np.column_stack([_middle(start[:, k], edges.owner, areas) for k in (0, 1)])
    a, b = _complex(start - centre[edges.owner]), _complex(end - centre[edges.owner])
    radius: Floats = np.zeros(areas)
    np.maximum.at(radius, edges.owner, np.abs(a))
    small = np.flatnonzero(radius[edges.owner] <= LARGEST)
    moments = _along_edges(a[small], b[small], edges.owner[small], areas)
    far_from = np.where(radius <= LARGEST, np.maximum(FAR_RADII * radius, bessel.FAR), np.inf)
    return Moments(centre, far_from, moments)


def seen_as_point(east: Floats, north: Floats, area: Indices, found: Moments) -> Floats:
    """Give the share of areas at places outside them.

    Parameters
    ----------
    east, north
        Place less the area's centre, one pair an entry [lengths], at least `bessel.FAR` lengths apart.
    area
        Number of the area (n,).
    found
        Moments of all areas.
    """
    z = np.sqrt(east * east + north * north)
    inverse = 1.0 / z
    cos, sin = east * inverse, north * inverse
    lower, upper = bessel.k0_far(z), bessel.k1_far(z)
    real, imaginary = found.moments.real, found.moments.imag
    total = real[0].take(area) * lower
    cos_m, sin_m = cos, sin
    for m in range(1, ORDER + 1):
        total += upper * (cos_m * real[m].take(area) + sin_m * imaginary[m].take(area))
        lower, upper = upper, lower + (2.0 * m) * inverse * upper
        cos_m, sin_m = cos_m * cos - sin_m * sin, cos_m * sin + sin_m * cos
    return np.asarray(total / (2.0 * np.pi))


def _middle(values: Floats, owner: Indices, areas: int) -> Floats:
    """Give the middle between the least and the largest value of each owner."""
    low, high = np.full(areas, np.inf), np.full(areas, -np.inf)
    np.minimum.at(low, owner, values)
    np.maximum.at(high, owner, values)
    return np.asarray(0.5 * (low + high))


def _complex(pairs: Floats) -> Complex:
    return np.asarray(pairs[:, 0] + 1j * pairs[:, 1])


def _along_edges(a: Complex, b: Complex, owner: Indices, areas: int) -> Complex:
    """Integrate the outward slope of F_m along the edges, for m from 0 to ORDER."""
    step = b - a
    outward = -0.5j * step
    total = np.zeros((ORDER + 1, owner.size), dtype=np.complex128)
    for node, weight in zip(*nodes(EDGE_NODES), strict=True):
        at = a + 0.5 * (1.0 + node) * step
        f = [_wave(m, at) for m in range(ORDER + 2)]
        for m in range(ORDER + 1):
            before = f[m - 1] if m else f[1].conj()
            total[m] += 0.5 * weight * (outward.conj() * f[m + 1] + outward * before)
    total[1:] *= 2.0
    summed = np.zeros((ORDER + 1, areas), dtype=np.complex128)
    for m in range(ORDER + 1):
        summed[m] = np.bincount(owner, total[m].real, areas) + 1j * np.bincount(owner, total[m].imag, areas)
    return summed


def _wave(m: int, at: Complex) -> Complex:
    """Give I_m(s) exp(i m psi) at points s exp(i psi), by the power series of I_m."""
    quarter = 0.25 * (at.real**2 + at.imag**2)
    series = np.zeros(at.shape)
    for k in range(SERIES_TERMS, -1, -1):
        series = series * quarter + 1.0 / (factorial(k) * factorial(k + m))
    return np.asarray(series * (0.5 * at) ** m)
