"""Writes the numbers of sprayings no finer than they are worth."""

from __future__ import annotations


def two_digits(number: float) -> str:
    """Give a number in two significant digits, without a power of ten where it can be helped."""
    return f"{float(f'{number:.2g}'):,g}"


def percent_words(percent: float) -> str:
    """Give a percentage in two significant digits, or that it is less than can be read."""
    if 0.0 < percent < 0.001:
        return "less than 0.001 %"
    return f"{two_digits(percent)} %"
