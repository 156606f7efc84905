"""What was made to be carried along on a day out."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from sitebook.records.results.day_plan import DayPlan
from sitebook.records.results.entry_sheet import EntrySheet


@dataclass(frozen=True)
class FieldPack:
    """The three files of a day, and what they were drawn from.

    Parameters
    ----------
    page
        The page for the phone.
    tags
        Tags to cut; None where no numbers were set aside.
    paper
        Leaves to write on.
    plan
        The day.
    sheet
        What can be entered, and the numbers set aside.
    again
        Whether the numbers are those of an earlier pack for the same day.
    size_bytes
        Size of the page for the phone.
    changed
        What became of stops since the day was planned: closed, or only looked at; one sentence each.
    """

    page: Path
    tags: Path | None
    paper: Path
    plan: DayPlan
    sheet: EntrySheet
    again: bool
    size_bytes: int
    changed: tuple[str, ...] = ()

    @property
    def stops(self) -> tuple[str, ...]:
        """Names of the stops in their order."""
        return tuple(self.plan.places[key].spot.site_name for key in self.plan.plan.route.keys)
