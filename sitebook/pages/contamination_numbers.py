"""Writes the numbers of the contamination pages no finer than they are worth, each with its unit."""

from __future__ import annotations

from sitebook.analysis.contamination.spraying_numbers import SMALLEST_PERCENT
from sitebook.quantities import resolved, two_digits
from sitebook.records.results.contamination import SMALLEST_INDEX, Band, NearSource
from sitebook.records.results.contamination import index_words as index

SMALLEST_SOIL_MG_KG = 0.001
"""Content of soil below which a page prints no number; laboratories do not reach that far."""


def index_band(band: Band) -> str:
    """Write an index with the ends of its range."""
    if band.high < SMALLEST_INDEX:
        return index(band.high)
    return f"{index(band.central)} ({band.ends_said})"


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
    return resolved(value, SMALLEST_PERCENT)


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
