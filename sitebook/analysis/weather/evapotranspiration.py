"""How much water a day can take up from grass, from its temperatures alone."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

MM_PER_MJ_M2 = 0.408
"""Water that one megajoule a square metre evaporates [mm]; allen1998, equation 20."""


def hargreaves_mm(
    temp_min_degc: ArrayLike,
    temp_max_degc: ArrayLike,
    radiation_mj_m2: ArrayLike,
    temp_mean_degc: ArrayLike | None = None,
) -> Floats:
    """Give the reference evapotranspiration of a day by the equation of Hargreaves.

    Parameters
    ----------
    temp_min_degc, temp_max_degc
        Lowest and highest temperature of the day [deg C].
    radiation_mj_m2
        Radiation above the air [MJ/m2 a day].
    temp_mean_degc
        Mean temperature [deg C]; None for the middle of lowest and highest.

    Returns
    -------
    ndarray
        Evapotranspiration [mm a day], 0 or more; missing where a temperature is missing.

    Raises
    ------
    ValueError
        When a lowest temperature lies above the highest, or a radiation is below 0.

    References
    ----------
    allen1998, equation 52.
    """
    low, high = np.asarray(temp_min_degc, np.float64), np.asarray(temp_max_degc, np.float64)
    radiation = np.asarray(radiation_mj_m2, np.float64)
    if np.any(low > high) or np.any(radiation < 0.0):
        raise ValueError("a lowest temperature lies at or below the highest, and radiation is 0 or more")
    mean = (low + high) / 2.0 if temp_mean_degc is None else np.asarray(temp_mean_degc, np.float64)
    water = 0.0023 * (mean + 17.8) * np.sqrt(high - low) * MM_PER_MJ_M2 * radiation
    return np.asarray(np.maximum(water, 0.0))
