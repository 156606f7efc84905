"""Bundles what is told of a spraying, and says whether and when it happened."""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from typing import Literal, NamedTuple

import numpy as np

from sitebook.analysis.contamination.decay import WASHING_RAIN_MM
from sitebook.citations import Cited
from sitebook.records.lab_test import LabResult, LabTest
from sitebook.records.spraying import Spraying, SprayingActive
from sitebook.reference import reader

Happened = Literal["yes", "perhaps", "no"]
"""Whether a spraying took place, as far as it is told."""


@dataclass(frozen=True)
class Told:
    """A spraying with what was in it and what laboratories found.

    Parameters
    ----------
    spraying
        The spraying, or somebody's word that there was none.
    actives
        What was in it; empty where nobody said.
    tests
        Laboratory tests that were asked about it, each with its results.
    """

    spraying: Spraying
    actives: Sequence[SprayingActive] = ()
    tests: Sequence[tuple[LabTest, Sequence[LabResult]]] = ()

    @property
    def standing_actives(self) -> tuple[SprayingActive, ...]:
        """What was in it, without what was withdrawn."""
        return tuple(active for active in self.actives if active.withdrawn_at is None)


class Washings(NamedTuple):
    """How often rain washed the leaves since a spraying, at least and at most."""

    least: int
    most: int


@dataclass(frozen=True)
class RainSeen:
    """Rain by day.

    Parameters
    ----------
    rain_mm
        Local date to rain [mm]; the rain of a day that is missing, or not a number, is not known.
    """

    rain_mm: Mapping[datetime.date, float] = field(default_factory=dict)

    def washings(self, days: Days, today: datetime.date) -> Washings | None:
        """Count the days whose rain washed the leaves.

        A rain on a day on which it may have been sprayed came before or after it, and one of a day that is
        not known fell or did not: both may be either.

        Returns
        -------
        Washings or None
            None where the day of the spraying is not known.
        """
        if days.last is None:
            return None
        least = most = 0
        day = days.first or days.last
        while day <= today:
            rain_mm = self.rain_mm.get(day, np.nan)
            if not rain_mm <= WASHING_RAIN_MM.value:
                most += 1
                least += rain_mm > WASHING_RAIN_MM.value and day > days.last
            day += datetime.timedelta(days=1)
        return Washings(least, most)


class Days(NamedTuple):
    """First and last day on which it may have been; both None where no day is known."""

    first: datetime.date | None
    last: datetime.date | None


@cache
def model() -> dict[str, Cited]:
    """Give the numbers of the term of sprayings by name, as "reach"."""
    return reader.parameters("spray_model")


def days_of(spraying: Spraying) -> Days:
    """Give the days on which it may have been; the first is None where only the last is told."""
    first, last = spraying.applied_on, spraying.applied_on_end
    if first is None or last is None:
        return Days(first, last or first)
    return Days(min(first, last), max(first, last))


def happened(spraying: Spraying, today: datetime.date) -> Happened:
    """Say whether it took place: what is planned may have from its first day on, or if no day was told."""
    if spraying.state == "done":
        return "yes"
    if spraying.state != "planned":
        return "no"
    days = days_of(spraying)
    first = days.first or days.last
    return "perhaps" if first is None or first <= today else "no"
