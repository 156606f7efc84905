"""How much of a spraying drifts onto the ground beside it, by the published curves."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from sitebook.reference import reader

Floats = NDArray[np.float64]

NEAREST_M = 1.0
"""The curves start at 1 m; nearer than that the value at 1 m stands."""

INSIDE_PERCENT = 100.0
"""What the sprayed ground itself gets."""


@dataclass(frozen=True)
class Curve:
    """One drift curve: a z^b below the hinge, c z^d from it on.

    Parameters
    ----------
    a, b
        Factor [% of the rate] and power below the hinge.
    c, d
        The same from the hinge on; equal to a and b for a curve in one piece.
    hinge_m
        Where the second piece begins [m]; infinite for a curve in one piece.
    """

    a: float
    b: float
    c: float
    d: float
    hinge_m: float


@cache
def curves() -> dict[tuple[str, int], Curve]:
    """Give every curve by crop group and number of applications."""
    found = {}
    for row in reader.rows("drift_curves"):
        a, b = float(row["a"]), float(row["b"])
        c, d = (float(row["c"]), float(row["d"])) if row["c"] else (a, b)
        hinge_m = float(row["hinge_m"]) if row["hinge_m"] else np.inf
        found[row["group"], int(row["applications"])] = Curve(a, b, c, d, hinge_m)
    return found


def groups() -> tuple[str, ...]:
    """Name the crop groups."""
    return tuple(dict.fromkeys(group for group, _ in curves()))


def drift_percent(distance_m: ArrayLike, group: str, applications: int = 1) -> Floats:
    """Give the drift deposited on the ground at a distance from the edge of what was sprayed.

    Parameters
    ----------
    distance_m
        Distance downwind from the edge [m], 0 or more; below 1 m the value at 1 m stands.
    group
        Crop group, one of `groups()`.
    applications
        Number of applications; 2 to 8 for arable_below_50cm alone.

    Returns
    -------
    ndarray
        Percent of the field rate, by ground area, at the percentile of the table.

    Raises
    ------
    ValueError
        When there is no curve for the group and number, or a distance is negative or missing.

    References
    ----------
    focus2001, appendix B; the railway curve is fitted to the table of jki2010.
    """
    curve = _curve(group, applications)
    distance = np.asarray(distance_m, dtype=np.float64)
    if not np.all(distance >= 0.0):
        raise ValueError("a distance from a sprayed edge is 0 or more")
    away = np.maximum(distance, NEAREST_M)
    near, far = curve.a * away**curve.b, curve.c * away**curve.d
    return np.asarray(np.where(away < curve.hinge_m, near, far))


def strip_mean_percent(from_m: ArrayLike, width_m: ArrayLike, group: str, applications: int = 1) -> Floats:
    """Give the mean drift over a strip along the edge, for the part of the curve below its hinge.

    Parameters
    ----------
    from_m
        Distance of the strip's near side [m], 1 or more.
    width_m
        Width of the strip [m], above 0.
    group, applications
        As in `drift_percent`.

    Raises
    ------
    ValueError
        When a strip begins nearer than 1 m or has no width.

    References
    ----------
    focus2001, section 5.4.5: the integral of the curve over the strip, divided by its width.
    """
    curve = _curve(group, applications)
    start, width = np.broadcast_arrays(np.asarray(from_m, np.float64), np.asarray(width_m, np.float64))
    if not (np.all(start >= NEAREST_M) and np.all(width > 0.0)):
        raise ValueError("a strip begins at 1 m or farther and has a width")
    end = start + width
    hinge = np.minimum(np.maximum(curve.hinge_m, start), end)
    whole = _integral(curve.a, curve.b, start, hinge) + _integral(curve.c, curve.d, hinge, end)
    return np.asarray(whole / width)


def _integral(factor: float, power: float, start: Floats, end: Floats) -> Floats:
    return np.asarray(factor / (power + 1.0) * (end ** (power + 1.0) - start ** (power + 1.0)))


def _curve(group: str, applications: int) -> Curve:
    found = curves().get((group, applications))
    if found is None:
        known = ", ".join(groups())
        raise ValueError(f"no drift curve for {applications} applications of '{group}'; groups are {known}")
    return found
