"""Statistics of directions: days of the year laid on a circle, so that December touches January."""

from __future__ import annotations

import datetime
import math
from calendar import isleap

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import optimize, special

Floats = NDArray[np.float64]

FULL_TURN_RAD = 2.0 * math.pi
NO_DIRECTION = 1e-12
"""Mean resultant length below which rounding alone decides the direction."""


def day_angle(day_of_year: ArrayLike, days_in_year: ArrayLike) -> Floats:
    """Give the angle of the middle of a day, with the year as one turn.

    Parameters
    ----------
    day_of_year
        1 on 1 January [d].
    days_in_year
        365 or 366 [d]; broadcasts against `day_of_year`.

    Returns
    -------
    Angle [rad]; 31 December and 1 January lie one day apart in either kind of year.
    """
    days = np.asarray(day_of_year, dtype=np.float64)
    return np.asarray(FULL_TURN_RAD * (days - 0.5) / np.asarray(days_in_year, dtype=np.float64))


def moment(
    angles_rad: ArrayLike, order: int = 1, weights: ArrayLike | None = None, axis: int | None = None
) -> tuple[Floats, Floats]:
    """Give direction and length of a trigonometric moment.

    Parameters
    ----------
    angles_rad
        Angles [rad].
    order
        1 for the mean, 2 for the second moment, and so on.
    weights
        Weight of each angle, broadcast against them; None for equal weights.
    axis
        Axis summed over; None for all.

    Returns
    -------
    Direction in [0, 2 pi) [rad], NaN where the angles cancel each other; length [1].

    Raises
    ------
    ValueError
        When there are no angles, or the weights are negative or sum to nothing.

    References
    ----------
    Jammalamadaka & SenGupta 2001, p. 23.
    """
    angles = np.asarray(angles_rad, dtype=np.float64)
    parts = np.asarray(1.0 if weights is None else weights, dtype=np.float64)
    angles, parts = np.broadcast_arrays(angles, parts)
    total = parts.sum(axis=axis)
    if angles.size == 0 or np.any(parts < 0.0) or np.any(total <= 0.0):
        raise ValueError("a direction needs at least one angle, with weights that sum to more than 0")
    resultant = (parts * np.exp(1j * order * angles)).sum(axis=axis) / total
    length = np.abs(resultant)
    direction = np.mod(np.angle(resultant), FULL_TURN_RAD)
    direction = np.where(direction >= FULL_TURN_RAD, 0.0, direction)
    return np.where(length < NO_DIRECTION, np.nan, direction), np.asarray(length)


def length_of_year(local_date: datetime.date) -> int:
    """Give how many days the year of a date has [d]."""
    return 366 if isleap(local_date.year) else 365


def mean_direction(
    angles_rad: ArrayLike, weights: ArrayLike | None = None, axis: int | None = None
) -> Floats:
    """Give the mean direction in [0, 2 pi) [rad], NaN where the angles cancel each other.

    Parameters and errors are those of `moment`.
    """
    return moment(angles_rad, 1, weights, axis)[0]


def resultant_length(
    angles_rad: ArrayLike, weights: ArrayLike | None = None, axis: int | None = None
) -> Floats:
    """Give the mean resultant length [1]: 1 for equal angles, 0 for angles that cancel.

    Parameters and errors are those of `moment`.
    """
    return moment(angles_rad, 1, weights, axis)[1]


def rayleigh_p(angles_rad: ArrayLike, axis: int | None = None) -> Floats:
    """Give the probability of so long a resultant when every direction is equally likely.

    Parameters
    ----------
    angles_rad
        Angles [rad].
    axis
        Axis tested along; None for all angles as one sample.

    Returns
    -------
    Probability [1], never below 0 as the four-term series can be.

    References
    ----------
    Wilkie 1983; Zar, Biostatistical Analysis, section on the Rayleigh test.
    """
    angles = np.asarray(angles_rad, dtype=np.float64)
    how_many = angles.size if axis is None else angles.shape[axis]
    resultant = how_many * resultant_length(angles, axis=axis)
    root = np.sqrt(1.0 + 4.0 * how_many + 4.0 * (how_many**2 - resultant**2))
    return np.asarray(np.minimum(np.exp(root - (1.0 + 2.0 * how_many)), 1.0))


def von_mises_density(angle_rad: ArrayLike, mean_rad: ArrayLike, concentration: ArrayLike) -> Floats:
    """Give the von Mises density per radian; 0 concentration is the even circle.

    Parameters
    ----------
    angle_rad, mean_rad
        Where, and the direction the density is highest in [rad].
    concentration
        Kappa [1], 0 or more; all three broadcast.
    """
    kappa = np.asarray(concentration, dtype=np.float64)
    delta = np.asarray(angle_rad, dtype=np.float64) - np.asarray(mean_rad, dtype=np.float64)
    return np.asarray(np.exp(kappa * (np.cos(delta) - 1.0)) / (FULL_TURN_RAD * special.i0e(kappa)))


def concentration_of(resultant: float) -> float:
    """Give the von Mises concentration whose mean resultant length is the one given.

    Parameters
    ----------
    resultant
        Mean resultant length [1], from 0 to below 1.

    Raises
    ------
    ValueError
        When the length is outside that range.
    """
    if not 0.0 <= resultant < 1.0:
        raise ValueError("a concentration exists for a resultant length from 0 to below 1 only")
    if resultant == 0.0:
        return 0.0
    upper = 2.0 + 2.0 / (1.0 - resultant)

    def excess(kappa: float) -> float:
        return float(special.i1e(kappa) / special.i0e(kappa)) - resultant

    return float(optimize.brentq(excess, 0.0, upper, xtol=1e-12))


def plug_in_concentration(how_many: int, concentration: float) -> float:
    """Give the kernel concentration that suits a sample of one von Mises hump.

    Our calendar uses a fixed kernel instead; this tells how far that is from the rule of thumb.

    Parameters
    ----------
    how_many
        Size of the sample.
    concentration
        Concentration of the hump [1].

    References
    ----------
    Taylor 2008, Computational Statistics & Data Analysis, equation 7.
    """
    ratio = float(special.ive(2, 2.0 * concentration) / special.i0e(concentration) ** 2)
    return float((3.0 * how_many * concentration**2 * ratio / (4.0 * math.sqrt(math.pi))) ** 0.4)
