"""Checks that GSOD tables come in as °C and mm, and that nothing reported is not taken for no rain."""

from __future__ import annotations

from pathlib import Path

import pytest

from sitebook.intake.weather import read_weather
from sitebook.records.incoming import Draft, Reading

HEAD = (
    '"STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME","TEMP","TEMP_ATTRIBUTES","MAX",'
    '"MAX_ATTRIBUTES","MIN","MIN_ATTRIBUTES","PRCP","PRCP_ATTRIBUTES","SNDP","FRSHTT"\n'
)


def _read(folder: Path, *rows: str, comments: str = "") -> Reading:
    path = folder / "03953099999.csv"
    start = '"03953099999","2025-10-{}","51.938889","-10.241944","25.0","VALENTIA, EI","  55.1","24",'
    text = "".join(
        start.format(f"{day:02d}") + row + ',"999.9","010000"\n' for day, row in enumerate(rows, 1)
    )
    path.write_text(comments + HEAD + text, "utf-8")
    return read_weather(path)


def _days(reading: Reading) -> list[Draft]:
    return [draft for draft in reading.drafts if draft.kind == "weather_day"]


def test_fahrenheit_and_inches_become_degc_and_mm(tmp_path: Path) -> None:
    reading = _read(tmp_path, '"  59.0"," ","  50.0","*"," 0.50","G"')
    station, day = reading.drafts
    assert reading.recognised_as == "Global Surface Summary of the Day"
    assert {k: v for k, v in station.values.items() if k != "geom"} == {
        "code": "03953099999",
        "name": "VALENTIA, EI",
        "elevation_m": 25.0,
        "zone": "UTC",
    }
    assert str(station.values["geom"]) == "POINT (-10.241944 51.938889)"
    assert day.values["temp_max_degc"] == 15.0
    assert day.values["temp_min_degc"] == 10.0
    assert day.values["rain_mm"] == 12.7
    assert day.values["flags"] == "MIN *; PRCP G"


def test_missing_codes_are_gaps(tmp_path: Path) -> None:
    reading = _read(tmp_path, '"9999.9"," ","9999.9"," ","99.99"," "', '"50.0"," ","9999.9"," ","99.99"," "')
    (day,) = _days(reading)
    assert set(day.values) == {"local_date", "temp_max_degc"}
    assert reading.sorted_lines == ()


@pytest.mark.parametrize("flag", ["A", "B", "C", "D", "E", "F", "G"])
def test_rain_that_was_reported_is_kept_with_what_it_rests_on(tmp_path: Path, flag: str) -> None:
    (day,) = _days(_read(tmp_path, f'"50.0"," ","41.0"," "," 0.04","{flag}"'))
    assert (day.values["rain_mm"], day.values["flags"]) == (1.016, f"PRCP {flag}")


def test_nothing_reported_and_a_doubtful_nought_are_no_rain(tmp_path: Path) -> None:
    row = '"50.0"," ","41.0"," "," 0.00","{}"'
    reading = _read(tmp_path, row.format("I"), row.format("I"), row.format("H"))
    assert all("rain_mm" not in day.values for day in _days(reading))
    doubtful, unheard = reading.sorted_lines
    assert doubtful.reason == (
        "03953099999 2025-10-03: PRCP 0 mm has the flag H: hourly reports of that day tell of rain"
    )
    assert doubtful.line_number == 4
    assert unheard.how_many == 2
    assert "flag I" in unheard.reason


def test_what_she_says_in_a_comment_goes_before_the_file(tmp_path: Path) -> None:
    reading = _read(tmp_path, '"50.0"," ","41.0"," "," 0.00","G"', comments="# rain_day_offset_d: -1\n")
    assert reading.drafts[0].values["rain_day_offset_d"] == -1


def test_impossible_values_are_refused_with_their_line(tmp_path: Path) -> None:
    reading = _read(tmp_path, '"500.0"," ","41.0"," "," 0.00","G"', '"warm"," ","41.0"," "," 0.00","G"')
    told = {line.line_number: line.reason for line in reading.refused}
    assert "MAX 260 cannot be" in told[2]
    assert "MAX: 'warm' is not a number" in told[3]
    assert [str(day.values["local_date"]) for day in _days(reading)] == ["2025-10-01"]
