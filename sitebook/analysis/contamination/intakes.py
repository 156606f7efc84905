"""Counts what eating a tested mushroom brings in, for each eater and health-based value."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from sitebook.analysis.contamination import laboratory_words as words
from sitebook.analysis.contamination.exposure import (
    margin_of_exposure,
    share_of_reference_dose,
    share_of_weekly_limit,
    weekly_intake_ug,
)
from sitebook.analysis.contamination.measured import Amount, DryMatter
from sitebook.records.results.test_reading import IntakeLine
from sitebook.reference.analytes import Analyte
from sitebook.reference.health import HealthValue, health_values_of

NEVER_A_SHARE = frozenset({"Pb"})
"""No reference dose or weekly limit of lead stands; one that came into a table would be an error."""


MOST_MARGIN = 1e9
"""Margin that a larger one is written as, since no number beyond it tells more."""


@dataclass(frozen=True)
class Eater:
    """Somebody whose intake is counted.

    Parameters
    ----------
    name
        adult, child or pregnancy.
    body_mass_kg
        Body mass [kg], above 0.
    fresh_g_per_week
        Fresh mushroom a week [g], above 0.
    said
        Where mass and portion come from, in words; "" where that is not told.
    """

    name: str
    body_mass_kg: float
    fresh_g_per_week: float
    said: str = ""

    def __post_init__(self) -> None:
        numbers = (self.body_mass_kg, self.fresh_g_per_week)
        if not all(math.isfinite(number) and number > 0.0 for number in numbers):
            raise ValueError("an eater has a body mass and a weekly portion above 0")


def intakes_of(
    found: Analyte, amount: Amount, dry: DryMatter | None, eaters: Sequence[Eater]
) -> tuple[IntakeLine, ...]:
    """Give what each eater's weekly portion brings in, against each value set for that eater.

    Total mercury is held against the values of both of its forms; total arsenic against none.

    Parameters
    ----------
    found
        What was measured.
    amount
        How much of it.
    dry
        Dry matter, needed where the amount is on dry mass.
    eaters
        Whose intakes are counted.
    """
    values = health_values_of(*(("Hg", "MeHg") if found.name == "Hg" else (found.name,)))
    return tuple(
        _line(found, value, eater, intake_ug_per_week(amount, dry, eater), at_most=amount.at_most)
        for eater in eaters
        for value in values
        if value.holds_for(eater.name)
    )


def intake_ug_per_week(amount: Amount, dry: DryMatter | None, eater: Eater) -> float:
    """Give what an eater's weekly portion brings in [ug a week]; the whole amount counts.

    Raises
    ------
    ValueError
        When the amount is on dry mass and no dry matter is given.
    """
    if amount.basis == "dry" and dry is None:
        raise ValueError("an intake from a dry basis needs a dry matter")
    share = dry.fraction if dry is not None and amount.basis == "dry" else 1.0
    return float(weekly_intake_ug(eater.fresh_g_per_week, amount.mg_per_kg, share))


def _line(found: Analyte, value: HealthValue, eater: Eater, intake: float, *, at_most: bool) -> IntakeLine:
    share, margin = _share_and_margin(value, intake, eater.body_mass_kg)
    number = margin if share is None else share
    if number is None:
        raise ValueError("a health-based value gives a share or a margin")
    return IntakeLine(
        eater=eater.name,
        body_mass_kg=eater.body_mass_kg,
        fresh_g_per_week=eater.fresh_g_per_week,
        intake_ug_per_week=intake,
        share_percent=share,
        margin=margin,
        against=words.health_against(value),
        words=words.intake_words(value, number, found.name, at_most=at_most),
        source=words.source_words(value.whose, value.limit),
        mark=value.limit.mark,
        at_most=at_most,
    )


def _share_and_margin(
    value: HealthValue, intake: float, body_mass_kg: float
) -> tuple[float | None, float | None]:
    limit = value.limit.value
    if value.kind == "benchmark":
        return None, min(float(margin_of_exposure(intake, limit, body_mass_kg)), MOST_MARGIN)
    if value.analyte in NEVER_A_SHARE:
        raise ValueError(f"{value.name}: no share is made of {value.analyte}")
    share = share_of_weekly_limit if value.kind == "weekly" else share_of_reference_dose
    return 100.0 * float(share(intake, limit, body_mass_kg)), None
