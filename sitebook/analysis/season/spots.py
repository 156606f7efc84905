"""Gives the chance of a find at sites and trees, in a usual week or on a given day."""

from __future__ import annotations

import datetime
import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sitebook.analysis.season import circular, parameters
from sitebook.analysis.season.baseline import DAYS_IN_YEAR, ISO_WEEKS, middle_day
from sitebook.analysis.season.design import NONE, PRESENCE_ONLY, WEATHER, Looks, Points
from sitebook.analysis.season.model import Fit
from sitebook.analysis.season.placed import placed
from sitebook.analysis.season.prediction import Chances, predict
from sitebook.analysis.season.prior import SeasonPrior
from sitebook.analysis.season.spot_looks import SpotLook
from sitebook.records.results.fruiting import SEASON_MODEL, Spot

Floats = NDArray[np.float64]

WeatherSeen = tuple[Floats, NDArray[np.int64]]
"""Anomalies of some dates (k, 3), NaN where not known, and the days from known weather to each (k,) [d]."""
WeatherOf = Callable[[int | None, Sequence[datetime.date]], WeatherSeen]
"""Gives the weather of a site on some dates."""


@dataclass(frozen=True)
class Fitted:
    """The season of one taxon, fitted to its looks.

    Parameters
    ----------
    taxon_id, taxon_name
        The taxon.
    southern
        Whether its sites lie south of the equator.
    from_memory
        Whether no source confirms its months.
    prior
        The season of the books.
    looks
        Its looks, those that decide nothing among them.
    made
        The decided and dated ones, as the fit read them.
    fit
        What books and looks say together.
    way, way_said
        "season model", or the simpler way that told held-out years better, and why.
    """

    taxon_id: int
    taxon_name: str
    southern: bool
    from_memory: bool
    prior: SeasonPrior
    looks: tuple[SpotLook, ...]
    made: Looks
    fit: Fit
    way: str
    way_said: str


def season_year(local_date: datetime.date, prior: SeasonPrior) -> int:
    """Give the year in which the peak of a date's season falls; years are cut opposite to the peak."""
    angle, peak = angle_of(local_date), prior.mean_rad
    if prior.flat:
        return local_date.year
    if peak < math.pi:
        return local_date.year + (angle >= peak + math.pi)
    return local_date.year - (angle < peak - math.pi)


def year_label(year: int, prior: SeasonPrior) -> str:
    """Name a season-year: "2023", or "2023/24" where the season runs over the turn of the year."""
    at_turn = float(np.exp(prior.offset(0.0)))
    if prior.flat or at_turn < parameters.value("wraps_from"):
        return str(year)
    first = year - 1 if prior.mean_rad < math.pi else year
    return f"{first}/{(first + 1) % 100:02d}"


def angle_of(local_date: datetime.date) -> float:
    """Give the angle of a date within its own year [rad]."""
    day_of_year = local_date.timetuple().tm_yday
    return float(circular.day_angle(day_of_year, circular.length_of_year(local_date)))


def points(
    spots: Sequence[Spot],
    angle_rad: Floats,
    year: NDArray[np.int64],
    *,
    minutes: Floats | float = math.nan,
    anomalies: Floats | None = None,
) -> Points:
    """Lay out looks at spots, one a spot and time of the year.

    Parameters
    ----------
    spots
        Where (n).
    angle_rad, year
        When, and in which season-year, -1 for one not known (n,).
    minutes
        Time spent [min] (n,), or one for all; NaN counts as 30.
    anomalies
        Weather (n, 3); NaN, and None for all, where not known.
    """
    size = len(spots)
    weather = np.full((size, len(WEATHER)), np.nan) if anomalies is None else anomalies
    return Points(
        np.asarray(angle_rad, np.float64),
        np.asarray(year, np.int64),
        np.broadcast_to(np.asarray(minutes, np.float64), (size,)).copy(),
        _indexes(spot.host_id for spot in spots),
        _indexes(spot.site_id for spot in spots),
        _indexes(spot.tree_id for spot in spots),
        weather,
        np.array([bool(spot.irrigated) for spot in spots], dtype=bool).reshape(size),
    )


def made_looks(
    looks: Sequence[SpotLook],
    spots: Mapping[tuple[int | None, int | None], Spot],
    prior: SeasonPrior,
    weather_of: WeatherOf,
) -> Looks:
    """Lay out the decided and dated looks of one taxon for a fit.

    Parameters
    ----------
    looks
        Looks of the taxon.
    spots
        Spot of each site and tree.
    prior
        The season of the books, which says where years are cut.
    weather_of
        Gives the weather of a site; presence-only records have none.
    """
    kept = [
        (look, date) for look in looks if look.found is not None and (date := look.local_date) is not None
    ]
    where = [_spot_of(look, spots) for look, _ in kept]
    anomalies = np.full((len(kept), len(WEATHER)), np.nan)
    for site_id in {spot.site_id for spot in where if spot.site_id not in (None, PRESENCE_ONLY)}:
        at = [number for number, spot in enumerate(where) if spot.site_id == site_id]
        anomalies[at] = weather_of(site_id, [kept[number][1] for number in at])[0]
    return Looks(
        points(
            where,
            np.array([angle_of(date) for _, date in kept], np.float64),
            np.array([_year_of(look, date, prior) for look, date in kept], np.int64),
            minutes=np.array([look.minutes or math.nan for look, _ in kept], np.float64),
            anomalies=anomalies,
        ),
        np.array([bool(look.found) for look, _ in kept], dtype=bool),
    )


def usual_year(fitted: Fitted, spots: Sequence[Spot]) -> Chances:
    """Give the chance in every ISO week at some spots, year and weather not known (spots, 53)."""
    weeks = circular.day_angle([middle_day(week) for week in ISO_WEEKS], DAYS_IN_YEAR)
    each = [spot for spot in spots for _ in ISO_WEEKS]
    at = points(each, np.tile(weeks, len(spots)), np.full(len(each), NONE, np.int64))
    return _shaped(chances_at(fitted, at), (len(spots), len(ISO_WEEKS)))


def on_days(
    fitted: Fitted,
    spots: Sequence[Spot],
    dates: Sequence[datetime.date],
    weather_of: WeatherOf,
    *,
    minutes: float = math.nan,
) -> Chances:
    """Give the chance on some days at some spots, with the weather so far (spots, dates).

    Parameters
    ----------
    fitted
        The taxon.
    spots, dates
        Where and when.
    weather_of
        Gives the weather of a site.
    minutes
        Searcher-minutes of each look [min]; NaN counts as 30.
    """
    at = [weather_of(spot.site_id, dates) for spot in spots]
    anomalies = np.concatenate([one[0] for one in at]) if at else np.zeros((0, len(WEATHER)))
    ahead = np.concatenate([one[1] for one in at]) if at else np.zeros(0, np.int64)
    angle = np.array([angle_of(date) for date in dates])
    year = np.array([season_year(date, fitted.prior) for date in dates], np.int64)
    each = [spot for spot in spots for _ in dates]
    times = (np.tile(angle, len(spots)), np.tile(year, len(spots)))
    laid = points(each, *times, minutes=minutes, anomalies=anomalies)
    return _shaped(chances_at(fitted, laid, ahead), (len(spots), len(dates)))


def chances_at(fitted: Fitted, at: Points, days_ahead: NDArray[np.int64] | int = 0) -> Chances:
    """Give the chance of looks thought of, in the way that the book uses for the taxon."""
    if fitted.way == SEASON_MODEL:
        return predict(fitted.fit, at, days_ahead=days_ahead)
    return placed(fitted.way, fitted.fit, fitted.made, at)


def _spot_of(look: SpotLook, spots: Mapping[tuple[int | None, int | None], Spot]) -> Spot:
    """Give where a look was made; all presence-only records share one site of their own."""
    if look.effort_assumed:
        return Spot(PRESENCE_ONLY, None, "")
    known = spots.get((look.site_id, look.tree_id)) or spots.get((look.site_id, None))
    return known or Spot(look.site_id, None, "")


def _year_of(look: SpotLook, date: datetime.date, prior: SeasonPrior) -> int:
    """Give the season-year of a look; how many records a year left says nothing of that year."""
    return NONE if look.effort_assumed else season_year(date, prior)


def _shaped(chances: Chances, shape: tuple[int, int]) -> Chances:
    return Chances(*(getattr(chances, name).reshape(shape) for name in Chances.__dataclass_fields__))


def _indexes(ids: Iterable[int | None]) -> NDArray[np.int64]:
    return np.array([NONE if key is None else key for key in ids], np.int64)
