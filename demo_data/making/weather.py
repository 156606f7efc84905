"""Five years of invented daily weather of a cool oceanic island."""

from __future__ import annotations

import datetime
import math
import random
from dataclasses import dataclass

FIRST, LAST = datetime.date(2021, 1, 1), datetime.date(2025, 12, 31)
WETNESS = {2021: 1.0, 2022: 0.72, 2023: 1.22, 2024: 1.05, 2025: 0.88}
"""How wet each year is against the mean: 2022 has a dry summer, 2023 a wet one."""

HEAD = """# Daily weather of the invented station at Vennarhaven harbour
# station: VEN
# name: Vennarhaven Harbour
# lon: -19.40812
# lat: 48.60095
# elevation_m: 6
# zone: Etc/GMT+1
"""


@dataclass(frozen=True)
class Day:
    """One day as it was."""

    date: datetime.date
    low_degc: float
    high_degc: float
    rain_mm: float
    trace: bool


def all_days() -> list[Day]:
    """Simulate every day from the first to the last."""
    rng = random.Random("weather")
    days: list[Day] = []
    drift, wet = 0.0, False
    date = FIRST
    while date <= LAST:
        turn = 2 * math.pi * (date.timetuple().tm_yday - 222) / 365.25
        drift = 0.72 * drift + 1.5 * _normal(rng)
        mean = 12.4 + 5.1 * math.cos(turn) + drift
        chance = (0.50 - 0.13 * math.cos(turn)) * _year_factor(date)
        wet = rng.random() < min(0.92, chance * (1.38 if wet else 0.78))
        rain = round(_drops(rng) * _year_factor(date), 1) if wet else 0.0
        half = max(1.0, (2.3 if wet else 3.6) + 0.9 * math.cos(turn) + 0.6 * _normal(rng))
        days.append(Day(date, round(mean - half, 1), round(mean + half, 1), rain, wet and rain < 0.2))
        date += datetime.timedelta(days=1)
    return days


def _year_factor(date: datetime.date) -> float:
    factor = WETNESS[date.year]
    return factor if 5 <= date.month <= 9 else 0.5 * (1 + factor)


def _drops(rng: random.Random) -> float:
    """Draw one day's rain in mm from a gamma-like law of shape 1/2 and 1 mixed."""
    draw = -math.log(1 - rng.random())
    return float(4.3 * draw ** (1.0 if rng.random() < 0.7 else 1.7))


def _normal(rng: random.Random) -> float:
    return math.sqrt(-2 * math.log(1 - rng.random())) * math.cos(2 * math.pi * rng.random())


def written(days: list[Day]) -> str:
    """Write the days as the station kept them: with gaps, traces and one gathered week-end."""
    rng = random.Random("gauge")
    lines = ["local_date,temp_min_degc,temp_max_degc,rain_mm,trace,covers_days"]
    away = {datetime.date(2022, 7, 9) + datetime.timedelta(days=k) for k in range(12)}
    for i, day in enumerate(days):
        if day.date in away:
            continue
        low, high = f"{day.low_degc:.1f}", f"{day.high_degc:.1f}"
        rain, trace, covers = f"{day.rain_mm:.1f}", "yes" if day.trace else "no", "1"
        if day.trace:
            rain = "0.0"
        if rng.random() < 0.006:
            low = high = ""
        if rng.random() < 0.004:
            rain, trace = "", "no"
        if day.date == datetime.date(2023, 11, 6):
            rain, covers = f"{sum(d.rain_mm for d in days[i - 2 : i + 1]):.1f}", "3"
        if day.date in {datetime.date(2023, 11, 4), datetime.date(2023, 11, 5)}:
            rain, trace = "", "no"
        lines.append(f"{day.date.isoformat()},{low},{high},{rain},{trace},{covers}")
    return HEAD + "\n".join(lines) + "\n"
