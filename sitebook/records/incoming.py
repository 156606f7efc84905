"""What a reader hands on: rows as they were read, and lines that did not become rows."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

Sorting = Literal["left out", "refused"]
"""left out: well-formed but out of scope, or flagged by its own source; refused: impossible or unreadable."""


@dataclass(frozen=True)
class SortedLine:
    """A line, or a group of like lines, that did not become a row.

    Parameters
    ----------
    sorting
        Left out (the file still comes in) or refused (nothing of the file comes in unless told so).
    reason
        Why, in words a person can act on.
    line_number
        Line in the file, from 1; None where the file has no lines or many are grouped.
    line_text
        The line as it stood; None where the file has no lines.
    how_many
        How many lines of this reason are grouped here.
    """

    sorting: Sorting
    reason: str
    line_number: int | None = None
    line_text: str | None = None
    how_many: int = 1


@dataclass(frozen=True)
class Draft:
    """One row as read; what it refers to is still a name.

    Parameters
    ----------
    kind
        Table it belongs to, a key of `records.kinds.KINDS`.
    identity
        What the source calls it, the same each time the source is read: the row's UUID is made of it.
    values
        Columns of the kind with their final Python values; standing columns are left out.
    refers
        Column to the name of the record it refers to, as a person would write it: a site's name, a
        tree's tag, a person's initials, a scientific name, a station's code, a draft's `identity`. Under
        "geom" stands the site whose whole ground is meant.
    line_number
        Line in the file, from 1; None where the file has no lines.
    remarks
        What was taken for granted, or is not known of it, each in a sentence.
    """

    kind: str
    identity: str
    values: Mapping[str, object]
    refers: Mapping[str, str] = field(default_factory=dict)
    line_number: int | None = None
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True)
class Reading:
    """All that one file gave.

    Parameters
    ----------
    recognised_as
        Kind of file in a few words, as "GPX 1.1" or "table of visits".
    drafts
        Rows in the order of the file.
    sorted_lines
        Lines that became no row.
    """

    recognised_as: str
    drafts: tuple[Draft, ...] = ()
    sorted_lines: tuple[SortedLine, ...] = ()

    @property
    def refused(self) -> tuple[SortedLine, ...]:
        """The lines that make the whole file stay out unless the rest is accepted."""
        return tuple(line for line in self.sorted_lines if line.sorting == "refused")
