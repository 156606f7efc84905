"""Reads a plain CSV of daily weather, one row a station and day."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from sitebook.citations import Cited
from sitebook.errors import FileUnreadable
from sitebook.intake.cells import CellError, iso_date, number, yes_no
from sitebook.intake.instants import zone_named
from sitebook.intake.lines import Lines, folded, read_lines
from sitebook.intake.weather_station import only_code, station_drafts, stations_in_comments
from sitebook.records.incoming import Draft, Reading, SortedLine

if TYPE_CHECKING:
    import datetime
    from collections.abc import Mapping, Sequence

LOWEST_DEGC = Cited(-95.0, "°C", "ours", "our choice")
HIGHEST_DEGC = Cited(60.0, "°C", "ours", "our choice")
LEAST_RAIN_MM = Cited(0.0, "mm", "ours", "our choice")
MOST_RAIN_MM = Cited(2000.0, "mm", "ours", "our choice")
LEAST_DAYS = Cited(1.0, "d", "ours", "our choice")
MOST_DAYS = Cited(366.0, "d", "ours", "our choice")
FIRST_YEAR = Cited(1650.0, "1", "ours", "our choice")
LAST_YEAR = Cited(2200.0, "1", "ours", "our choice")
"""Bounds beyond which a day of weather is refused."""

MEASURED = ("temp_min_degc", "temp_max_degc", "rain_mm")
COLUMNS = {
    folded(name): name for name in ("station", "local_date", *MEASURED, "trace", "covers_days", "flags")
}
NOT_MEASURED = frozenset({"", "-", "--", "---", "na", "n/a", "nan", "null", "none"})
TRACE = frozenset({"t", "tr", "trace"})


@dataclass(frozen=True)
class _Day:
    """One row, every part of it possible; its fields are the columns of a weather day."""

    local_date: datetime.date
    temp_min_degc: float | None
    temp_max_degc: float | None
    rain_mm: float | None
    trace: bool
    covers_days: int
    flags: str | None

    @property
    def measured(self) -> bool:
        return any(value is not None for value in (self.temp_min_degc, self.temp_max_degc, self.rain_mm))


def read_weather(path: Path, *, zone: str = "UTC") -> Reading:
    """Read daily weather from a CSV.

    Columns are local_date, any of temp_min_degc, temp_max_degc and rain_mm, and as she likes station,
    trace, covers_days and flags. Rain may be "T" or "trace": 0 mm, and marked. Without a station column
    the days belong to the one station that the comments name, else to the file's name. Comments describe
    stations as `weather_station.stations_in_comments` says.

    Parameters
    ----------
    path
        The file.
    zone
        IANA name of the zone of its days, where its comments name none.

    Returns
    -------
    Reading
        A draft of kind weather_station for each station, then the days. A row with nothing measured is
        left out; an impossible value, or a date that a station has twice, is refused.

    Raises
    ------
    FileUnreadable
        When the table has no local_date or nothing measured, or as `lines.read_lines`.
    FileTooLarge, FileMissing, FileNotRecognised
        As `lines.read_lines`.
    BadArgument
        When no zone is called so.
    """
    zone_named(zone)
    lines = read_lines(path)
    names = {written: COLUMNS.get(folded(written), written) for written in lines.header}
    _require_columns(list(names.values()), path)
    stations, refused = stations_in_comments(lines)
    alone = only_code(stations) or path.stem
    days: dict[tuple[str, datetime.date], Draft] = {}
    sorted_lines = [*lines.sorted_lines, *refused, *_unread_columns(names)]
    for line_number, cells in lines.rows:
        named = {names[name]: cell for name, cell in cells.items()}
        sorted_line = _sort(line_number, named, named.get("station") or alone, days, lines)
        sorted_lines.extend(() if sorted_line is None else (sorted_line,))
    drafts = station_drafts(stations, dict.fromkeys(code for code, _ in days), zone)
    return Reading("daily weather", (*drafts, *days.values()), tuple(sorted_lines))


def _require_columns(names: Sequence[str], path: Path) -> None:
    twice = [name for name in COLUMNS.values() if names.count(name) > 1]
    if twice:
        raise FileUnreadable(
            f"the column {twice[0]} stands twice", remedy="Take one of the two away.", where=str(path)
        )
    if "local_date" not in names or not set(names) & set(MEASURED):
        raise FileUnreadable(
            "daily weather needs the column local_date and one of temp_min_degc, temp_max_degc and rain_mm",
            remedy="Name its columns as `sitebook template weather` does.",
            where=str(path),
        )


def _unread_columns(names: Mapping[str, str]) -> tuple[SortedLine, ...]:
    unread = [written for written, name in names.items() if name not in COLUMNS.values()]
    if not unread:
        return ()
    return (SortedLine("left out", f"columns that are not read: {', '.join(unread)}", how_many=len(unread)),)


def _sort(
    line_number: int,
    cells: Mapping[str, str],
    code: str,
    days: dict[tuple[str, datetime.date], Draft],
    lines: Lines,
) -> SortedLine | None:
    """Put one row among the days, or give the line that says why not."""
    try:
        day = _day(cells)
    except CellError as reason:
        return lines.refuse(line_number, str(reason))
    on = day.local_date
    if (before := days.get((code, on))) is not None:
        return lines.refuse(line_number, f"{code} has the day {on} already in line {before.line_number}")
    if not day.measured:
        return SortedLine("left out", "nothing was measured", line_number, lines.texts.get(line_number))
    identity = f"weather_day:{code}:{on.isoformat()}"
    days[code, on] = Draft("weather_day", identity, asdict(day), {"station_id": code}, line_number)
    return None


def _day(cells: Mapping[str, str]) -> _Day:
    on = iso_date(cells.get("local_date", ""))
    if on is None:
        raise CellError("the row has no local_date")
    if not FIRST_YEAR.value <= on.year <= LAST_YEAR.value:
        raise CellError(f"no weather was measured on {on}")
    low_degc, high_degc = (_within(cells, name, LOWEST_DEGC, HIGHEST_DEGC) for name in MEASURED[:2])
    if low_degc is not None and high_degc is not None and high_degc < low_degc:
        raise CellError(f"temp_max_degc {high_degc:g} lies below temp_min_degc {low_degc:g}")
    trace = cells.get("rain_mm", "").casefold() in TRACE
    rain_mm = 0.0 if trace else _within(cells, "rain_mm", LEAST_RAIN_MM, MOST_RAIN_MM)
    covers_days = _within(cells, "covers_days", LEAST_DAYS, MOST_DAYS)
    if covers_days is not None and covers_days != round(covers_days):
        raise CellError(f"covers_days {covers_days:g} is not a whole number of days")
    return _Day(
        local_date=on,
        temp_min_degc=low_degc,
        temp_max_degc=high_degc,
        rain_mm=rain_mm,
        trace=trace or bool(yes_no(cells.get("trace", ""))),
        covers_days=round(covers_days or 1.0),
        flags=cells.get("flags") or None,
    )


def _within(cells: Mapping[str, str], name: str, lowest: Cited, highest: Cited) -> float | None:
    """Read a number between two bounds, or None where nothing was measured."""
    text = cells.get(name, "")
    if text.casefold() in NOT_MEASURED:
        return None
    try:
        value = number(text)
    except CellError as reason:
        raise CellError(f"{name}: {reason}") from reason
    if value is not None and not lowest.value <= value <= highest.value:
        raise CellError(
            f"{name} {value:g} cannot be: it must be from {lowest.value:g} to {highest.value:g} "
            f"{lowest.unit}; leave the cell empty where nothing was measured"
        )
    return value
