"""Gives the health-based values that intakes are held against."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Literal, get_args

from sitebook.citations import Cited
from sitebook.reference.reader import cited, rows

HealthKind = Literal["weekly", "daily_dose", "benchmark"]
"""weekly: tolerable weekly intake; daily_dose: reference dose a day; benchmark: lower limit of a benchmark
dose a day, for what has no dose that is known to do nothing."""

EVERYBODY = "everybody"


@dataclass(frozen=True)
class HealthValue:
    """One health-based value.

    Parameters
    ----------
    name
        Its name in the table.
    analyte
        What it holds for, by its name in the table of analytes.
    kind
        What kind of value it is.
    limit
        The value [ug/kg body mass, a week or a day].
    effect
        Against which effect it was set.
    whose
        Who set it, and when.
    judges
        Whom it was set for: everybody, or the eaters it names.
    """

    name: str
    analyte: str
    kind: HealthKind
    limit: Cited
    effect: str
    whose: str
    judges: str

    def holds_for(self, eater: str) -> bool:
        """Tell whether it was set for an eater: adult, child or pregnancy."""
        return self.judges == EVERYBODY or eater in self.judges.split(" and ")


@cache
def health_values() -> tuple[HealthValue, ...]:
    """Give every health-based value, in the order of the table."""
    return tuple(_health_value(row) for row in rows("health_values"))


def health_values_of(*analytes: str) -> tuple[HealthValue, ...]:
    """Give the values of some analytes, by their names in the table of analytes."""
    return tuple(value for value in health_values() if value.analyte in analytes)


def _health_value(row: Mapping[str, str]) -> HealthValue:
    kind = next((kind for kind in get_args(HealthKind) if kind == row["kind"]), None)
    if kind is None:
        raise ValueError(f"table of health values: {row['name']} is of no known kind")
    return HealthValue(
        row["name"], row["analyte"], kind, cited(row), row["effect"], row["whose"], row["judges"]
    )
