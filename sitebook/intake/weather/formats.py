"""Tells which form of daily weather a text is written in, from its first line that says something."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Literal

from sitebook.intake.lines import folded

WeatherFormat = Literal["ghcn_dly", "ghcn_csv", "ghcn_year", "gsod", "own_gauge", "plain"]
"""GHCN-Daily in fixed width, by station, as a list; GSOD; readings of a gauge; a plain table."""

FIXED_WIDTH = re.compile(r"[A-Z]{2}[A-Z0-9_-]{9}[0-9]{6}[A-Z0-9]{4}(?=[ 0-9-]{5}).{5}")
YEAR_LIST = re.compile(r'"?[A-Z]{2}[A-Z0-9_-]{9}"?,"?[0-9]{8}"?,"?[A-Z0-9]{4}"?,\s*"?-?[0-9]+')

STATION = frozenset({"station", "stationid", "stationcode", "id", "code"})
DAY = frozenset({"localdate", "date", "day"})
TEMP_MIN = ("tempmindegc", "tempmin", "tmin", "mintemp", "tempmindegf")
TEMP_MAX = ("tempmaxdegc", "tempmax", "tmax", "maxtemp", "tempmaxdegf")
RAIN = ("rainmm", "precipitation", "precipitationmm", "precip", "precipmm", "prcp", "rain", "raininch")
"""Names a column may bear in a plain table, folded as `lines.folded` does; the first found is read."""

READ_ON = frozenset({"readon"})
ELEMENT = frozenset({"element", "attr", "attribute", "datatype"})
VALUE = frozenset({"value", "datavalue"})


def format_of_line(line: str) -> WeatherFormat | None:
    """Tell a form that has no header, or None."""
    if FIXED_WIDTH.match(line):
        return "ghcn_dly"
    return "ghcn_year" if YEAR_LIST.match(line) else None


def format_of_header(header: Iterable[str]) -> WeatherFormat | None:
    """Tell the form of a table from the names of its columns; None where it is no daily weather."""
    names = {folded(name) for name in header}
    of_station = {"station", "date"} <= names
    of_gsod = names & {"frshtt", "maxattributes", "minattributes"}
    if of_station and names & {"max", "min"} and of_gsod:
        return "gsod"
    described = names & {"latitude", "name", "prcpattributes", "tmaxattributes", "tminattributes"}
    if of_station and names & {"prcp", "tmax", "tmin", "mdpr"} and described:
        return "ghcn_csv"
    if names & DAY and names & ELEMENT and names & VALUE:
        return "ghcn_year"
    if names & READ_ON and names & set(RAIN):
        return "own_gauge"
    return "plain" if names & DAY and names & {*TEMP_MIN, *TEMP_MAX, *RAIN} else None
