"""Writes the numbers of the contamination pages no finer than they are worth, each with its unit."""

from __future__ import annotations

import math

from sitebook.records.results.contamination import Band, NearSource

SMALLEST_SOIL_MG_KG = 0.001
"""Content of soil below which a page prints no number; laboratories do not reach that far."""

SMALLEST_INDEX = 0.0005
"""Index below which a page prints no number; a tenth of the lowest step."""


def two_digits(value: float) -> str:
    """Write a modelled number with the two digits it is worth, as "0.20", "12" or "1,300"."""
    if value == 0.0:
        return "0"
    near = float(f"{value:.1e}")
    places = 1 - math.floor(math.log10(abs(near)))
    return f"{near:,.{max(places, 0)}f}"


def index(value: float) -> str:
    """Write an index, or that it is less than can be resolved."""
    return f"under {SMALLEST_INDEX:g}" if value < SMALLEST_INDEX else two_digits(value)


def index_band(band: Band) -> str:
    """Write an index with the ends of its range."""
    if band.high < SMALLEST_INDEX:
        return index(band.high)
    return f"{index(band.central)} ({index(band.low)} to {index(band.high)})"


def metres(distance_m: float) -> str:
    """Write a distance, in tenths below ten metres."""
    return f"{distance_m:.1f} m" if distance_m < 10.0 else f"{distance_m:,.0f} m"


def length(distance_m: float) -> str:
    """Write a round length of a scale bar."""
    return f"{distance_m / 1000.0:g} km" if distance_m >= 1000.0 else f"{distance_m:g} m"


def count(number: int, one: str, many: str) -> str:
    """Write a number with its noun."""
    return f"{number:,} {one if number == 1 else many}"


def share(part: Band) -> str:
    """Write a share as percent with the ends of its range."""
    return percent_band(Band(100.0 * part.central, 100.0 * part.low, 100.0 * part.high))


def percent_band(band: Band) -> str:
    """Write percent with the ends of their range, once where the three are one."""
    central, low, high = (_percent(value) for value in (band.central, band.low, band.high))
    return f"{central} %" if central == low == high else f"{central} % ({low} to {high} %)"


def _percent(value: float) -> str:
    return "under 0.001" if 0.0 < value < 0.001 else "100" if value >= 99.5 else two_digits(value)


def soil_band(value: Band) -> str:
    """Write a modelled content of soil with its range."""
    if value.high < SMALLEST_SOIL_MG_KG:
        return f"{_soil(value.high)} mg/kg dry soil"
    return f"{_soil(value.central)} mg/kg dry soil ({_soil(value.low)} to {_soil(value.high)})"


def _soil(value_mg_kg: float) -> str:
    return (
        f"under {SMALLEST_SOIL_MG_KG:g}"
        if value_mg_kg < SMALLEST_SOIL_MG_KG
        else f"about {two_digits(value_mg_kg)}"
    )


def where(distance_m: float, direction: str) -> str:
    """Say how far off and in which direction something lies."""
    if distance_m <= 0.0:
        return "the place lies on it"
    return f"{metres(distance_m)} to the {direction}" if direction else metres(distance_m)


def vehicles(road: NearSource) -> str:
    """Write vehicles a day with their range."""
    if road.vehicles_per_day is None:
        return "traffic not known"
    ends = (
        f" ({two_digits(road.vehicles_low)} to {two_digits(road.vehicles_high)})"
        if road.vehicles_low is not None and road.vehicles_high is not None
        else ""
    )
    return f"about {two_digits(road.vehicles_per_day)}{ends}"


def road_band(road: NearSource) -> Band:
    """Give what a road adds as a band."""
    return Band(road.value, road.low, road.high)
