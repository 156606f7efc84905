"""Gives the modified Bessel functions K0 and K1 for many arguments at once."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import Any

import numpy as np
from numpy.polynomial import Chebyshev, Polynomial
from numpy.typing import NDArray
from scipy import special

Floats = NDArray[np.float64]

FAR = 2.0
"""From this argument on sqrt(z) exp(z) K(z) is smooth enough in 1/z for one polynomial."""

DEGREE = 11
"""Degree of that polynomial; it is within 3e-11 of the function everywhere from FAR on."""


def k0(z: Floats) -> Floats:
    """Give K0 of arguments above 0, within 3e-11 of itself."""
    return _split(z, k0_far, special.k0)


def k1(z: Floats) -> Floats:
    """Give K1 of arguments above 0, within 3e-11 of itself."""
    return _split(z, k1_far, special.k1)


def k0_far(z: Floats) -> Floats:
    """Give K0 of arguments from FAR on, within 3e-11 of itself."""
    return _polynomial(z, _coefficients(0))


def k1_far(z: Floats) -> Floats:
    """Give K1 of arguments from FAR on, within 3e-11 of itself."""
    return _polynomial(z, _coefficients(1))


def _split(z: Floats, far: Callable[[Floats], Floats], near: Callable[[Floats], Floats]) -> Floats:
    low = float(z.min(initial=np.inf))
    if low >= FAR:
        return far(z)
    given = np.asarray(far(np.maximum(z, FAR)))
    close = np.flatnonzero(z.ravel() < FAR)
    given.reshape(-1)[close] = near(z.ravel()[close])
    return given


def _polynomial(z: Floats, coefficients: tuple[float, ...]) -> Floats:
    """Add up the polynomial in 1/z and multiply it by exp(-z) / sqrt(z), in place to spare memory."""
    inverse = 1.0 / z
    total = coefficients[-1] * inverse
    for coefficient in coefficients[-2:0:-1]:
        total += coefficient
        total *= inverse
    total += coefficients[0]
    total *= np.exp(-z)
    total *= np.sqrt(inverse, out=inverse)
    return np.asarray(total)


@cache
def _coefficients(order: int) -> tuple[float, ...]:
    """Fit the polynomial at Chebyshev points of 1/z between 0 and 1/FAR, lowest power first."""
    waves = np.cos(np.pi * (np.arange(400) + 0.5) / 400)
    inverse = 0.5 * (waves + 1.0) / FAR
    scaled = special.kve(order, 1.0 / inverse) / np.sqrt(inverse)
    fitted: Any = Chebyshev.fit(inverse, scaled, DEGREE, domain=[0.0, 1.0 / FAR])
    plain: Any = fitted.convert(kind=Polynomial)
    return tuple(float(value) for value in plain.coef)
