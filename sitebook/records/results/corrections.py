"""What changing, withdrawing, merging, undoing and their history answer."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True)
class ColumnChange:
    """One column that a correction set.

    Parameters
    ----------
    column
        The column, as in its table.
    old, new
        Its value before and after, in words.
    """

    column: str
    old: str
    new: str


@dataclass(frozen=True)
class Changed:
    """What a change did.

    Parameters
    ----------
    kind, called
        The record.
    columns
        Columns that were set.
    remarks
        What she should know, in words.
    """

    kind: str
    called: str
    columns: tuple[ColumnChange, ...]
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True)
class Withdrawn:
    """What a withdrawal did, or bringing a record back.

    Parameters
    ----------
    kind, called
        The record.
    back
        Whether it was brought back.
    with_it
        Records that go out of view with it, or come back into view, by table.
    remarks
        What she should know, in words.
    """

    kind: str
    called: str
    back: bool
    with_it: Mapping[str, int]
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True)
class Merged:
    """What a merge did.

    Parameters
    ----------
    kind, kept, other
        The two records.
    moved
        Records that refer to the kept one from now on, by table.
    doubles
        Links that the kept one had already, so that they stay with the other, by table.
    remarks
        What she should know, in words.
    """

    kind: str
    kept: str
    other: str
    moved: Mapping[str, int]
    doubles: Mapping[str, int]
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True)
class ConflictLine:
    """Two values for one column, in words.

    Parameters
    ----------
    conflict_id
        Key by which it is decided.
    kind, called, column
        Where they stand.
    base
        Value both started from.
    ours, theirs
        Value in the book; value that came in, or that an undo would have set.
    came_with
        File it came with, or the undo.
    decided
        Which stands; None while she has not decided.
    """

    conflict_id: int
    kind: str
    called: str
    column: str
    base: str
    ours: str
    theirs: str
    came_with: str
    decided: str | None


@dataclass(frozen=True)
class TakenBack:
    """One act or import that an undo took back, or brought again.

    Parameters
    ----------
    words
        What it was and when.
    withdrawn, set_back
        Records withdrawn and records set back, by table.
    kept
        Values that changed since and so were kept, in words; each is a conflict for her to decide.
    hidden
        Records of other origin that go out of view with those withdrawn, by table.
    """

    words: str
    withdrawn: Mapping[str, int] = field(default_factory=dict)
    set_back: Mapping[str, int] = field(default_factory=dict)
    kept: tuple[str, ...] = ()
    hidden: Mapping[str, int] = field(default_factory=dict)


@dataclass(frozen=True)
class Undone:
    """What an undo did.

    Parameters
    ----------
    acts
        What was taken back, newest first.
    back
        Whether earlier undos were taken back instead.
    dry_run
        Whether nothing was kept because only a trial was asked for.
    """

    acts: tuple[TakenBack, ...]
    back: bool
    dry_run: bool


@dataclass(frozen=True)
class HistoryLine:
    """One thing that happened to a record.

    Parameters
    ----------
    made_at
        When, UTC.
    words
        What, in words.
    """

    made_at: datetime.datetime
    words: str


@dataclass(frozen=True)
class History:
    """Everything that happened to a record, oldest first.

    Parameters
    ----------
    kind, called
        The record.
    lines
        What happened.
    """

    kind: str
    called: str
    lines: tuple[HistoryLine, ...]
