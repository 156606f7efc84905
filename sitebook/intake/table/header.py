"""Matches the first line of a table with the columns of a kind."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable
from dataclasses import dataclass

from sitebook.intake.table.kinds import LAYOUTS, Layout


@dataclass(frozen=True)
class Matched:
    """How the names in a first line fit a kind.

    Parameters
    ----------
    names
        Header of ours to the name as it stands in the file.
    notes
        One sentence for each column that is left out.
    """

    names: dict[str, str]
    notes: tuple[str, ...]


def match_header(layout: Layout, header: Iterable[str]) -> Matched:
    """Find the column that each name of a first line means; case, blanks and underscores do not matter."""
    known = _spellings(layout)
    names: dict[str, str] = {}
    notes = []
    for written in header:
        ours = known.get(folded(written))
        if ours is None:
            notes.append(f"the column {written!r} is left out: {layout.kind} has none{_near(written, known)}")
        elif ours in names:
            notes.append(f"the column {written!r} is left out: {names[ours]!r} means the same")
        else:
            names[ours] = written
    return Matched(names, tuple(notes))


def kinds_by_header(header: Iterable[str]) -> tuple[str, ...]:
    """Give the kinds that a first line fits best: none, one, or several that it fits alike."""
    header = tuple(header)
    fitting = {}
    for layout in LAYOUTS.values():
        names = match_header(layout, header).names
        one_of = not layout.told_by_one_of or set(layout.told_by_one_of) & set(names)
        if set(layout.told_by) <= set(names) and one_of:
            fitting[layout.kind] = len(names)
    most = max(fitting.values(), default=0)
    return tuple(kind for kind, how_many in fitting.items() if how_many == most)


def folded(name: str) -> str:
    """Give a header in the form in which spellings are compared."""
    return re.sub(r"[\W_]+", "", name.casefold())


def _spellings(layout: Layout) -> dict[str, str]:
    known = {folded(other): ours for other, ours in layout.other_names.items()}
    for column in layout.columns:
        known |= {folded(column.header): column.header}
        if column.refers and column.record_field:
            known |= {folded(column.record_field): column.header}
    return known


def _near(written: str, known: dict[str, str]) -> str:
    near = difflib.get_close_matches(folded(written), known, n=1, cutoff=0.7)
    return f"; did you mean {known[near[0]]!r}?" if near else ""
