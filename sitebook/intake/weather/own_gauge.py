"""Reads the readings of a rain gauge of her own, each telling what fell since the one before."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from sitebook.intake.cells import CellError, number, short_text
from sitebook.intake.lines import folded, read_text, table_from_text
from sitebook.intake.weather.days import MOST_DAYS, Days, Spot, day_of
from sitebook.intake.weather.formats import RAIN, READ_ON, STATION
from sitebook.intake.weather.plain import NOT_MEASURED, TRACE
from sitebook.intake.weather.stations import (
    Station,
    code_in_name,
    only_code,
    station_drafts,
    stations_in_comments,
)
from sitebook.quantities import mm_from_inch
from sitebook.records.incoming import Reading

GAUGE = STATION | {"gauge"}
READ = {"station": GAUGE, "read_on": READ_ON, "rain": frozenset(RAIN)}


def read_own_gauge(path: Path) -> Reading:
    """Read a list of readings: read_on, rain_mm, and gauge where there are several.

    A reading stands for the days since the reading before, so that what fell in a week away is never
    taken for one day. Rain left empty says that the gauge was emptied unread: the next reading counts
    from there. The first reading of a gauge tells nothing, for nobody knows since when it gathered.

    Parameters
    ----------
    path
        The file.

    Returns
    -------
    Reading
        A draft of kind weather_station, her own, for each gauge; then a day for each reading, its rain
        with the days it covers.

    Raises
    ------
    FileUnreadable, FileTooLarge, FileMissing, FileNotRecognised
        As `lines.read_lines`.
    """
    text, notes = read_text(path)
    lines = table_from_text(text, where=str(path), notes=notes)
    in_comments, refused = stations_in_comments(lines.comments)
    columns = {ours: [n for n in lines.header if folded(n) in names][:1] for ours, names in READ.items()}
    in_inches = folded((columns["rain"] or [""])[0]).endswith("inch")
    gauges = _Gauges(only_code(in_comments) or code_in_name(path), in_inches=in_inches)
    sorted_lines = [*lines.sorted_lines, *refused]
    for line_number, cells in lines.rows:
        named = {ours: cells[written[0]] for ours, written in columns.items() if written}
        try:
            gauges.take(line_number, named)
        except CellError as reason:
            sorted_lines.append(lines.refuse(line_number, str(reason)))
    days = gauges.days_of_all()
    codes = dict.fromkeys(gauges.readings)
    return Reading(
        "readings of a rain gauge",
        (*station_drafts(in_comments, codes, dict.fromkeys(codes, Station(own=True))), *days.drafts()),
        (*sorted_lines, *days.sorted_lines),
    )


@dataclass
class _Gauges:
    """All readings so far: rain and line, by gauge and day."""

    alone: str
    in_inches: bool
    readings: dict[str, dict[datetime.date, tuple[float | None, bool, int]]] = field(default_factory=dict)

    def take(self, line_number: int, cells: Mapping[str, str]) -> None:
        """Take one reading; a gauge that was read twice on a day raises CellError."""
        code = short_text(cells.get("station", "")) or self.alone
        on, text = day_of(cells.get("read_on", "")), cells.get("rain", "")
        trace = text.casefold() in TRACE
        rain = 0.0 if trace else None if text.casefold() in NOT_MEASURED else number(text)
        of_gauge = self.readings.setdefault(code, {})
        if on in of_gauge:
            raise CellError(f"{code} was read on {on} already, in line {of_gauge[on][2]}: add the two up")
        if rain is not None and self.in_inches:
            rain = round(mm_from_inch(rain), 3)
        of_gauge[on] = (rain, trace, line_number)

    def days_of_all(self) -> Days:
        """Give each reading the days since the one before."""
        days = Days()
        for code, of_gauge in self.readings.items():
            before: datetime.date | None = None
            for on, (rain_mm, trace, line_number) in sorted(of_gauge.items()):
                spot = Spot(code, on, line_number)
                _put(days, spot, rain_mm, before, trace=trace)
                before = on
        return days


def _put(days: Days, spot: Spot, rain_mm: float | None, before: datetime.date | None, *, trace: bool) -> None:
    if rain_mm is None:
        days.leave_out(spot, "the gauge was emptied and not read")
    elif before is None:
        days.leave_out(spot, f"{rain_mm:g} mm: the first reading, since when it gathered is not known")
    elif (spot.on - before).days > MOST_DAYS.value:
        days.leave_out(
            spot, f"{rain_mm:g} mm: the reading before lies more than {MOST_DAYS.value:g} days back"
        )
    else:
        days.put(spot, "rain_mm", rain_mm, covers_days=(spot.on - before).days, trace=trace)
