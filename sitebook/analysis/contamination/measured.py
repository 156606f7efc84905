"""Turns a laboratory's number from unit to unit and from fresh to dry mass."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from sitebook.analysis.contamination.exposure import DRY_MATTER
from sitebook.citations import Cited
from sitebook.records.lab_test import LabResult, LabTest
from sitebook.reference.analytes import Analyte, analyte

MG_A_UNIT = {"mg/kg": 1.0, "ug/kg": 1e-3, "ng/kg": 1e-6}
"""Milligrams a kilogram in each unit of mass; activity has none."""

DRY_MATTER_SEEN_LOW = Cited(0.069, "1", "mironczuk2013", "computed", "table 1, Russula vinosa")
DRY_MATTER_SEEN_HIGH = Cited(0.1442, "1", "mironczuk2013", "computed", "table 1, Macrolepiota procera")


@dataclass(frozen=True)
class DryMatter:
    """The dry matter of a sample.

    Parameters
    ----------
    fraction
        Dry matter, above 0 up to 1.
    said
        Where it comes from, in words.
    convention
        Whether it is the usual one and nobody measured it.
    """

    fraction: float
    said: str
    convention: bool = False


@dataclass(frozen=True)
class Amount:
    """A result in milligrams a kilogram, as far as it can be told.

    Parameters
    ----------
    mg_per_kg
        The value, or the detection limit where it was below [mg/kg].
    basis
        fresh or dry.
    at_most
        Whether it was below its detection limit, so that there is at most so much.
    """

    mg_per_kg: float
    basis: str
    at_most: bool


def mg_per_kg(value: float, unit: str) -> float | None:
    """Give a value in mg/kg; None for an activity, which has no mass."""
    return value * MG_A_UNIT[unit] if unit in MG_A_UNIT else None


def detection_limit_of(result: LabResult) -> float | None:
    """Give the detection limit of a result that was below it, in the unit of the result.

    A value of 0 is no measurement: it is a result below a limit that the report does not give. Where two
    limits stand in the record, the higher one holds.
    """
    given = max(result.value, result.detection_limit or 0.0)
    return given if given > 0.0 else None


def below_limit(result: LabResult) -> bool:
    """Tell whether a result was below its detection limit; a value of 0 always is."""
    return result.below_limit or result.value == 0.0


def amount_of(result: LabResult) -> Amount | None:
    """Give a result in mg/kg; None for an activity, or below a limit that is not given."""
    below = below_limit(result)
    number = detection_limit_of(result) if below else result.value
    found = mg_per_kg(number, result.unit) if number is not None else None
    return Amount(found, result.basis, below) if found is not None else None


def on_basis(amount: Amount, basis: str, dry: DryMatter | None) -> float | None:
    """Give an amount on fresh or dry mass; None where the dry matter is needed and not known.

    Parameters
    ----------
    amount
        The amount.
    basis
        The basis wanted, fresh or dry.
    dry
        Dry matter of the sample.
    """
    if amount.basis == basis:
        return amount.mg_per_kg
    if dry is None:
        return None
    return amount.mg_per_kg * dry.fraction if basis == "fresh" else amount.mg_per_kg / dry.fraction


def dry_matter_of(test: LabTest, results: Sequence[LabResult]) -> DryMatter | None:
    """Give the dry matter of a sample: measured, from one analyte on both bases, or by convention.

    The convention of one tenth is for mushrooms alone; of other material without a measured dry matter it
    is None.
    """
    measured = test.dry_matter_fraction
    if measured is not None and 0.0 < measured <= 1.0:
        return DryMatter(measured, f"dry matter {100 * measured:.3g} %, as the report gives it")
    found = _from_both_bases(results)
    if found is not None:
        return found
    if test.material != "mushroom":
        return None
    usual = DRY_MATTER.value
    return DryMatter(usual, f"dry matter {100 * usual:g} % by convention, not measured", convention=True)


def _from_both_bases(results: Sequence[LabResult]) -> DryMatter | None:
    """Read the dry matter out of the first analyte that stands in the report on fresh and on dry mass."""
    of_basis: dict[str, dict[str, float]] = {"fresh": {}, "dry": {}}
    for result in results:
        amount = amount_of(result)
        if amount is not None and not amount.at_most:
            of_basis[amount.basis].setdefault(name_of(result), amount.mg_per_kg)
    for name, fresh in of_basis["fresh"].items():
        fraction = fresh / of_basis["dry"].get(name, math.inf)
        if 0.0 < fraction <= 1.0:
            return DryMatter(fraction, f"dry matter {100 * fraction:.3g} %, from {name} on both bases")
    return None


def known(result: LabResult) -> Analyte | None:
    """Give the analyte of a result; None where the table does not hold it."""
    return analyte(result.analyte)


def name_of(result: LabResult) -> str:
    """Give the name of what was measured, by the table where it is there, else as written."""
    found = known(result)
    return found.name if found is not None else result.analyte
