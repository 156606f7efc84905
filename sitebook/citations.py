"""A cited value is a number together with its unit, its source and how well that source is known."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

Mark = Literal["confirmed", "secondary", "computed", "common practice", "our choice", "memory"]
"""How well a value is known.

confirmed: read in the source named; secondary: read where another work quotes the source;
computed: by arithmetic from confirmed values; common practice: used in the trade, no source;
our choice: set by this project; memory: not confirmed anywhere.
"""

MARKS: tuple[Mark, ...] = get_args(Mark)


@dataclass(frozen=True)
class Cited:
    """One number with its unit and where it comes from.

    Parameters
    ----------
    value
        The number, in `unit`.
    unit
        Unit as in `quantities`, or "1" for a pure number.
    source_key
        Key into docs/references.bib, or "ours" when `mark` is "our choice".
    mark
        How well the value is known.
    locator
        Table, equation, page or section in the source; empty when the source is one page.
    """

    value: float
    unit: str
    source_key: str
    mark: Mark
    locator: str = ""

    def __post_init__(self) -> None:
        if self.mark not in MARKS:
            raise ValueError(f"unknown mark {self.mark!r}")
        if (self.source_key == "ours") != (self.mark == "our choice"):
            raise ValueError("the source key 'ours' and the mark 'our choice' go together")

    @property
    def said(self) -> str:
        """The source in a few words, as pages print it."""
        if self.mark == "our choice":
            return "our choice"
        place = f", {self.locator}" if self.locator else ""
        return f"{self.source_key}{place} ({self.mark})"
