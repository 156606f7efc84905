"""Reads the Global Surface Summary of the Day, one row a station and day, in °F and inches."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from pathlib import Path

from sitebook.intake.cells import CellError, number, short_text
from sitebook.intake.lines import folded, read_text, table_from_text
from sitebook.intake.weather.days import Days, Spot, day_of
from sitebook.intake.weather.ghcn_csv import ABOUT_STATION, NO_HEIGHT
from sitebook.intake.weather.stations import (
    Station,
    code_in_name,
    station_drafts,
    station_in_row,
    stations_in_comments,
)
from sitebook.quantities import degc_from_degf, mm_from_inch
from sitebook.records.incoming import Reading, SortedLine

TEMPERATURES = {"max": "temp_max_degc", "min": "temp_min_degc"}
NO_TEMPERATURE = 9999.9
NO_RAIN = 99.99
FROM_HOURS = "*"
"""Flag of a highest or lowest temperature that is only the extreme of the reports of that day."""

ZONE = "UTC"
"""The days of this source are days of universal time."""

INCOMPLETE, NOTHING_REPORTED = "H", "I"
PARTS_OF_DAY = frozenset("ABCE")
"""Flags of a rain that was reported for 6, 12, 18 or 12 hours of the day."""

UNHEARD = (
    "days on which the station reported no rain and no dry day either (flag I); the 0 written there is none"
)


def read_gsod(path: Path) -> Reading:
    """Read a table of the Global Surface Summary of the Day.

    Missing are 9999.9 °F and 99.99 inches. The flag beside the rain says what it rests on: D, F and G are
    reports for the whole day, A, B, C and E for a part of it; these are kept with their flag. H, a nought
    beside reports of rain, is left out and listed; I, nothing reported, is no value.

    Parameters
    ----------
    path
        The file.

    Returns
    -------
    Reading
        A draft of kind weather_station for each station, then its days, of zone UTC.

    Raises
    ------
    FileUnreadable, FileTooLarge, FileMissing, FileNotRecognised
        As `lines.read_lines`.

    References
    ----------
    GSOD readme, field descriptions.
    """
    text, notes = read_text(path)
    lines = table_from_text(text, where=str(path), notes=notes)
    in_comments, refused = stations_in_comments(lines.comments)
    names = {folded(name): name for name in lines.header}
    sorting = _Sorting(code_in_name(path))
    sorted_lines = [*lines.sorted_lines, *refused]
    for line_number, cells in lines.rows:
        try:
            sorted_lines += sorting.take(
                line_number, {name: cells[written] for name, written in names.items()}
            )
        except CellError as reason:
            sorted_lines.append(lines.refuse(line_number, str(reason)))
    days = sorting.days.drafts()
    codes = dict.fromkeys(day.refers["station_id"] for day in days)
    return Reading(
        "Global Surface Summary of the Day",
        (*station_drafts(in_comments, codes, sorting.in_rows), *days),
        (*sorted_lines, *sorting.sorted_lines),
    )


class _Sorting:
    """The rows of one table on their way into days."""

    def __init__(self, alone: str) -> None:
        self.alone = alone
        self.days = Days()
        self.in_rows: dict[str, Station] = {}
        self.unheard: Counter[str] = Counter()

    def take(self, line_number: int, cells: Mapping[str, str]) -> Iterator[SortedLine]:
        """Put one row into its day; gives what of its station was not kept."""
        code = short_text(cells.get("station", "")) or self.alone
        spot = Spot(code, day_of(cells.get("date", "")), line_number)
        numbers = {name: _number(name, cells) for name in (*TEMPERATURES, "prcp")}
        for name, column in TEMPERATURES.items():
            self._take_temperature(spot, name, column, numbers[name], cells)
        self._take_rain(spot, numbers["prcp"], cells.get("prcpattributes", "")[:1].upper())
        if code in self.in_rows:
            return iter(())
        about = {ours: cells.get(name, "") for ours, name in ABOUT_STATION.items()}
        if about["elevation_m"] in NO_HEIGHT:
            about["elevation_m"] = ""
        station, why = station_in_row(about, line_number)
        self.in_rows[code] = _in_utc(station)
        return iter((SortedLine("left out", f"of the station {code}: {why}", line_number),) if why else ())

    def _take_temperature(
        self, spot: Spot, name: str, column: str, temp_degf: float | None, cells: Mapping[str, str]
    ) -> None:
        if temp_degf is None or temp_degf == NO_TEMPERATURE:
            return
        kept = self.days.put(spot, column, round(degc_from_degf(temp_degf), 2), called=name.upper())
        if kept and cells.get(f"{name}attributes", "") == FROM_HOURS:
            self.days.note(spot, f"{name.upper()} {FROM_HOURS}")

    def _take_rain(self, spot: Spot, rain_inch: float | None, flag: str) -> None:
        if rain_inch is None or rain_inch == NO_RAIN:
            return
        if flag == NOTHING_REPORTED:
            self.unheard[spot.code] += 1
            return
        rain_mm = round(mm_from_inch(rain_inch), 3)
        if flag == INCOMPLETE:
            self.days.leave_out(
                spot, f"PRCP {rain_mm:g} mm has the flag H: hourly reports of that day tell of rain"
            )
            return
        if self.days.put(spot, "rain_mm", rain_mm, called="PRCP") and flag:
            self.days.note(spot, f"PRCP {flag}")

    @property
    def sorted_lines(self) -> tuple[SortedLine, ...]:
        """Values left out or refused, then the days of which nothing was heard."""
        unheard = (
            SortedLine("left out", f"{code}: {UNHEARD}", how_many=n) for code, n in self.unheard.items()
        )
        return (*self.days.sorted_lines, *unheard)


def _in_utc(station: Station) -> Station:
    return Station(**{**vars(station), "zone": ZONE})


def _number(name: str, cells: Mapping[str, str]) -> float | None:
    try:
        return number(cells.get(name, ""))
    except CellError as reason:
        raise CellError(f"{name.upper()}: {reason}") from reason
