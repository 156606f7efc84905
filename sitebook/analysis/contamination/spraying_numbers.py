"""Writes the numbers of sprayings no finer than they are worth."""

from __future__ import annotations

from sitebook.quantities import resolved

SMALLEST_PERCENT = 0.001
"""Share of a rate below which no number is written [percent]."""


def percent_words(percent: float) -> str:
    """Give a percentage in two digits, or that it is less than can be read."""
    return f"{resolved(percent, SMALLEST_PERCENT)} %"
