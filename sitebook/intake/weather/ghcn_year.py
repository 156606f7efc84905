"""Reads GHCN-Daily as a long list, one line a station, day and element, with or without a header."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

from sitebook.errors import FileUnreadable
from sitebook.intake.cells import CellError, short_text
from sitebook.intake.lines import Lines, folded, read_text, table_from_text
from sitebook.intake.weather.days import Spot, day_of
from sitebook.intake.weather.formats import DAY, ELEMENT, STATION, VALUE, format_of_line
from sitebook.intake.weather.ghcn import MISSING, READ, TOTAL_DAYS, Elements, Value
from sitebook.intake.weather.stations import (
    code_in_name,
    only_code,
    station_drafts,
    stations_in_comments,
)
from sitebook.records.incoming import Reading

COLUMNS = ("station", "day", "element", "value", "measurement_flag", "quality_flag", "source_flag", "hour")
"""Columns in the order of the list as it is published without a header."""

NAMES = {
    "station": STATION,
    "day": DAY,
    "element": ELEMENT,
    "value": VALUE,
    "measurement_flag": frozenset({"mflag", "measurementflag", "a"}),
    "quality_flag": frozenset({"qflag", "qualityflag", "b"}),
    "source_flag": frozenset({"sflag", "sourceflag", "c"}),
    "hour": frozenset({"obstime", "observationtime", "d"}),
}
"""Names the columns bear in lists with a header, folded."""

WHOLE = re.compile(r"[+-]?[0-9]{1,6}")
ELEMENT_SIGNS = re.compile(r"[A-Z0-9]{4}")


def read_ghcn_year(path: Path, first_line: str) -> Reading:
    """Read a long list of GHCN-Daily values.

    A list without a station column belongs to the station that its comments name, else to the one its
    file's name begins with.

    Parameters
    ----------
    path
        The file.
    first_line
        Its first line that says something, by which a list without a header is known.

    Returns
    -------
    Reading
        A draft of kind weather_station for each station, then its days.

    Raises
    ------
    FileUnreadable, FileTooLarge, FileMissing, FileNotRecognised
        As `lines.read_lines`; FileUnreadable also when it lacks the day, the element or the value.
    """
    text, notes = read_text(path)
    bare = format_of_line(first_line) == "ghcn_year"
    lines = table_from_text(text, where=str(path), notes=notes, names=COLUMNS if bare else ())
    stations, refused = stations_in_comments(lines.comments)
    columns = {name: name for name in COLUMNS} if bare else _matched(lines, path)
    alone = only_code(stations) or code_in_name(path)
    elements = Elements()
    sorted_lines = [*lines.sorted_lines, *refused]
    for line_number, cells in lines.rows:
        try:
            _take(line_number, {ours: cells[written] for ours, written in columns.items()}, alone, elements)
        except CellError as reason:
            sorted_lines.append(lines.refuse(line_number, str(reason)))
    days = elements.drafts()
    codes = dict.fromkeys(day.refers["station_id"] for day in days)
    return Reading(
        "GHCN-Daily, long list",
        (*station_drafts(stations, codes), *days),
        (*sorted_lines, *elements.sorted_lines),
    )


def _matched(lines: Lines, path: Path) -> dict[str, str]:
    written = {folded(name): name for name in lines.header}
    columns = {
        ours: next(written[name] for name in sorted(names) if name in written)
        for ours, names in NAMES.items()
        if names & set(written)
    }
    missing = [name for name in ("day", "element", "value") if name not in columns]
    if missing:
        raise FileUnreadable(
            f"the list of weather values lacks the column of the {missing[0]}",
            remedy="Name its columns ID, DATE, ELEMENT, DATA_VALUE, M_FLAG, Q_FLAG.",
            where=str(path),
        )
    return columns


def _take(line_number: int, cells: Mapping[str, str], alone: str, elements: Elements) -> None:
    element = cells["element"].upper()
    if not ELEMENT_SIGNS.fullmatch(element):
        raise CellError(f"{cells['element']!r} is no element, as PRCP is one")
    quality_flag = cells.get("quality_flag", "")
    if cells["value"] in {"", str(MISSING)}:
        return
    if element not in READ:
        elements.pass_over(element, quality_flag)
        return
    if not WHOLE.fullmatch(cells["value"]):
        raise CellError(f"{element} {cells['value']!r} is not a whole number of tenths")
    spot = Spot(short_text(cells.get("station", "")) or alone, day_of(cells["day"]), line_number)
    amount = int(cells["value"]) / (1.0 if element == TOTAL_DAYS else 10.0)
    elements.take(Value(spot, element, amount, cells.get("measurement_flag", "")[:1], quality_flag[:1]))
