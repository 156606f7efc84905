"""What eating a measured mushroom would bring in, against health-based values."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from sitebook.citations import Cited

Floats = NDArray[np.float64]

DRY_MATTER = Cited(0.10, "1", "not confirmed", "memory", "the usual convention")
DAYS_A_WEEK = 7.0


def weekly_intake_ug(
    fresh_g_per_week: ArrayLike, mg_per_kg_dry: ArrayLike, dry_matter_fraction: ArrayLike = DRY_MATTER.value
) -> Floats:
    """Give what a weekly portion brings in.

    Parameters
    ----------
    fresh_g_per_week
        Fresh mushroom eaten in a week [g], 0 or more.
    mg_per_kg_dry
        Measured concentration [mg/kg dry mass], 0 or more.
    dry_matter_fraction
        Dry matter of the fresh mushroom, above 0 up to 1; one tenth by convention where not measured.

    Returns
    -------
    ndarray
        Intake [ug a week]: grams times milligrams a kilogram are micrograms.

    Raises
    ------
    ValueError
        When a number is out of its range.
    """
    eaten, measured, dry = (
        np.asarray(v, np.float64) for v in (fresh_g_per_week, mg_per_kg_dry, dry_matter_fraction)
    )
    if not (np.all(eaten >= 0.0) and np.all(measured >= 0.0) and np.all((dry > 0.0) & (dry <= 1.0))):
        raise ValueError("portions and concentrations are 0 or more, and dry matter lies between 0 and 1")
    return np.asarray(eaten * dry * measured)


def share_of_weekly_limit(
    intake_ug_per_week: ArrayLike, limit_ug_per_kg_week: ArrayLike, body_mass_kg: ArrayLike
) -> Floats:
    """Give the share of a tolerable weekly intake that an intake takes up, 1 being all of it.

    Parameters
    ----------
    intake_ug_per_week
        Intake [ug a week].
    limit_ug_per_kg_week
        Tolerable intake [ug a kilogram of body mass a week], above 0.
    body_mass_kg
        Body mass [kg], above 0.

    Raises
    ------
    ValueError
        When a limit or body mass is not above 0.
    """
    _require_above_zero(limit_ug_per_kg_week, body_mass_kg)
    allowed = np.asarray(limit_ug_per_kg_week, np.float64) * np.asarray(body_mass_kg, np.float64)
    return np.asarray(np.asarray(intake_ug_per_week, np.float64) / allowed)


def share_of_reference_dose(
    intake_ug_per_week: ArrayLike, dose_ug_per_kg_day: ArrayLike, body_mass_kg: ArrayLike
) -> Floats:
    """Give the share of a daily reference dose that a weekly intake takes up, 1 being all of it.

    For lead there is no such dose, and no share is to be made of it: see `margin_of_exposure`.

    Parameters
    ----------
    intake_ug_per_week
        Intake [ug a week].
    dose_ug_per_kg_day
        Reference dose [ug a kilogram of body mass a day], above 0.
    body_mass_kg
        Body mass [kg], above 0.

    Raises
    ------
    ValueError
        When a dose or body mass is not above 0.
    """
    a_week = DAYS_A_WEEK * np.asarray(dose_ug_per_kg_day, np.float64)
    return share_of_weekly_limit(intake_ug_per_week, a_week, body_mass_kg)


def margin_of_exposure(
    intake_ug_per_week: ArrayLike, bmdl_ug_per_kg_day: ArrayLike, body_mass_kg: ArrayLike
) -> Floats:
    """Give how many times a benchmark dose is above an intake; below 1 a harm cannot be excluded.

    Parameters
    ----------
    intake_ug_per_week
        Intake [ug a week]; none gives an infinite margin.
    bmdl_ug_per_kg_day
        Lower limit of the benchmark dose [ug a kilogram of body mass a day], above 0.
    body_mass_kg
        Body mass [kg], above 0.

    Raises
    ------
    ValueError
        When a benchmark dose or body mass is not above 0.
    """
    _require_above_zero(bmdl_ug_per_kg_day, body_mass_kg)
    a_day = np.asarray(intake_ug_per_week, np.float64) / DAYS_A_WEEK / np.asarray(body_mass_kg, np.float64)
    with np.errstate(divide="ignore", over="ignore"):
        return np.asarray(np.asarray(bmdl_ug_per_kg_day, np.float64) / a_day)


def largest_weekly_portion_g(
    limit_ug_per_kg_week: ArrayLike,
    body_mass_kg: ArrayLike,
    mg_per_kg_dry: ArrayLike,
    dry_matter_fraction: ArrayLike = DRY_MATTER.value,
) -> Floats:
    """Give the fresh portion a week that alone would take up the whole tolerable intake [g]."""
    _require_above_zero(limit_ug_per_kg_week, body_mass_kg)
    one_gram = weekly_intake_ug(1.0, mg_per_kg_dry, dry_matter_fraction)
    with np.errstate(divide="ignore", over="ignore"):
        return np.asarray(1.0 / share_of_weekly_limit(one_gram, limit_ug_per_kg_week, body_mass_kg))


def _require_above_zero(*values: ArrayLike) -> None:
    if not all(np.all(np.asarray(value, np.float64) > 0.0) for value in values):
        raise ValueError("a limit, a benchmark dose and a body mass are above 0")
