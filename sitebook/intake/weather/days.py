"""Gathers what a source says of the days of its stations, value by value."""

from __future__ import annotations

import datetime
import re
from dataclasses import dataclass, field

from sitebook.citations import Cited
from sitebook.intake.cells import CellError
from sitebook.records.incoming import Draft, SortedLine, Sorting
from sitebook.records.years import EARLIEST_YEAR, LATEST_YEAR

LOWEST_DEGC = Cited(-95.0, "°C", "ours", "our choice")
HIGHEST_DEGC = Cited(60.0, "°C", "ours", "our choice")
LEAST_RAIN_MM = Cited(0.0, "mm", "ours", "our choice")
MOST_RAIN_MM = Cited(2000.0, "mm", "ours", "our choice")
LEAST_DAYS = Cited(1.0, "d", "ours", "our choice")
MOST_DAYS = Cited(366.0, "d", "ours", "our choice")
"""Bounds beyond which a day of weather is refused."""

BOUNDS = {
    "temp_min_degc": (LOWEST_DEGC, HIGHEST_DEGC),
    "temp_max_degc": (LOWEST_DEGC, HIGHEST_DEGC),
    "rain_mm": (LEAST_RAIN_MM, MOST_RAIN_MM),
    "covers_days": (LEAST_DAYS, MOST_DAYS),
}
"""Lowest and highest value of each column that is measured."""

DATE = re.compile(r"([0-9]{4})([-/.]?)([0-9]{2})\2([0-9]{2})")


def day_of(text: str) -> datetime.date:
    """Read a date written year first, as 2025-10-03, 2025/10/03 or 20251003.

    Raises
    ------
    CellError
        When it is empty, written otherwise, does not exist, or lies where no weather was measured.
    """
    bare = text.strip()
    parts = DATE.fullmatch(bare)
    if parts is None:
        raise CellError(f"{bare!r} is not a date written as 2025-10-03" if bare else "the row has no date")
    return date_of(int(parts[1]), int(parts[3]), int(parts[4]))


def date_of(year: int, month: int, day: int) -> datetime.date:
    """Give a date; one that does not exist, or lies where no weather was measured, raises CellError."""
    try:
        on = datetime.date(year, month, day)
    except ValueError as reason:
        raise CellError(f"the date {year:04d}-{month:02d}-{day:02d} does not exist") from reason
    if not EARLIEST_YEAR.value <= year <= LATEST_YEAR.value:
        raise CellError(f"no weather was measured on {on}")
    return on


def require_possible(column: str, value: float, *, called: str = "", hint: str = "") -> None:
    """Make sure that a measured value can be; else raise CellError, which calls it by the source's word."""
    lowest, highest = BOUNDS[column]
    if not lowest.value <= value <= highest.value:
        raise CellError(
            f"{called or column} {value:g} cannot be: it must be from {lowest.value:g} to {highest.value:g} "
            f"{lowest.unit}{hint}"
        )


@dataclass(frozen=True)
class Spot:
    """Whose day a value is, and where it stands.

    Parameters
    ----------
    code
        Code of the station.
    on
        Calendar date as the source writes it.
    line_number
        Line in the file, from 1.
    line_text
        The line as it stood; None where it says nothing more.
    """

    code: str
    on: datetime.date
    line_number: int
    line_text: str | None = None


@dataclass
class Days:
    """The days as far as they are known, and the values that became none.

    Parameters
    ----------
    measured
        Column and value, with the line they came from, by station and date.
    notes
        What the source says of a day, by station and date.
    sorted_lines
        Values left out or refused.
    """

    measured: dict[tuple[str, datetime.date], dict[str, tuple[object, int]]] = field(default_factory=dict)
    notes: dict[tuple[str, datetime.date], list[str]] = field(default_factory=dict)
    sorted_lines: list[SortedLine] = field(default_factory=list)

    def put(self, spot: Spot, column: str, value: float, *, called: str = "", **more: object) -> bool:
        """Put one measured value into its day, or sort it out; gives whether it went in.

        Parameters
        ----------
        spot
            Whose day, and where it stands.
        column
            Column of a weather day.
        value
            The value in the unit of the column.
        called
            The source's word for what was measured.
        more
            Further columns that belong to the value, as whether the rain was a trace.
        """
        day = self.measured.setdefault((spot.code, spot.on), {})
        said = called or column
        try:
            require_possible(column, value, called=called)
        except CellError as reason:
            self.refuse(spot, str(reason))
            return False
        if column in day:
            before, line_number = day[column]
            if before == value:
                self.leave_out(spot, f"{said} stands already in line {line_number}")
            else:
                self.refuse(spot, f"{said} stands already in line {line_number}, with another value")
            return False
        for name, known in {column: value, **more}.items():
            day[name] = (known, spot.line_number)
        return True

    def note(self, spot: Spot, text: str) -> None:
        """Write down what the source says of a day beside the values."""
        self.notes.setdefault((spot.code, spot.on), []).append(text)

    def leave_out(self, spot: Spot, what: str) -> None:
        """List a value that its source does not stand by."""
        self._sort("left out", spot, what)

    def refuse(self, spot: Spot, what: str) -> None:
        """List a value that cannot be."""
        self._sort("refused", spot, what)

    def _sort(self, sorting: Sorting, spot: Spot, what: str) -> None:
        reason = f"{spot.code} {spot.on}: {what}"
        self.sorted_lines.append(SortedLine(sorting, reason, spot.line_number, spot.line_text))

    def drafts(self) -> tuple[Draft, ...]:
        """Make a row for each day that has a value; a highest temperature below the lowest is refused."""
        return tuple(
            self._draft(code, on, day)
            for (code, on), day in self.measured.items()
            if self._kept(code, on, day)
        )

    def _kept(self, code: str, on: datetime.date, day: dict[str, tuple[object, int]]) -> bool:
        low_degc, line_number = day.get("temp_min_degc", (None, 0))
        high_degc, _ = day.get("temp_max_degc", (None, 0))
        if isinstance(low_degc, float) and isinstance(high_degc, float) and high_degc < low_degc:
            spot = Spot(code, on, line_number)
            self.refuse(
                spot, f"the highest temperature {high_degc:g} °C lies below the lowest {low_degc:g} °C"
            )
            del day["temp_min_degc"], day["temp_max_degc"]
        return bool(day)

    def _draft(self, code: str, on: datetime.date, day: dict[str, tuple[object, int]]) -> Draft:
        values: dict[str, object] = {"local_date": on}
        values |= {column: value for column, (value, _) in day.items()}
        if noted := self.notes.get((code, on)):
            values["flags"] = "; ".join(noted)
        first_line = min(line_number for _, line_number in day.values())
        return Draft("weather_day", identity_of(code, on), values, {"station_id": code}, first_line)


def identity_of(code: str, on: datetime.date) -> str:
    """Give the identity of a station's day."""
    return f"weather_day:{code}:{on.isoformat()}"
