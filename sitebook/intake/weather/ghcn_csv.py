"""Reads GHCN-Daily as a table by station, one row a day, each element beside its flags."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from sitebook.errors import FileUnreadable
from sitebook.intake.cells import CellError, number, short_text
from sitebook.intake.lines import Lines, folded, read_text, table_from_text
from sitebook.intake.weather.days import Spot, day_of
from sitebook.intake.weather.ghcn import COLUMNS, MISSING, READ, TOTAL, TOTAL_DAYS, Elements, Value
from sitebook.intake.weather.stations import (
    Station,
    code_in_name,
    station_drafts,
    station_in_row,
    stations_in_comments,
)
from sitebook.quantities import degc_from_degf, mm_from_inch
from sitebook.records.incoming import Reading, SortedLine

Units = Literal["tenths", "metric", "us"]
"""Tenths of mm and °C, as the archive has it; or mm and °C, or inches and °F, as its order form offers."""

UNITS_COMMENT = re.compile(r"units\s*:\s*(tenths|metric|us)", re.IGNORECASE)
ABOUT_STATION = {"name": "name", "lon": "longitude", "lat": "latitude", "elevation_m": "elevation"}
NO_HEIGHT = frozenset({"-999.9", "-9999", "9999.9", "9999"})
ELEMENT_SIGNS = re.compile(r"[A-Z0-9]{4}")


@dataclass(frozen=True)
class _Table:
    """What holds for all rows.

    Parameters
    ----------
    names
        Column as written, by its folded name.
    units
        Units of the values.
    alone
        Station of rows that name none.
    """

    names: Mapping[str, str]
    units: Units
    alone: str

    def cell(self, cells: Mapping[str, str], name: str) -> str:
        """Give the cell of a column, empty where the table has none."""
        return cells.get(self.names.get(name, ""), "")


def read_ghcn_csv(path: Path) -> Reading:
    """Read a table of GHCN-Daily by station.

    The archive writes whole tenths, and flags in a column such as PRCP_ATTRIBUTES. A table without these
    columns, or with decimals, came from the order form, in units that it does not tell: a comment
    "# units: metric" or "# units: us" must.

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
        As `lines.read_lines`; FileUnreadable also when the units are not told.
    """
    text, notes = read_text(path)
    lines = table_from_text(text, where=str(path), notes=notes)
    in_comments, refused = stations_in_comments(lines.comments)
    names = {folded(name): name for name in lines.header}
    table = _Table(names, _units(lines, names, path), code_in_name(path))
    elements, in_rows = Elements(), dict[str, Station]()
    sorted_lines = [*lines.sorted_lines, *refused]
    for line_number, cells in lines.rows:
        try:
            sorted_lines += _take(line_number, cells, table, elements, in_rows)
        except CellError as reason:
            sorted_lines.append(lines.refuse(line_number, str(reason)))
    days = elements.drafts()
    codes = dict.fromkeys(day.refers["station_id"] for day in days)
    return Reading(
        "GHCN-Daily, table by station",
        (*station_drafts(in_comments, codes, in_rows), *days),
        (*sorted_lines, *elements.sorted_lines, *_unread(lines.header)),
    )


def _units(lines: Lines, names: Mapping[str, str], path: Path) -> Units:
    said = next((match[1] for _, text in lines.comments if (match := UNITS_COMMENT.fullmatch(text))), None)
    if said is not None:
        return {"tenths": "tenths", "metric": "metric", "us": "us"}[said.casefold()]  # type: ignore[return-value]
    there = [name for name in (*COLUMNS, TOTAL) if folded(name) in names]
    with_flags = all(f"{folded(name)}attributes" in names for name in there)
    decimals = any("." in cells[names[folded(name)]] for _, cells in lines.rows for name in there)
    if with_flags and not decimals:
        return "tenths"
    raise FileUnreadable(
        "the units of this weather table are not told: the archive writes whole tenths, this one does not",
        remedy="Put a line '# units: metric' (mm, °C) or '# units: us' (inches, °F) at its top.",
        where=str(path),
    )


def _take(
    line_number: int,
    cells: Mapping[str, str],
    table: _Table,
    elements: Elements,
    in_rows: dict[str, Station],
) -> list[SortedLine]:
    code = short_text(table.cell(cells, "station")) or table.alone
    spot = Spot(code, day_of(table.cell(cells, "date")), line_number)
    texts = {element: table.cell(cells, folded(element)) for element in sorted(READ)}
    measured = [
        _value(spot, element, text, table, cells)
        for element, text in texts.items()
        if text not in {"", str(MISSING)}
    ]
    for value in measured:
        elements.take(value)
    if code in in_rows:
        return []
    about = {ours: table.cell(cells, name) for ours, name in ABOUT_STATION.items()}
    if about["elevation_m"] in NO_HEIGHT:
        about["elevation_m"] = ""
    in_rows[code], why = station_in_row(about, line_number)
    return [SortedLine("left out", f"of the station {code}: {why}", line_number)] if why else []


def _value(spot: Spot, element: str, text: str, table: _Table, cells: Mapping[str, str]) -> Value:
    flags = [flag.strip() for flag in table.cell(cells, f"{folded(element)}attributes").split(",")]
    measurement_flag, quality_flag = (*flags, "", "")[:2]
    try:
        amount = number(text) or 0.0
    except CellError as reason:
        raise CellError(f"{element}: {reason}") from reason
    if element == TOTAL_DAYS:
        in_unit = amount
    elif table.units == "tenths":
        in_unit = amount / 10.0
    elif table.units == "metric":
        in_unit = amount
    elif element in {"TMAX", "TMIN"}:
        in_unit = round(degc_from_degf(amount), 2)
    else:
        in_unit = round(mm_from_inch(amount), 3)
    return Value(spot, element, in_unit, measurement_flag[:1], quality_flag[:1])


def _unread(header: Sequence[str]) -> tuple[SortedLine, ...]:
    unread = [
        name for name in header if ELEMENT_SIGNS.fullmatch(name) and name not in {*READ, "DATE", "NAME"}
    ]
    if not unread:
        return ()
    reason = f"elements that are not read: {', '.join(unread)}"
    return (SortedLine("left out", reason[:1000], how_many=len(unread)),)
