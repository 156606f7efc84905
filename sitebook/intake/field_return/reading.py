"""Reads a file that an entry sheet saved, line by line, so that a torn end costs one line."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from sitebook.citations import Cited
from sitebook.errors import FileUnreadable
from sitebook.intake.cells import CellError
from sitebook.intake.field_return.cells import unread
from sitebook.intake.field_return.drafts import settle
from sitebook.intake.field_return.line import OPENS, WholeLine, whole_line
from sitebook.intake.files import read_bytes
from sitebook.intake.instants import zone_named
from sitebook.records.incoming import Draft, Reading, SortedLine

RECOGNISED_AS = "entry sheet"
LINE = "entry_line"
"""Table that keeps every whole line as it came."""

MOST_MIB = Cited(32.0, "MiB", "ours", "our choice")
LONGEST_TEXT_KEPT = 300


@dataclass
class Lines:
    """The lines of one file.

    Parameters
    ----------
    whole
        Lines whose checksum holds, in order, each once.
    sorted_lines
        The others, each with its reason.
    """

    whole: list[WholeLine] = field(default_factory=list)
    sorted_lines: list[SortedLine] = field(default_factory=list)


def read_field_return(path: Path, *, zone: str = "UTC") -> Reading:
    """Read a file that an entry sheet saved.

    Parameters
    ----------
    path
        JSON lines, one entry a line; docs/formats/entry_sheet.md says what each holds.
    zone
        IANA name of the zone of the book's dates.

    Returns
    -------
    Reading
        Each whole line as a draft of kind `entry_line`, then the rows that the last word of each entry
        stands for. A torn first or last line is left out; a line whose checksum does not fit, or that is of
        no known kind, is refused.

    Raises
    ------
    FileUnreadable
        When no line of the file is whole.
    FileTooLarge, FileMissing, FileNotRecognised
        As `files.read_bytes`.
    BadArgument
        When no zone is called so.
    """
    zone_named(zone)
    lines = read_lines(read_bytes(path, MOST_MIB))
    if not lines.whole:
        raise FileUnreadable(
            "no line of this sheet is whole", remedy="Save or copy it again.", where=str(path)
        )
    settled = settle(lines.whole, zone=zone)
    return Reading(
        RECOGNISED_AS,
        (*(line_draft(line) for line in lines.whole), *(draft for _, draft in settled.rows)),
        (*lines.sorted_lines, *(sorted_line for _, sorted_line in settled.sorted_lines)),
    )


def read_lines(raw: bytes) -> Lines:
    """Sort the lines of a file into whole ones and others."""
    lines, seen = Lines(), set[str]()
    pieces = list(_pieces(raw))
    for at, (line_number, text) in enumerate(pieces, start=1):
        try:
            line = whole_line(text, line_number)
        except CellError as reason:
            where = "begins within its first" if at == 1 and not text.startswith(OPENS) else ""
            where = where or (
                "breaks off in its last" if at == len(pieces) and not raw.endswith(b"\n") else ""
            )
            lines.sorted_lines.append(_broken(text, line_number, str(reason), where))
            continue
        if line.text not in seen:
            seen.add(line.text)
            lines.whole.append(line)
    lines.sorted_lines += [*_unread_members(lines.whole), *_missing(lines.whole)]
    return lines


def _pieces(raw: bytes) -> Iterator[tuple[int, str]]:
    """Give each line with its number; two that run together, for want of a line end, are parted again."""
    for line_number, part in enumerate(raw.removeprefix(b"\xef\xbb\xbf").split(b"\n"), start=1):
        front, *rest = part.decode("utf-8", errors="replace").split(OPENS)
        for text in (front, *(f"{OPENS}{piece}" for piece in rest)):
            if text.strip():
                yield line_number, text.strip()


def line_draft(line: WholeLine) -> Draft:
    """Give the row that keeps a line as it came."""
    values = {
        "sheet_uuid": line.sheet,
        "entry_uuid": line.uuid,
        "entry_kind": line.kind,
        "seq": line.seq,
        "line_sum": line.checksum,
        "line_text": line.text,
    }
    return Draft(LINE, f"{LINE}:{line.uuid}|{line.seq}|{line.checksum}", values, {}, line.line_number)


def _broken(text: str, line_number: int, reason: str, where: str) -> SortedLine:
    """Leave out a line that an end of the file cuts; refuse any other that is not whole."""
    if where:
        reason = f"the file {where} line ({reason}); save the sheet again if it is still open"
    return SortedLine("left out" if where else "refused", reason, line_number, text[:LONGEST_TEXT_KEPT])


def _unread_members(whole: Iterable[WholeLine]) -> Sequence[SortedLine]:
    names = sorted({name for line in whole for name in unread(line)})
    if not names:
        return ()
    return (SortedLine("left out", f"members that are not read: {', '.join(names)}"),)


def _missing(whole: Sequence[WholeLine]) -> Sequence[SortedLine]:
    """Say how many lines a file lacks of what its sheet had saved."""
    ends = [line for line in whole if line.kind == "end"]
    if not ends:
        return (SortedLine("left out", "the file lacks its end; what follows its last line did not come in"),)
    sorted_lines = []
    for pad in sorted({line.pad for line in ends}):
        should = max(
            count for line in ends if line.pad == pad if isinstance(count := line.says.get("lines"), int)
        )
        there = sum(line.pad == pad and line.kind != "end" for line in whole)
        if there < should:
            reason = f"the sheet saved {should} lines, {there} of them are here; bring in its other files too"
            sorted_lines.append(SortedLine("left out", reason))
    return sorted_lines
