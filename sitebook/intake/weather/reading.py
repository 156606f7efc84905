"""Reads daily weather in whichever of its forms a file is written."""

from __future__ import annotations

from pathlib import Path

from sitebook.intake.instants import zone_named
from sitebook.intake.lines import lines_of, read_text, table_from_text
from sitebook.intake.weather.formats import WeatherFormat, format_of_header, format_of_line
from sitebook.intake.weather.ghcn_csv import read_ghcn_csv
from sitebook.intake.weather.ghcn_dly import read_ghcn_dly
from sitebook.intake.weather.ghcn_year import read_ghcn_year
from sitebook.intake.weather.gsod import read_gsod
from sitebook.intake.weather.own_gauge import read_own_gauge
from sitebook.intake.weather.plain import read_plain
from sitebook.records.incoming import Reading


def read_weather(path: Path, *, zone: str = "UTC") -> Reading:
    """Read daily weather: a plain table, GHCN-Daily in three forms, GSOD, or readings of a gauge.

    Parameters
    ----------
    path
        The file.
    zone
        IANA name of the zone of its days; the book gives it to a station of which the file names none.

    Returns
    -------
    Reading
        A draft of kind weather_station for each station, with what the file says of it; then the days.

    Raises
    ------
    FileUnreadable, FileTooLarge, FileMissing, FileNotRecognised
        As the reader of its form.
    BadArgument
        When no zone is called so.
    """
    zone_named(zone)
    form, first_line = _form_of(path)
    if form == "ghcn_dly":
        return read_ghcn_dly(path)
    if form == "ghcn_year":
        return read_ghcn_year(path, first_line)
    if form == "ghcn_csv":
        return read_ghcn_csv(path)
    if form == "gsod":
        return read_gsod(path)
    if form == "own_gauge":
        return read_own_gauge(path)
    return read_plain(path)


def _form_of(path: Path) -> tuple[WeatherFormat, str]:
    """Tell the form of a file, and give its first line that says something."""
    text, _ = read_text(path)
    said = (bare for line in lines_of(text, str(path)) if (bare := line.strip()) and not bare.startswith("#"))
    first_line = next(said, "")
    form = format_of_line(first_line)
    if form is None:
        form = (
            format_of_header(table_from_text(first_line, where=str(path)).header) if first_line else "plain"
        )
    return form or "plain", first_line
