"""Turns the rate of an active substance, as told, into grams a hectare."""

from __future__ import annotations

import math

from sitebook.records.spraying import SprayingActive

GRAMS = {"g/ha": 1.0, "kg/ha": 1000.0}
"""Units of mass by area, in grams a hectare; millilitres of a product hold a mass that is not known."""


def brought_out_g_ha(active: SprayingActive, applications: int) -> float | None:
    """Give what was brought out, all applications together [g/ha]; None where it cannot be told."""
    factor = GRAMS.get(active.rate_unit or "")
    if factor is None or not _counts(active.rate):
        return None
    return float(active.rate or 0.0) * factor * max(applications, 1)


def rate_words(active: SprayingActive) -> str:
    """Give the rate as told, with what it does not say; "" where none was told."""
    if not _counts(active.rate):
        return ""
    said = f"{active.rate:,g} {active.rate_unit or 'of a unit not told'}"
    if active.rate_unit == "ml/ha":
        return f"{said} of a product; the mass in it is not known"
    if active.rate_unit == "g/tree":
        return f"{said}; by tree, not by ground"
    return said


def _counts(rate: float | None) -> bool:
    return rate is not None and math.isfinite(rate) and rate >= 0.0
