"""Makes worlds of looks in which the true chance of a find is known, with simulated weather."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import signal

from sitebook.analysis.season.design import Looks, Points, chosen_looks
from sitebook.analysis.season.prior import Hump, SeasonPrior
from sitebook.analysis.weather.station_weather import station_weather

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Random = np.random.Generator

TURN_RAD = 2.0 * math.pi
YEAR_DAYS = 365
YEARS = 6
"""Five years to learn from, and one held out."""
LATITUDE_DEG = 50.0
SITES, TREES, HOSTS = 4, 12, 4
VISITS = 25
"""Mean number of looks at a tree in a year."""


@dataclass(frozen=True)
class Weather:
    """Weather of some years, day by day.

    Parameters
    ----------
    rain_mm, mean_degc
        Daily rain [mm] and mean temperature [deg C].
    anomalies
        Soil moisture, lagged rain, soil temperature (n, 3).
    """

    rain_mm: Floats
    mean_degc: Floats
    anomalies: Floats


@dataclass(frozen=True)
class World:
    """Looks of six years at twelve trees of four sites.

    Parameters
    ----------
    looks
        All looks in any order; the year runs from 0 to 5.
    chance
        True chance of a find in each (n,).
    prior
        What the books of this world say.
    """

    looks: Looks
    chance: Floats
    prior: SeasonPrior

    def past(self, finds: float, chance: Random) -> Looks:
        """Give looks of the first five years, thinned so that this many finds are to be expected."""
        early = self.looks.at.year < YEARS - 1
        there = int(self.looks.found[early].sum())
        kept = chance.random(early.size) < min(1.0, finds / max(there, 1))
        return chosen_looks(self.looks, early & kept)

    def held_out(self) -> tuple[Looks, Floats]:
        """Give the looks of the last year, and the true chance of each."""
        late = self.looks.at.year == YEARS - 1
        return chosen_looks(self.looks, late), self.chance[late]


def matched(seed: int, *, books_off_days: float = 0.0) -> World:
    """Make a world of the model's own form, with a season that differs from that of the books.

    Parameters
    ----------
    seed
        Start of the random numbers.
    books_off_days
        Error of the books' peak on top of its usual one [d].
    """
    chance = np.random.default_rng(seed)
    weather = _weather(chance)
    told, told_width = TURN_RAD * chance.uniform(230, 300) / 365.25, chance.uniform(2.0, 6.0)
    peak, width = told + _turn(chance.normal(0.0, 15.0)), told_width * math.exp(chance.normal(0.0, 0.3))
    host_of, site_of = chance.integers(0, HOSTS, TREES), np.arange(TREES) // (TREES // SITES)
    place = chance.normal(0.0, 0.6, HOSTS)[host_of]
    tree = chance.normal(0.0, 0.8, SITES)[site_of] + chance.normal(0.0, 0.6, TREES)
    year, shift = chance.normal(0.0, 0.5, YEARS), _turn(8.0) * chance.normal(0.0, 1.0, YEARS)
    pull = np.array([0.5, 0.35, 0.0]) + chance.normal(0.0, 0.25, 3)
    rate = -1.2 + chance.normal(0.0, 0.8)
    at, day = _visits(chance, weather, host_of, site_of, VISITS * np.exp(0.3 * tree - 0.05))
    season = width * (np.cos(at.angle_rad - peak - shift[at.year]) - 1.0)
    if chance.random() < 0.25:
        season = np.logaddexp(season, width * (np.cos(at.angle_rad - peak + 2.2) - 1.0) - 1.2)
    felt = np.nan_to_num(weather.anomalies)[day] @ pull + 0.9 * np.log(at.minutes / 30.0)
    log_rate = rate + season + place[at.tree] + tree[at.tree] + year[at.year] + felt
    log_rate = log_rate + chance.normal(0.0, 0.4, len(at))
    true = -np.expm1(-np.exp(np.clip(log_rate, -30.0, 4.0)))
    books = Hump((told + _turn(books_off_days)) % TURN_RAD, told_width)
    return World(Looks(at, chance.random(len(at)) < true), true, SeasonPrior((books,)))


def triggered(seed: int) -> World:
    """Make a world unlike the model: flushes some days after heavy rain, hard ends of season, frost.

    Parameters
    ----------
    seed
        Start of the random numbers.
    """
    chance = np.random.default_rng(seed)
    weather = _weather(chance)
    first_day, last_day = chance.uniform(205.0, 240.0), chance.uniform(300.0, 340.0)
    host_of, site_of = chance.integers(0, HOSTS, TREES), np.arange(TREES) // (TREES // SITES)
    suits = chance.random(HOSTS) < 0.75
    fruiting = _flushes(chance, weather, (first_day, last_day), suits[host_of])
    at, day = _visits(chance, weather, host_of, site_of, np.full(TREES, float(VISITS)))
    seen = -np.expm1(-1.6 * at.minutes / 30.0)
    true = fruiting[at.tree, day] * seen
    peak = TURN_RAD * ((first_day + last_day) / 2.0 + chance.normal(0.0, 12.0)) / 365.25
    return World(Looks(at, chance.random(len(at)) < true), true, SeasonPrior((Hump(peak, 4.0),)))


WORLDS: dict[str, Callable[[int], World]] = {"matched": matched, "rain-triggered": triggered}


def _turn(days: float) -> float:
    return TURN_RAD * days / 365.25


def _weather(chance: Random) -> Weather:
    """Simulate rain in spells, and temperatures that linger."""
    days = YEAR_DAYS * YEARS
    day_of_year = np.arange(days) % YEAR_DAYS + 1
    wetness = np.repeat(chance.normal(0.0, 0.35, YEARS), YEAR_DAYS)
    wet = _spells(chance.random(days) - 0.08 * wetness)
    rain_mm = np.where(wet, chance.gamma(0.75, 7.0, days), 0.0)
    lingering = signal.lfilter([1.0], [1.0, -0.8], chance.normal(0.0, 1.6, days))
    mean = 10.0 + 8.5 * np.cos(TURN_RAD * (day_of_year - 200) / YEAR_DAYS) + lingering - 0.5 * wetness
    swing = np.maximum(np.where(wet, 7.0, 11.0) + chance.normal(0.0, 1.5, days), 2.0)
    dates = np.datetime64("2001-01-01") + np.arange(days)
    felt = station_weather(
        dates.tolist(), rain_mm, mean - swing / 2.0, mean + swing / 2.0, LATITUDE_DEG
    ).anomalies
    return Weather(rain_mm, mean, felt)


def _spells(throws: Floats) -> NDArray[np.bool_]:
    """Let a day be wet more easily after a wet one."""
    wet, spells = False, []
    for throw in throws.tolist():
        wet = throw < (0.6 if wet else 0.27)
        spells.append(wet)
    return np.array(spells)


def _visits(
    chance: Random, weather: Weather, host_of: Ints, site_of: Ints, per_year: Floats
) -> tuple[Points, Ints]:
    """Send somebody to the trees, mostly in autumn; give the looks and the day of each."""
    counts = chance.poisson(np.tile(per_year, (YEARS, 1)))
    year, tree = (np.repeat(place.ravel(), counts.ravel()) for place in np.indices(counts.shape))
    size = int(counts.sum())
    autumn, anytime = chance.normal(275.0, 40.0, size), chance.uniform(1.0, 365.0, size)
    drawn = np.where(chance.random(size) < 0.7, autumn, anytime)
    day_of_year = np.clip(np.round(drawn), 1, YEAR_DAYS).astype(np.int64)
    day = year * YEAR_DAYS + day_of_year - 1
    minutes = np.exp(chance.normal(math.log(30.0), 0.5, size))
    angle = TURN_RAD * (day_of_year - 0.5) / YEAR_DAYS
    dry = np.zeros(size, np.bool_)
    at = Points(angle, year, minutes, host_of[tree], site_of[tree], tree, weather.anomalies[day], dry)
    return at, day


def _flushes(
    chance: Random, weather: Weather, season: tuple[float, float], suits: NDArray[np.bool_]
) -> Floats:
    """Say of each tree and day whether it bears (trees, days)."""
    days = weather.rain_mm.size
    delay, life, enough_mm = chance.integers(7, 16), chance.integers(6, 20), chance.uniform(15.0, 30.0)
    own_shift, readiness = chance.normal(0.0, 8.0, TREES), chance.beta(1.2, 1.5, TREES)
    readiness = readiness * np.where(suits, 1.0, 0.15)
    fallen = np.convolve(weather.rain_mm, np.ones(10))[:days]
    soil = signal.lfilter([0.125], [1.0, -0.875], weather.mean_degc - 10.0) + 10.0
    rains = np.flatnonzero((fallen >= enough_mm) & (soil > 5.0) & (soil < 18.0) & (np.arange(days) >= 20))
    frost = np.convolve(weather.mean_degc < -1.0, np.ones(3))[:days] > 0
    fruiting = np.zeros((TREES, days))
    for tree in range(TREES):
        into = (np.arange(days) % YEAR_DAYS - own_shift[tree] - season[0]) / (season[1] - season[0])
        into = np.clip(into, 0.0, 1.0)
        height = into * (1.0 - into) ** 1.3
        ready = readiness[tree] * np.sqrt(height / height.max())
        last = -999
        for day in rains[chance.random(rains.size) < ready[rains]].tolist():
            if day - last > 10:
                last = day
                start = day + delay + int(chance.integers(-2, 3))
                fruiting[tree, start : start + life] = 1.0
    fruiting[:, frost] = 0.0
    return fruiting
