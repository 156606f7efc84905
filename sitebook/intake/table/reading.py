"""Reads a whole table: its kind, its columns, and line by line what is kept, left out or refused."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from sitebook.errors import BadArgument, FileNotRecognised, FileUnreadable
from sitebook.intake.cells import CellError
from sitebook.intake.instants import zone_named
from sitebook.intake.lines import Lines, read_lines
from sitebook.intake.recognise import is_export, kind_named
from sitebook.intake.table.drafts import drafts_of
from sitebook.intake.table.entry import Entry, read_entry
from sitebook.intake.table.header import kinds_by_header, match_header
from sitebook.intake.table.kinds import LAYOUTS, Layout
from sitebook.intake.table.values import Surroundings
from sitebook.records.incoming import Draft, Reading, SortedLine
from sitebook.records.kinds import kind_meant

ONLY_A_LIST = "a list of photos is for reading; photos come back from a backup, or by their own files"


def read_table(path: Path, *, zone: str = "UTC", kind: str | None = None) -> Reading:
    """Read a table of one kind of record, as a person keeps it in a spreadsheet.

    Parameters
    ----------
    path
        A text table with comma, semicolon or tab between its cells.
    zone
        IANA time zone of local dates and of hours that name none.
    kind
        What each line is; None to take it from the first line `# sitebook table: KIND`, else from
        the names of the columns.

    Returns
    -------
    Reading
        Each line with something in it gives drafts, or is left out, or is refused, and only one of
        the three; the drafts of one line carry its number.

    Raises
    ------
    FileNotRecognised
        When the names of the columns fit no kind, or several alike.
    FileUnreadable
        When a column that must be filled is missing, or the file is broken as a whole.
    FileMissing, FileTooLarge
        As `lines.read_lines`.
    BadArgument
        When there is no such zone or kind.
    """
    hours = zone_named(zone)
    lines = read_lines(path)
    if kind is None and kind_named(lines) == "photo":
        return Reading("list of photos", (), (SortedLine("left out", ONLY_A_LIST, how_many=len(lines.rows)),))
    layout = _layout_of(lines, path, kind)
    matched = match_header(layout, lines.header)
    missing = [
        c.header
        for c in layout.columns
        if c.required and c.header not in matched.names and c.unless not in matched.names
    ]
    if missing:
        raise FileUnreadable(
            f"a table of {layout.kind} lacks the column {missing[0]}",
            remedy=f"Add it; `sitebook template {layout.kind}` shows all columns.",
            where=str(path),
        )
    around = Surroundings(hours, lines.delimiter == ",", at_its_word=is_export(lines))
    sorting = _Sorting(layout, lines, matched.names, around)
    for line_number, cells in lines.rows:
        sorting.take(line_number, cells)
    notes = tuple(SortedLine("left out", note) for note in matched.notes)
    return Reading(
        f"table of {layout.kind}",
        tuple(sorting.drafts),
        (*notes, *lines.sorted_lines, *sorting.sorted_lines),
    )


def _layout_of(lines: Lines, path: Path, kind: str | None) -> Layout:
    known = ", ".join(LAYOUTS)
    if kind is not None:
        if kind_meant(kind) not in LAYOUTS:
            raise BadArgument(f"there is no table of {kind}", remedy=f"Kinds of table are: {known}.")
        return LAYOUTS[kind_meant(kind)]
    named = kind_meant(said) if (said := kind_named(lines)) is not None else None
    fitting = (named,) if named is not None else kinds_by_header(lines.header)
    if len(fitting) == 1 and fitting[0] in LAYOUTS:
        return LAYOUTS[fitting[0]]
    if named is not None:
        what = f"its first line calls it a table of {named}, which is not among the kinds of table"
    elif fitting:
        what = f"its columns fit several kinds of table: {', '.join(fitting)}"
    else:
        what = "its columns fit no kind of table"
    raise FileNotRecognised(
        what,
        remedy=f"Say which it is with --as KIND ({', '.join(fitting) if fitting and not named else known}).",
        where=str(path),
    )


@dataclass
class _Sorting:
    """The lines of one table on their way into the three sortings."""

    layout: Layout
    lines: Lines
    names: Mapping[str, str]
    around: Surroundings
    drafts: list[Draft] = field(default_factory=list)
    sorted_lines: list[SortedLine] = field(default_factory=list)
    seen: dict[str, list[Draft]] = field(default_factory=dict)

    def take(self, line_number: int, cells: Mapping[str, str]) -> None:
        """Sort one line into exactly one of kept, left out and refused."""
        ours = {header: cells[written] for header, written in self.names.items()}
        entry, problems = read_entry(self.layout, line_number, ours, self.around)
        if problems:
            self._refuse(line_number, "; ".join(problems))
        elif entry.text("occurrence_status") not in {None, "present"}:
            self._leave_out(line_number, "the fungus was absent; that is a line for a table of looks")
        else:
            self._keep(entry)

    def _keep(self, entry: Entry) -> None:
        try:
            drafts = drafts_of(self.layout, entry, self.around.zone, self.seen)
        except CellError as reason:
            self._refuse(entry.line_number, str(reason))
            return
        earlier = self.seen.get(drafts[0].identity)
        if earlier is None:
            self.seen[drafts[0].identity] = drafts
            self.drafts.extend(drafts)
        elif _alike(earlier, drafts):
            self._leave_out(entry.line_number, f"says the same as line {earlier[0].line_number}")
        else:
            key = " and ".join(h for h in self.layout.key if h in entry.values) or "uuid"
            self._refuse(
                entry.line_number,
                f"line {earlier[0].line_number} gives other values for the same {self.layout.kind} "
                f"(told apart by {key})",
            )

    def _refuse(self, line_number: int, reason: str) -> None:
        self.sorted_lines.append(self.lines.refuse(line_number, reason))

    def _leave_out(self, line_number: int, reason: str) -> None:
        self.sorted_lines.append(
            SortedLine("left out", reason, line_number, self.lines.texts.get(line_number))
        )


def _alike(earlier: list[Draft], later: list[Draft]) -> bool:
    return [(d.values, d.refers) for d in earlier] == [(d.values, d.refers) for d in later]
