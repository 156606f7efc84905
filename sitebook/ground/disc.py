"""Gives the radii that stand for all places within the uncertainty of a position."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

STEPS_A_DECADE = 10
"""Radii from one metre to ten; each is about a quarter longer than the last."""


def radii_within_m(uncertainty_m: float) -> NDArray[np.float64]:
    """Give the radii looked at within an uncertainty, which is rounded up to the last of them.

    The radii of a wider uncertainty hold those of a narrower one, so whatever is largest or smallest over
    them never shrinks when a position grows less certain.

    Parameters
    ----------
    uncertainty_m
        Radius of the disc [m], 0 or more.

    Returns
    -------
    ndarray
        Radii (k,), rising [m]; none at an uncertainty of 0.
    """
    if uncertainty_m <= 0.0:
        return np.empty(0)
    last = max(math.ceil(STEPS_A_DECADE * math.log10(uncertainty_m) - 1e-9), 0)
    return np.asarray(10.0 ** (np.arange(last + 1) / STEPS_A_DECADE))
