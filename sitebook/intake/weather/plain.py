"""Reads a plain CSV of daily weather, one row a station and day."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from sitebook.errors import FileUnreadable
from sitebook.intake.cells import CellError, number, short_text, yes_no
from sitebook.intake.lines import Lines, folded, read_text, table_from_text
from sitebook.intake.weather.days import day_of, identity_of, require_possible
from sitebook.intake.weather.formats import DAY, RAIN, STATION, TEMP_MAX, TEMP_MIN
from sitebook.intake.weather.stations import (
    code_in_name,
    only_code,
    station_drafts,
    stations_in_comments,
)
from sitebook.quantities import degc_from_degf, mm_from_inch
from sitebook.records.incoming import Draft, Reading, SortedLine

MEASURED = ("temp_min_degc", "temp_max_degc", "rain_mm")
OTHER_NAMES: dict[str, tuple[str, ...]] = {
    "station": ("station", *sorted(STATION - {"station"})),
    "local_date": ("localdate", *sorted(DAY - {"localdate"})),
    "temp_min_degc": TEMP_MIN,
    "temp_max_degc": TEMP_MAX,
    "rain_mm": RAIN,
    "trace": ("trace",),
    "covers_days": ("coversdays",),
    "flags": ("flags",),
}
"""Names, folded, that each column may bear; the first that a table has is read."""

IN_OTHER_UNITS: dict[str, tuple[Callable[[float], float], int]] = {
    "inch": (mm_from_inch, 3),
    "degf": (degc_from_degf, 2),
}
"""Ending of a column's name to what makes °C or mm of it, and the digits kept."""

UNIT_TOLD = ("mm", "degc", "inch", "degf")
NOT_MEASURED = frozenset({"", "-", "--", "---", "na", "n/a", "nan", "null", "none"})
TRACE = frozenset({"t", "tr", "trace"})


@dataclass(frozen=True)
class _Columns:
    """Column of ours to the name as written; only those that the table has."""

    written: Mapping[str, str]

    def of(self, cells: Mapping[str, str]) -> dict[str, str]:
        """Give the cells of a row by column of ours."""
        return {ours: cells[name] for ours, name in self.written.items()}

    def in_our_unit(self, column: str, value: float) -> float:
        """Turn a value as written into °C or mm."""
        ending = next((e for e in IN_OTHER_UNITS if folded(self.written[column]).endswith(e)), None)
        if ending is None:
            return value
        turn, digits = IN_OTHER_UNITS[ending]
        return round(turn(value), digits)


def read_plain(path: Path) -> Reading:
    """Read daily weather from a plain CSV.

    Columns are local_date, any of temp_min_degc, temp_max_degc and rain_mm, and as she likes station,
    trace, covers_days and flags; other names of these are understood, see `OTHER_NAMES`, and °F and
    inches where the name ends so. Rain may be "T" or "trace": 0 mm, and marked. Without a station column
    the days belong to the one station that the comments name, else to the file's name. Comments describe
    stations as `stations.stations_in_comments` says.

    Parameters
    ----------
    path
        The file.

    Returns
    -------
    Reading
        A draft of kind weather_station for each station, then the days. A row with nothing measured is
        left out; an impossible value, or a date that a station has twice, is refused.

    Raises
    ------
    FileUnreadable
        When the table has no date or nothing measured, or as `lines.read_lines`.
    FileTooLarge, FileMissing, FileNotRecognised
        As `lines.read_lines`.
    """
    text, notes = read_text(path)
    lines = table_from_text(text, where=str(path), notes=notes)
    columns = _Columns(_matched(lines.header, path))
    stations, refused = stations_in_comments(lines.comments)
    alone = only_code(stations) or code_in_name(path)
    sorting = _Sorting(columns, alone)
    for line_number, cells in lines.rows:
        sorting.take(line_number, cells, lines)
    drafts = station_drafts(stations, dict.fromkeys(code for code, _ in sorting.days))
    return Reading(
        "daily weather",
        (*drafts, *sorting.days.values()),
        (*lines.sorted_lines, *refused, *_notes_on_columns(lines.header, columns), *sorting.sorted_lines),
    )


def _matched(header: tuple[str, ...], path: Path) -> dict[str, str]:
    written: dict[str, str] = {}
    for name in header:
        if (twin := written.setdefault(folded(name), name)) != name and _ours(folded(name)):
            raise FileUnreadable(
                f"the column {_ours(folded(name))} stands twice, as {twin!r} and {name!r}",
                remedy="Take one of the two away.",
                where=str(path),
            )
    columns = {
        ours: written[next(name for name in names if name in written)]
        for ours, names in OTHER_NAMES.items()
        if set(names) & set(written)
    }
    if "local_date" not in columns or not set(columns) & set(MEASURED):
        raise FileUnreadable(
            "daily weather needs the column local_date and one of temp_min_degc, temp_max_degc and rain_mm",
            remedy="Name its columns as `sitebook template weather` does.",
            where=str(path),
        )
    return columns


def _ours(name: str) -> str | None:
    return next((ours for ours, names in OTHER_NAMES.items() if name in names), None)


def _notes_on_columns(header: tuple[str, ...], columns: _Columns) -> list[SortedLine]:
    notes = []
    unread = [name for name in header if name not in columns.written.values()]
    if unread:
        what = f"columns that are not read: {', '.join(unread)}"
        notes.append(SortedLine("left out", what[:1000], how_many=len(unread)))
    bare = [
        written
        for ours, written in columns.written.items()
        if ours in MEASURED and not folded(written).endswith(UNIT_TOLD)
    ]
    if bare:
        what = f"no unit is told for {', '.join(bare)}: taken as °C and mm, which she should look at"
        notes.append(SortedLine("left out", what))
    return notes


@dataclass
class _Sorting:
    """The rows of one table on their way into days."""

    columns: _Columns
    alone: str
    days: dict[tuple[str, datetime.date], Draft] = field(default_factory=dict)
    sorted_lines: list[SortedLine] = field(default_factory=list)

    def take(self, line_number: int, cells: Mapping[str, str], lines: Lines) -> None:
        """Put one row among the days, or among the lines that became none."""
        named, whose = self.columns.of(cells), ""
        try:
            code = short_text(named.get("station", "")) or self.alone
            on = day_of(named["local_date"])
            whose = f"{code} {on}: "
            values = _values(named, self.columns)
        except CellError as reason:
            self.sorted_lines.append(lines.refuse(line_number, f"{whose}{reason}"))
            return
        if (before := self.days.get((code, on))) is not None:
            why = f"{code} has the day {on} already in line {before.line_number}"
            self.sorted_lines.append(lines.refuse(line_number, why))
        elif not set(values) & set(MEASURED):
            text = lines.texts.get(line_number)
            self.sorted_lines.append(
                SortedLine("left out", f"{whose}nothing was measured", line_number, text)
            )
        else:
            whole = {"local_date": on, **values}
            identity, refers = identity_of(code, on), {"station_id": code}
            self.days[code, on] = Draft("weather_day", identity, whole, refers, line_number)


def _values(cells: Mapping[str, str], columns: _Columns) -> dict[str, object]:
    """Give what a row says of its day; what it does not say is left away."""
    trace = cells.get("rain_mm", "").casefold() in TRACE
    found = {name: _measured(cells, name, columns) for name in MEASURED[:2]}
    found["rain_mm"] = 0.0 if trace else _measured(cells, "rain_mm", columns)
    low_degc, high_degc = found["temp_min_degc"], found["temp_max_degc"]
    if low_degc is not None and high_degc is not None and high_degc < low_degc:
        raise CellError(f"temp_max_degc {high_degc:g} lies below temp_min_degc {low_degc:g}")
    values: dict[str, object] = {name: value for name, value in found.items() if value is not None}
    if trace or yes_no(cells.get("trace", "")):
        values["trace"] = True
    covers_days = _measured(cells, "covers_days", columns)
    if covers_days is not None:
        if covers_days != round(covers_days):
            raise CellError(f"covers_days {covers_days:g} is not a whole number of days")
        values["covers_days"] = round(covers_days)
    if flags := short_text(cells.get("flags", "")):
        values["flags"] = flags
    return values


def _measured(cells: Mapping[str, str], name: str, columns: _Columns) -> float | None:
    """Read a number that can be, or None where nothing was measured."""
    text = cells.get(name, "")
    if text.casefold() in NOT_MEASURED:
        return None
    try:
        value = number(text)
    except CellError as reason:
        raise CellError(f"{name}: {reason}") from reason
    if value is None:
        return None
    in_our_unit = columns.in_our_unit(name, value)
    require_possible(name, in_our_unit, hint="; leave the cell empty where nothing was measured")
    return in_our_unit
