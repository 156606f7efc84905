"""The cited numbers of the season model."""

from __future__ import annotations

import math
from functools import cache

from sitebook.citations import Cited
from sitebook.reference import reader

DAYS_IN_YEAR = 365.2425
"""Mean length of a year [d]."""


@cache
def model() -> dict[str, Cited]:
    """Give the numbers of the season model by name, as "rate_sd"."""
    return reader.parameters("season_model")


@cache
def words() -> dict[str, str]:
    """Give what each number does, by its name."""
    return {row["name"]: row["why"] for row in reader.rows("season_model")}


def value(name: str) -> float:
    """Give one number of the season model."""
    return model()[name].value


def turn_rad(name: str) -> float:
    """Give a number of the season model in days as an angle of the year [rad]."""
    return 2.0 * math.pi * value(name) / DAYS_IN_YEAR
