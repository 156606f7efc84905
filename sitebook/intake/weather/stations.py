"""Gathers what a file says of its weather stations."""

from __future__ import annotations

import os
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from shapely import Point

from sitebook.errors import BadArgument
from sitebook.intake.cells import CellError, number, short_text, whole, yes_no
from sitebook.intake.instants import zone_named
from sitebook.records.incoming import Draft, SortedLine

ABOUT = re.compile(r"(station|name|lon|lat|elevation_m|zone|own|rain_day_offset_d)\s*:\s*(.*)", re.IGNORECASE)
LIMITS = {"lon": (-180.0, 180.0), "lat": (-90.0, 90.0), "elevation_m": (-500.0, 9000.0)}
ANY = ""
"""Code of what is said before any station is named: it holds for a table of one station."""

GHCN_CODE = re.compile(r"([A-Z]{2}[A-Z0-9_-]{9})(?![A-Za-z0-9])")
"""Code of a station of the Global Historical Climatology Network, as its files begin their names."""

NO_FIX = "the position is 0/0, which is written where there is none"


@dataclass(frozen=True)
class Station:
    """What is known of a station; None where the file says nothing."""

    name: str | None = None
    lon: float | None = None
    lat: float | None = None
    elevation_m: float | None = None
    zone: str | None = None
    own: bool | None = None
    rain_day_offset_d: int | None = None
    line_number: int | None = None

    def draft(self, code: str) -> Draft:
        """Make the station's row; a column of which the file says nothing is left away."""
        columns = ("name", "elevation_m", "zone", "own", "rain_day_offset_d")
        values: dict[str, object] = {"code": code}
        values |= {c: getattr(self, c) for c in columns if getattr(self, c) is not None}
        if self.lon is not None and self.lat is not None:
            values["geom"] = Point(self.lon, self.lat)
        return Draft("weather_station", code, values, line_number=self.line_number)


def stations_in_comments(
    comments: Sequence[tuple[int, str]],
) -> tuple[dict[str, Station], tuple[SortedLine, ...]]:
    """Give the stations that comments such as "# station: VEN1" and "# lat: 48.6" describe.

    What follows a station's comment, up to the next station's, is about it: name, lon, lat,
    elevation_m, zone, own, rain_day_offset_d. What stands before any station is about the only one.
    A comment with a semicolon explains a column, as those of a template do, and is passed over.

    Parameters
    ----------
    comments
        Line number and text, the sign # taken off.

    Returns
    -------
    stations
        By code, in the order of the file; `ANY` for what stands before any.
    refused
        Comments whose value cannot be.
    """
    stations: dict[str, Station] = {}
    refused = []
    code = ANY
    for line_number, text in comments:
        match = ABOUT.fullmatch(text)
        if match is None or ";" in match[2]:
            continue
        what, value = match[1].casefold(), match[2].strip()
        try:
            if what == "station":
                code = short_text(value)
                stations.setdefault(code, Station(line_number=line_number))
                continue
            stations[code] = _with(stations.get(code, Station(line_number=line_number)), what, value)
        except (CellError, BadArgument) as reason:
            why = reason.what if isinstance(reason, BadArgument) else str(reason)
            refused.append(SortedLine("refused", f"{what}: {why}", line_number, f"# {text}"[:500]))
    return stations, tuple(refused + _no_positions(stations))


def only_code(stations: Mapping[str, Station]) -> str | None:
    """Give the code of the one station that the comments name, or None."""
    codes = [code for code in stations if code != ANY]
    return codes[0] if len(codes) == 1 else None


def code_in_name(path: Path) -> str:
    """Give the station's code that a file's name begins with, else the name without its ending."""
    found = GHCN_CODE.match(path.stem)
    if found:
        return found[1]
    text = os.fsencode(path.stem).decode("utf-8", errors="replace")
    return " ".join("".join(sign if sign.isprintable() else " " for sign in text).split()) or "weather"


def station_drafts(
    stations: Mapping[str, Station], codes: Iterable[str], in_rows: Mapping[str, Station] | None = None
) -> list[Draft]:
    """Make a row for each station that is named in the comments or has a day.

    Parameters
    ----------
    stations
        As the comments have it, which she may have written: it goes before what the rows say.
    codes
        Codes of the stations that have days.
    in_rows
        As the rows have it, by code.
    """
    rows = in_rows or {}
    all_codes = list(dict.fromkeys([*(code for code in stations if code != ANY), *codes]))
    about_any = stations.get(ANY, Station()) if len(all_codes) == 1 else Station()
    return [
        _joined(rows.get(code, Station()), about_any, stations.get(code, Station())).draft(code)
        for code in all_codes
    ]


def station_in_row(cells: Mapping[str, str], line_number: int) -> tuple[Station, str | None]:
    """Read name, lon, lat and elevation_m of a station from a row of its days.

    Returns
    -------
    station
        What the row says that can be.
    str or None
        Why a part of it was not kept, in words.
    """
    station = Station(line_number=line_number)
    reasons = []
    for what in ("name", "lon", "lat", "elevation_m"):
        try:
            station = _with(station, what, cells.get(what, ""))
        except CellError as reason:
            reasons.append(f"{what}: {reason}")
    if (station.lon is None) != (station.lat is None):
        station = replace(station, lon=None, lat=None)
    if station.lon == 0.0 and station.lat == 0.0:
        station = replace(station, lon=None, lat=None)
        reasons.append(NO_FIX)
    return station, "; ".join(reasons) or None


def _joined(*stations: Station) -> Station:
    """Lay what is known together; what comes later goes before."""
    said: dict[str, Any] = {}
    for station in stations:
        said |= {name: value for name, value in vars(station).items() if value is not None}
    return Station(**said)


def _no_positions(stations: Mapping[str, Station]) -> list[SortedLine]:
    half = "of a station's position, lon and lat must both be given"
    faulty = {
        code: half if (station.lon is None) != (station.lat is None) else NO_FIX
        for code, station in stations.items()
        if (station.lon is None) != (station.lat is None) or (station.lon == 0.0 and station.lat == 0.0)
    }
    return [SortedLine("refused", why, stations[code].line_number) for code, why in faulty.items()]


def _with(station: Station, what: str, text: str) -> Station:
    value: dict[str, Any] = {what: _value(what, text)}
    return replace(station, **value)


def _value(what: str, text: str) -> object:
    if what in LIMITS:
        return _within(text, *LIMITS[what])
    if what == "own":
        return yes_no(text)
    if what == "rain_day_offset_d":
        return _offset(text)
    if what == "zone":
        zone_named(text)
    return short_text(text) or None


def _within(text: str, lowest: float, highest: float) -> float | None:
    value = number(text)
    if value is not None and not lowest <= value <= highest:
        raise CellError(f"{value:g} must be from {lowest:g} to {highest:g}")
    return value


def _offset(text: str) -> int | None:
    value = whole(text)
    if value is not None and value not in {-1, 0, 1}:
        raise CellError("it must be -1, 0 or 1")
    return value
