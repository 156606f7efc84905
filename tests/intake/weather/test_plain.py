"""Checks that a plain CSV of daily weather becomes stations and days."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Sequence
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Point

from sitebook.errors import BadArgument, FileUnreadable
from sitebook.intake.weather import read_weather
from sitebook.outgo.table import template
from sitebook.records.columns import meanings
from sitebook.records.incoming import Draft, Reading
from sitebook.records.kinds import KINDS

Write = Callable[[str], Path]
HEAD = "station,local_date,temp_min_degc,temp_max_degc,rain_mm,covers_days,flags\n"


@pytest.fixture
def weather(tmp_path: Path) -> Write:
    """Give a function from text to a file harbour.csv that holds it."""

    def write(text: str) -> Path:
        path = tmp_path / "harbour.csv"
        path.write_text(text, "utf-8")
        return path

    return write


def _of(reading: Reading, kind: str) -> list[Draft]:
    return [draft for draft in reading.drafts if draft.kind == kind]


def test_a_day_has_its_values_and_its_station(weather: Write) -> None:
    reading = read_weather(weather(HEAD + "VEN1,2025-10-03,4.5,12,3.2,2,E\n"), zone="Atlantic/Azores")
    station, day = reading.drafts
    assert station.identity == "VEN1"
    assert station.values == {"code": "VEN1"}
    assert day.identity == "weather_day:VEN1:2025-10-03"
    assert day.refers == {"station_id": "VEN1"}
    assert day.values == {
        "local_date": datetime.date(2025, 10, 3),
        "temp_min_degc": 4.5,
        "temp_max_degc": 12.0,
        "rain_mm": 3.2,
        "covers_days": 2,
        "flags": "E",
    }
    assert set(day.values) <= set(meanings(KINDS["weather_day"]))
    assert reading.sorted_lines == ()


def test_comments_describe_the_station(weather: Write) -> None:
    text = (
        "# name: Harbour gauge\n# zone: Atlantic/Azores\n# lon: -19,4\n# lat: 48.6\n# elevation_m: 3\n"
        "# own: yes\n# rain_day_offset_d: -1\n# read each morning at eight\n"
        "local_date;rain_mm\n2025-10-03;3,5\n"
    )
    reading = read_weather(weather(text))
    station, day = reading.drafts
    assert station.values == {
        "code": "harbour",
        "name": "Harbour gauge",
        "zone": "Atlantic/Azores",
        "rain_day_offset_d": -1,
        "own": True,
        "elevation_m": 3.0,
        "geom": Point(-19.4, 48.6),
    }
    assert day.values["rain_mm"] == 3.5
    assert reading.sorted_lines == ()


def test_two_stations_have_each_their_comments(weather: Write) -> None:
    text = "# station: A\n# elevation_m: 3\n# station: B\n# elevation_m: 210\n" + HEAD
    reading = read_weather(weather(text + "B,2025-10-03,,,1,,\nA,2025-10-03,,,2,,\nC,2025-10-03,,,2,,\n"))
    heights = {
        draft.values["code"]: draft.values.get("elevation_m") for draft in _of(reading, "weather_station")
    }
    assert heights == {"A": 3.0, "B": 210.0, "C": None}
    assert [draft.refers["station_id"] for draft in _of(reading, "weather_day")] == ["B", "A", "C"]


def test_the_one_station_of_the_comments_stands_in_for_the_column(weather: Write) -> None:
    reading = read_weather(weather("# station: VEN1\nLocal Date,RAIN_MM\n2025-10-03,1\n"))
    assert [draft.refers.get("station_id") for draft in reading.drafts] == [None, "VEN1"]


def test_a_filled_template_is_read_and_its_explanations_describe_no_station(weather: Write) -> None:
    empty = template("weather")
    header = empty.splitlines()[-1].split(",")
    row = {"station": "VEN1", "local_date": "2025-10-03", "rain_mm": "4.5"}
    reading = read_weather(weather(empty + ",".join(row.get(name, "") for name in header) + "\n"))
    station, day = reading.drafts
    assert station.values == {"code": "VEN1"}
    assert (day.refers, day.values["rain_mm"]) == ({"station_id": "VEN1"}, 4.5)
    assert reading.sorted_lines == ()


@pytest.mark.parametrize("word", ["T", "trace", "Tr"])
def test_a_trace_of_rain_is_none_and_marked(weather: Write, word: str) -> None:
    (day,) = _of(read_weather(weather(f"local_date,rain_mm\n2025-10-03,{word}\n")), "weather_day")
    assert (day.values["rain_mm"], day.values["trace"]) == (0.0, True)


def test_rows_with_nothing_measured_and_unknown_columns_are_left_out(weather: Write) -> None:
    reading = read_weather(
        weather("local_date,rain_mm,sunshine_h\n2025-10-03,,4\n2025-10-04,NA,5\n2025-10-05,0,\n")
    )
    assert [day.values["rain_mm"] for day in _of(reading, "weather_day")] == [0.0]
    assert [(line.sorting, line.line_number) for line in reading.sorted_lines] == [
        ("left out", None),
        ("left out", 2),
        ("left out", 3),
    ]
    assert "sunshine_h" in reading.sorted_lines[0].reason


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ("A,2025-10-03,9,8,1,,", "temp_max_degc 8 lies below temp_min_degc 9"),
        ("A,2025-10-03,,,-0.1,,", "rain_mm -0.1 cannot be"),
        ("A,2025-10-03,,,2000.5,,", "rain_mm 2000.5 cannot be"),
        ("A,2025-10-03,,61,,,", "temp_max_degc 61 cannot be"),
        ("A,2025-10-03,-9999,,,,", "leave the cell empty"),
        ("A,2025-10-03,cold,,,,", "temp_min_degc: 'cold' is not a number"),
        ("A,2025-10-03,,,1,0,", "covers_days 0 cannot be"),
        ("A,2025-10-03,,,1,1.5,", "not a whole number of days"),
        ("A,2025-02-30,,,1,,", "does not exist"),
        ("A,03.10.2025,,,1,,", "is not a date"),
        ("A,,,,1,,", "has no date"),
        ("A\x1b[2J,2025-10-03,,,1,,", "control signs"),
        ("A,2201-01-01,,,1,,", "no weather was measured on 2201"),
        ("A,2025-10-02,,,1,,", "A has the day 2025-10-02 already in line 2"),
        ("A,2025-10-03,,,1,,,9", "8 cells under 7 columns"),
    ],
)
def test_impossible_days_are_refused_with_their_line(weather: Write, row: str, says: str) -> None:
    reading = read_weather(weather(HEAD + "A,2025-10-02,1,2,3,,\n" + row + "\nB,2025-10-02,1,2,3,,\n"))
    (refused,) = reading.refused
    assert says in refused.reason
    assert (refused.line_number, refused.line_text) == (3, row)
    assert len(_of(reading, "weather_day")) == 2


@pytest.mark.parametrize(
    ("comment", "says"),
    [
        ("lat: 91\n# lon: 3", "lat: 91 must be from -90 to 90"),
        ("lat: 48.6", "lon and lat must both be given"),
        ("lat: 0\n# lon: 0", "the position is 0/0"),
        ("zone: Atlantic/Nowhere", "no time zone"),
        ("own: perhaps", "neither yes nor no"),
        ("rain_day_offset_d: 5", "must be -1, 0 or 1"),
    ],
)
def test_impossible_comments_are_refused_with_their_line(weather: Write, comment: str, says: str) -> None:
    reading = read_weather(weather(f"# {comment}\nlocal_date,rain_mm\n2025-10-03,1\n"))
    assert says in reading.refused[0].reason
    assert reading.refused[0].line_number in {1, 2}


@pytest.mark.parametrize("text", ["station,rain_mm\nA,1\n", "local_date,sunshine_h\n2025-10-03,4\n"])
def test_a_table_without_days_or_measures_is_refused_whole(weather: Write, text: str) -> None:
    with pytest.raises(FileUnreadable, match="daily weather needs the column local_date"):
        read_weather(weather(text))


def test_one_column_in_two_spellings_is_refused_whole(weather: Write) -> None:
    with pytest.raises(FileUnreadable, match="rain_mm stands twice"):
        read_weather(weather("local_date,rain_mm,Rain mm\n"))


def test_an_unknown_zone_is_refused(weather: Write) -> None:
    with pytest.raises(BadArgument, match="no time zone"):
        read_weather(weather("local_date,rain_mm\n"), zone="Nowhere")


def test_other_names_of_columns_are_read_and_their_units_are_said_to_be_guessed(weather: Write) -> None:
    reading = read_weather(weather("id,date,t_max,t_min,precip,rain\n7,2025/10/03,12,4,3.5,1\n"))
    (day,) = _of(reading, "weather_day")
    assert day.refers == {"station_id": "7"}
    assert (day.values["temp_max_degc"], day.values["temp_min_degc"], day.values["rain_mm"]) == (12, 4, 3.5)
    told = [line.reason for line in reading.sorted_lines]
    assert told == [
        "columns that are not read: rain",
        "no unit is told for t_min, t_max, precip: taken as °C and mm, which she should look at",
    ]


def test_fahrenheit_and_inches_are_turned_where_the_column_says_so(weather: Write) -> None:
    reading = read_weather(
        weather("local_date,temp_min_degf,temp_max_degf,rain_inch\n2025-10-03,32,50,0.5\n")
    )
    (day,) = _of(reading, "weather_day")
    assert (day.values["temp_min_degc"], day.values["temp_max_degc"], day.values["rain_mm"]) == (0, 10, 12.7)
    assert reading.sorted_lines == ()


DATES = st.sampled_from(["2025-10-03", "2025-10-04", "2025-13-01", ""])
TEMPERATURES = st.sampled_from(["", "4", "12,5", "-99", "warm"])
RAINS = st.sampled_from(["", "0", "T", "-1", "12.25"])
ROWS = st.lists(st.tuples(st.sampled_from("AB"), DATES, TEMPERATURES, TEMPERATURES, RAINS), max_size=15)


@settings(deadline=None)
@given(ROWS)
def test_every_row_is_kept_left_out_or_refused(
    tmp_path_factory: pytest.TempPathFactory, rows: Sequence[tuple[str, ...]]
) -> None:
    path = tmp_path_factory.mktemp("weather") / "any.csv"
    text = "station;local_date;temp_min_degc;temp_max_degc;rain_mm\n"
    path.write_text(text + "".join(";".join(row) + "\n" for row in rows), "utf-8")
    reading = read_weather(path)
    days = _of(reading, "weather_day")
    numbers = [draft.line_number for draft in days] + [line.line_number for line in reading.sorted_lines]
    assert sorted(number or 0 for number in numbers) == list(range(2, len(rows) + 2))
    assert len({draft.identity for draft in days}) == len(days)
    codes = {draft.values["code"] for draft in _of(reading, "weather_station")}
    assert {draft.refers["station_id"] for draft in days} == codes
