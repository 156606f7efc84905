"""Reads what the comments of a weather table say of its stations."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from shapely import Point

from sitebook.errors import BadArgument
from sitebook.intake.cells import CellError, number, whole, yes_no
from sitebook.intake.instants import zone_named
from sitebook.intake.lines import Lines
from sitebook.records.incoming import Draft, SortedLine

ABOUT = re.compile(r"(station|name|lon|lat|elevation_m|zone|own|rain_day_offset_d)\s*:\s*(.*)", re.IGNORECASE)
LIMITS = {"lon": (-180.0, 180.0), "lat": (-90.0, 90.0), "elevation_m": (-500.0, 9000.0)}
ANY = ""
"""Code of what is said before any station is named: it holds for a table of one station."""


@dataclass(frozen=True)
class Station:
    """What is known of a station; None where the comments say nothing."""

    name: str | None = None
    lon: float | None = None
    lat: float | None = None
    elevation_m: float | None = None
    zone: str | None = None
    own: bool | None = None
    rain_day_offset_d: int | None = None
    line_number: int | None = None

    def draft(self, code: str, zone: str) -> Draft:
        """Make the station's row; a column of which nothing is known is left away or takes its default."""
        values: dict[str, object] = {
            "code": code,
            "name": self.name or code,
            "zone": self.zone or zone,
            "rain_day_offset_d": self.rain_day_offset_d or 0,
            "own": bool(self.own),
        }
        if self.elevation_m is not None:
            values["elevation_m"] = self.elevation_m
        if self.lon is not None and self.lat is not None:
            values["geom"] = Point(self.lon, self.lat)
        return Draft("weather_station", code, values, line_number=self.line_number)


def stations_in_comments(lines: Lines) -> tuple[dict[str, Station], tuple[SortedLine, ...]]:
    """Give the stations that comments such as "# station: VEN1" and "# lat: 48.6" describe.

    What follows a station's comment, up to the next station's, is about it: name, lon, lat,
    elevation_m, zone, own, rain_day_offset_d. What stands before any station is about the only one.
    A comment with a semicolon explains a column, as those of a template do, and is passed over.

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
    for line_number, text in lines.comments:
        match = ABOUT.fullmatch(text)
        if match is None or ";" in match[2]:
            continue
        what, value = match[1].casefold(), match[2].strip()
        if what == "station":
            code = value
            stations.setdefault(code, Station(line_number=line_number))
            continue
        try:
            stations[code] = _with(stations.get(code, Station(line_number=line_number)), what, value)
        except (CellError, BadArgument) as reason:
            why = reason.what if isinstance(reason, BadArgument) else str(reason)
            refused.append(SortedLine("refused", f"{what}: {why}", line_number, f"# {text}"))
    return stations, tuple(refused + _half_positions(stations))


def only_code(stations: Mapping[str, Station]) -> str | None:
    """Give the code of the one station that the comments name, or None."""
    codes = [code for code in stations if code != ANY]
    return codes[0] if len(codes) == 1 else None


def station_drafts(stations: Mapping[str, Station], codes: Iterable[str], zone: str) -> list[Draft]:
    """Make a row for each station that is named in the comments or has a day.

    Parameters
    ----------
    stations
        As the comments have it.
    codes
        Codes of the stations that have days.
    zone
        IANA name for stations whose comments name no zone.
    """
    all_codes = list(dict.fromkeys([*(code for code in stations if code != ANY), *codes]))
    about_any = stations.get(ANY, Station()) if len(all_codes) == 1 else Station()
    return [_joined(about_any, stations.get(code, Station())).draft(code, zone) for code in all_codes]


def _joined(general: Station, special: Station) -> Station:
    said = {name: value for name, value in vars(special).items() if value is not None}
    return replace(general, **said)


def _half_positions(stations: Mapping[str, Station]) -> list[SortedLine]:
    why = "of a station's position, lon and lat must both be given"
    halves = [station for station in stations.values() if (station.lon is None) != (station.lat is None)]
    return [SortedLine("refused", why, station.line_number) for station in halves]


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
    return text or None


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
