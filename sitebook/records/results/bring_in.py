"""What bringing files into the book answers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from sitebook.records.incoming import SortedLine


@dataclass(frozen=True)
class FileReport:
    """What became of one file.

    Parameters
    ----------
    file_name
        Name without its folder.
    recognised_as
        Kind of file it was read as.
    seen_before
        Whether the very same bytes were brought in before; then nothing was done.
    added
        Rows that are new in the book, by table.
    changed
        Rows that a newer extract set anew, by table.
    already
        Rows the book held before.
    sorted_lines
        Lines left out or refused.
    """

    file_name: str
    recognised_as: str
    seen_before: bool
    added: Mapping[str, int] = field(default_factory=dict)
    changed: Mapping[str, int] = field(default_factory=dict)
    already: int = 0
    sorted_lines: tuple[SortedLine, ...] = ()


@dataclass(frozen=True)
class BringInReport:
    """What became of all files of one command.

    Parameters
    ----------
    files
        One report a file, by name.
    made
        Rows made beside those read, by table: a visit for a lone find or a track, a name new to the book.
    remarks
        What she should know, in words.
    dry_run
        Whether nothing was kept because only a trial was asked for.
    """

    files: tuple[FileReport, ...]
    made: Mapping[str, int]
    remarks: tuple[str, ...]
    dry_run: bool
