"""Says what the weather so far does to the finds to be expected of a taxon."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import special

from sitebook.analysis.season.baseline import INTERVAL_LEVEL
from sitebook.analysis.season.design import WATERED, WEATHER, coefficients_before
from sitebook.analysis.season.model import Fit
from sitebook.analysis.season.prediction import WEATHER_COLUMNS
from sitebook.analysis.season.spots import Fitted
from sitebook.analysis.weather.rain import LAG_LENGTH_DAYS
from sitebook.citations import Cited
from sitebook.records.results.fruiting import SEASON_MODEL

Floats = NDArray[np.float64]

ASSUMED_SHARE = Cited(0.75, "1", "ours", "our choice")
"""Share of the first doubt in what weather does, above which that was mostly assumed."""


@dataclass(frozen=True)
class Effect:
    """What weather does.

    Parameters
    ----------
    times, low, high
        Finds to be expected are those of usual weather times this, and the ends of its interval [1].
    mostly_assumed
        Whether looks moved what was assumed by little.
    known
        Whether any of the weather is known.
    """

    times: float
    low: float
    high: float
    mostly_assumed: bool
    known: bool


def effect_told(
    fitted: Fitted, anomalies: Floats, *, days_ahead: int = 0, irrigated: bool = False
) -> Effect | None:
    """Give what weather does to the chance of a taxon that the book shows.

    Parameters
    ----------
    fitted
        The taxon.
    anomalies, irrigated
        As `effect` takes them.
    days_ahead
        Days from the newest known weather to the day told of [d].

    Returns
    -------
    Effect or None
        None where the way used for the taxon reads no weather, or none that is known counts any more.
    """
    if fitted.way != SEASON_MODEL or days_ahead >= LAG_LENGTH_DAYS:
        return None
    return effect(fitted.fit, anomalies, irrigated=irrigated)


def effect(fit: Fit, anomalies: Floats, *, irrigated: bool = False) -> Effect:
    """Give what weather does to the finds to be expected of a taxon.

    Parameters
    ----------
    fit
        The taxon's fit.
    anomalies
        Soil moisture, lagged rain and soil temperature against what is usual (3,) [sd]; NaN not known.
    irrigated
        Whether the ground is watered, so that moisture and rain count nothing.
    """
    counts = np.isfinite(anomalies) & ~(WATERED & irrigated)
    seen = np.where(counts, np.nan_to_num(anomalies), 0.0)
    mean = float(fit.mean[WEATHER_COLUMNS] @ seen)
    covariance = fit.covariance.shared[WEATHER_COLUMNS, WEATHER_COLUMNS]
    reach = float(special.ndtri(0.5 + INTERVAL_LEVEL.value / 2.0) * np.sqrt(seen @ covariance @ seen))
    before = coefficients_before(fit.prior)[1][WEATHER_COLUMNS]
    share = float((np.diag(covariance)[: len(WEATHER)] / before).mean())
    low, high = np.exp(mean - reach), np.exp(mean + reach)
    return Effect(
        float(np.exp(mean)), float(low), float(high), share > ASSUMED_SHARE.value, bool(counts.any())
    )
