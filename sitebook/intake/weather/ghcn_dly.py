"""Reads GHCN-Daily in its fixed-width form, one line a station, month and element."""

from __future__ import annotations

import calendar
import re
from collections.abc import Iterator
from pathlib import Path

from sitebook.citations import Cited
from sitebook.intake.cells import CellError
from sitebook.intake.lines import LONGEST_TEXT_KEPT, lines_of, read_text
from sitebook.intake.weather.days import Spot, date_of
from sitebook.intake.weather.ghcn import MISSING, READ, TOTAL_DAYS, Elements, Value
from sitebook.intake.weather.stations import station_drafts, stations_in_comments
from sitebook.records.incoming import Reading, SortedLine

MOST_MIB = Cited(32.0, "MiB", "ours", "our choice")
"""Largest file that is read: the longest record of one station takes a fifth of it."""

HEAD = re.compile(r"([A-Z]{2}[A-Z0-9_-]{9})([0-9]{4})([0-9]{2})([A-Z0-9]{4})")
VALUE = re.compile(r" *(-?[0-9]+)")
HEAD_SIGNS, CELL_SIGNS, CELLS = 21, 8, 31
LINE_SIGNS = HEAD_SIGNS + CELL_SIGNS * CELLS


def read_ghcn_dly(path: Path) -> Reading:
    """Read a .dly file.

    Each of the 31 cells of a line holds five signs of value, then measurement, quality and source flag.
    Rain is in tenths of a millimetre, temperatures in tenths of a degree; -9999 is no value. Lines that
    begin with # may describe the station as those of a plain table do.

    Parameters
    ----------
    path
        The file.

    Returns
    -------
    Reading
        A draft of kind weather_station for each station, then its days.

    Raises
    ------
    FileUnreadable, FileTooLarge, FileMissing, FileNotRecognised
        As `lines.read_text` and `lines.lines_of`.

    References
    ----------
    GHCN-Daily readme, section III; Menne et al. 2012.
    """
    text, notes = read_text(path, MOST_MIB)
    elements = Elements()
    comments: list[tuple[int, str]] = []
    refused = []
    for line_number, line in enumerate(lines_of(text, str(path)), start=1):
        bare = line.rstrip()
        if bare.startswith("#"):
            comments.append((line_number, bare.lstrip("#").strip()))
        elif bare:
            try:
                _take_line(bare, line_number, elements)
            except CellError as reason:
                refused.append(SortedLine("refused", str(reason), line_number, bare[:LONGEST_TEXT_KEPT]))
    stations, faulty = stations_in_comments(comments)
    days = elements.drafts()
    codes = dict.fromkeys(day.refers["station_id"] for day in days)
    told = tuple(SortedLine("left out", note) for note in notes)
    return Reading(
        "GHCN-Daily, fixed width",
        (*station_drafts(stations, codes), *days),
        (*told, *refused, *faulty, *elements.sorted_lines),
    )


def _take_line(line: str, line_number: int, elements: Elements) -> None:
    head = HEAD.match(line)
    if head is None:
        raise CellError("the line does not begin with station, year, month and element")
    if len(line) > LINE_SIGNS:
        raise CellError(f"the line holds {len(line)} signs; a month takes {LINE_SIGNS}")
    code, year, month, element = head[1], int(head[2]), int(head[3]), head[4]
    date_of(year, month, 1)
    values = list(_values(line.ljust(LINE_SIGNS), calendar.monthrange(year, month)[1]))
    for day, amount, measurement_flag, quality_flag in values:
        if element in READ:
            spot = Spot(code, date_of(year, month, day), line_number)
            unit_share = 1.0 if element == TOTAL_DAYS else 10.0
            elements.take(Value(spot, element, amount / unit_share, measurement_flag, quality_flag))
        else:
            elements.pass_over(element, quality_flag)


def _values(line: str, days_in_month: int) -> Iterator[tuple[int, int, str, str]]:
    """Give day, value and the first two flags of each cell with a value."""
    for day in range(1, CELLS + 1):
        start = HEAD_SIGNS + CELL_SIGNS * (day - 1)
        cell = line[start : start + CELL_SIGNS]
        number = VALUE.fullmatch(cell[:5])
        if number is None:
            if cell.strip():
                raise CellError(f"the value of day {day} is no number: {cell[:5]!r}")
            continue
        if int(number[1]) == MISSING:
            continue
        if day > days_in_month:
            raise CellError(f"it has a value on day {day} of a month of {days_in_month} days")
        yield day, int(number[1]), cell[5].strip(), cell[6].strip()
