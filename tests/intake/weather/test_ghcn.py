"""Checks that the three forms of GHCN-Daily give the same days, and heed what the source flags."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from pathlib import Path

import pytest

from sitebook.errors import FileUnreadable
from sitebook.intake.weather import read_weather
from sitebook.intake.weather.ghcn import QUALITY
from sitebook.records.incoming import Draft, Reading

Write = Callable[[str, str], Path]
CODE = "USC00368449"
BY_STATION = (
    '"STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME","PRCP","PRCP_ATTRIBUTES","TMAX",'
    '"TMAX_ATTRIBUTES","MDPR","MDPR_ATTRIBUTES","DAPR","DAPR_ATTRIBUTES","SNOW","SNOW_ATTRIBUTES"\n'
)
PLACE = f'"{CODE}","2025-10-03","48.6009","-19.4081","6.1","VENNARHAVEN HARBOUR, VR",'


def _cell(value: int, flags: str = "   ") -> str:
    return f"{value:5d}{flags}"


def _month(element: str, cells: dict[int, str], *, month: str = "202510", code: str = CODE) -> str:
    return f"{code}{month}{element}" + "".join(cells.get(day, _cell(-9999)) for day in range(1, 32)) + "\n"


@pytest.fixture
def written(tmp_path: Path) -> Write:
    """Give a function from name and text to the file."""

    def write(name: str, text: str) -> Path:
        path = tmp_path / name
        path.write_text(text, "utf-8")
        return path

    return write


def _days(reading: Reading) -> dict[str, Draft]:
    return {str(d.values["local_date"]): d for d in reading.drafts if d.kind == "weather_day"}


def _told(reading: Reading, sorting: str = "left out") -> list[str]:
    return [line.reason for line in reading.sorted_lines if line.sorting == sorting]


@pytest.mark.source(
    item="S21",
    what="a month of GHCN-Daily: day 16 12.7 mm, days 18 and 29 a trace, day 19 1.3 mm, month 14.0 mm",
    value="14.0",
    source="GHCN-Daily readme, section III, station USW00093986, March 1910 (line built of its values)",
    mark="secondary",
)
def test_a_month_of_rain_with_two_traces(written: Write) -> None:
    noughts = {day: _cell(0, "  6") for day in range(1, 32)}
    said = {16: _cell(127, "  6"), 18: _cell(0, "T 6"), 19: _cell(13, "  6"), 29: _cell(0, "T 6")}
    line = _month("PRCP", noughts | said, month="191003", code="USW00093986")
    assert len(line.rstrip("\n")) == 269
    days = _days(read_weather(written("a.dly", line)))
    rain_mm = {on: day.values["rain_mm"] for on, day in days.items()}
    assert len(days) == 31
    assert (rain_mm["1910-03-16"], rain_mm["1910-03-19"]) == (12.7, 1.3)
    assert sum(float(str(mm)) for mm in rain_mm.values()) == pytest.approx(14.0)
    assert [on for on, day in days.items() if day.values.get("trace")] == ["1910-03-18", "1910-03-29"]


def test_tenths_missing_codes_and_flags_of_a_fixed_width_file(written: Write) -> None:
    text = (
        "# name: Vennarhaven Harbour\n# rain_day_offset_d: -1\n"
        + _month("TMAX", {3: _cell(156), 4: _cell(999, " I0"), 5: _cell(101, "L  ")})
        + _month("TMIN", {3: _cell(-12)})
        + _month("SNOW", {3: _cell(5), 4: _cell(5, " G ")})
    )
    reading = read_weather(written("a.dly", text))
    station = reading.drafts[0]
    assert station.values == {"code": CODE, "name": "Vennarhaven Harbour", "rain_day_offset_d": -1}
    days = _days(reading)
    assert list(days) == ["2025-10-03", "2025-10-05"]
    assert days["2025-10-03"].values == {
        "local_date": datetime.date(2025, 10, 3),
        "temp_max_degc": 15.6,
        "temp_min_degc": -1.2,
    }
    assert days["2025-10-05"].values["flags"] == "TMAX L"
    assert _told(reading) == [
        f"{CODE} 2025-10-04: TMAX 99.9 °C has the quality flag I: {QUALITY['I']}",
        "values of elements that are not read (SNOW), 1 of them with a quality flag",
    ]
    assert reading.sorted_lines[0].line_number == 3


def test_a_total_of_several_days_stands_on_its_last_day_and_says_how_many(written: Write) -> None:
    text = (
        _month("PRCP", {3: _cell(10), 9: _cell(7)})
        + _month("MDPR", {8: _cell(250), 9: _cell(30), 20: _cell(40), 22: _cell(80, " L ")})
        + _month("DAPR", {8: _cell(4), 9: _cell(2), 22: _cell(3), 25: _cell(2)})
    )
    reading = read_weather(written("a.dly", text))
    days = _days(reading)
    assert list(days) == ["2025-10-03", "2025-10-09", "2025-10-08"]
    total = days["2025-10-08"].values
    assert (total["rain_mm"], total["covers_days"], total["flags"]) == (25.0, 4, "MDPR")
    assert days["2025-10-09"].values["rain_mm"] == 0.7
    assert "covers_days" not in days["2025-10-03"].values
    assert _told(reading) == [
        f"{CODE} 2025-10-22: MDPR 8 mm has the quality flag L: {QUALITY['L']}",
        f"{CODE} 2025-10-09: MDPR 3 mm, a total of several days, beside a rain of that day",
        f"{CODE} 2025-10-20: MDPR 4 mm: over how many days is not told",
        f"{CODE} 2025-10-22: DAPR 3 days: the rain of these days is not told",
        f"{CODE} 2025-10-25: DAPR 2 days: the rain of these days is not told",
    ]
    assert _told(reading, "refused") == []


@pytest.mark.parametrize(
    ("line", "says"),
    [
        (_month("PRCP", {31: _cell(3)}, month="202511"), "day 31 of a month of 30 days"),
        (_month("PRCP", {3: "  1.2   "}), "is no number: '  1.2'"),
        (_month("PRCP", {3: _cell(3)}, month="202513"), "2025-13-01 does not exist"),
        (_month("PRCP", {3: _cell(3)}, month="220110"), "no weather was measured on 2201"),
        (_month("PRCP", {3: _cell(-5)}), "PRCP -0.5 cannot be"),
        (_month("TMAX", {3: _cell(700)}), "TMAX 70 cannot be"),
        (_month("TMIN", {3: _cell(60)}), "highest temperature 5 °C lies below the lowest 6 °C"),
        (_month("TMAX", {3: _cell(51)}), "TMAX stands already in line 1, with another value"),
        (_month("PRCP", {}).rstrip() + " more\n", "the line holds 271 signs"),
        ("the weather was fine\n", "does not begin with station"),
    ],
)
def test_what_cannot_be_is_refused_with_its_line(written: Write, line: str, says: str) -> None:
    good = _month("TMAX", {3: _cell(50)})
    reading = read_weather(written("a.dly", good + line))
    (refused,) = reading.refused
    assert says in refused.reason
    assert refused.line_number == 2


def test_a_value_said_twice_alike_is_left_out_once(written: Write) -> None:
    line = _month("PRCP", {3: _cell(10)})
    reading = read_weather(written("a.dly", line + line))
    assert len(_days(reading)) == 1
    assert _told(reading) == [f"{CODE} 2025-10-03: PRCP stands already in line 1"]


def test_a_table_by_station_gives_place_name_and_days(written: Write) -> None:
    text = (
        BY_STATION
        + PLACE
        + '"   30",",,7,0800","  156",",,7","","","","","    0",",,7"\n'
        + PLACE.replace("10-03", "10-04")
        + '"    0","T,,7","  999",",I,7","","","","","",""\n'
        + PLACE.replace("10-03", "10-08")
        + '"","","","","  250",",,7","    4",",,7","",""\n'
    )
    reading = read_weather(written(f"{CODE}.csv", text))
    station = reading.drafts[0]
    assert station.values["name"] == "VENNARHAVEN HARBOUR, VR"
    assert station.values["elevation_m"] == 6.1
    point = station.values["geom"]
    assert str(point) == "POINT (-19.4081 48.6009)"
    days = _days(reading)
    assert days["2025-10-03"].values["rain_mm"] == 3.0
    assert days["2025-10-03"].values["temp_max_degc"] == 15.6
    assert days["2025-10-04"].values["trace"] is True
    assert (days["2025-10-08"].values["rain_mm"], days["2025-10-08"].values["covers_days"]) == (25.0, 4)
    assert _told(reading) == [
        f"{CODE} 2025-10-04: TMAX 99.9 °C has the quality flag I: {QUALITY['I']}",
        "elements that are not read: SNOW",
    ]


def test_a_table_of_the_order_form_must_tell_its_units(written: Write) -> None:
    head = "STATION,NAME,DATE,PRCP,TMAX,TMIN\n"
    row = f"{CODE},Harbour,2025-10-03,0.50,50,32\n"
    with pytest.raises(FileUnreadable, match="units of this weather table are not told") as caught:
        read_weather(written("a.csv", head + row))
    assert "# units: us" in caught.value.remedy
    us = _days(read_weather(written("us.csv", "# units: us\n" + head + row)))["2025-10-03"].values
    assert (us["rain_mm"], us["temp_max_degc"], us["temp_min_degc"]) == (12.7, 10.0, 0.0)
    metric = _days(read_weather(written("m.csv", "# units: metric\n" + head + row)))["2025-10-03"].values
    assert (metric["rain_mm"], metric["temp_max_degc"]) == (0.5, 50.0)


def test_an_impossible_place_of_a_station_is_not_kept_and_told(written: Write) -> None:
    row = PLACE.replace("48.6009", "91") + '"30",",,7","","","","","","","",""\n'
    reading = read_weather(written("a.csv", BY_STATION + row))
    assert "geom" not in reading.drafts[0].values
    assert _told(reading)[0] == f"of the station {CODE}: lat: 91 must be from -90 to 90"


@pytest.mark.parametrize("head", ["", "ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG,S_FLAG,OBS_TIME\n"])
def test_a_long_list_is_read_with_and_without_a_header(written: Write, head: str) -> None:
    rows = (
        f"{CODE},20251003,PRCP,30,,,7,0800\n{CODE},20251003,TMAX,156,,,7,\n{CODE},20251004,PRCP,0,T,,7,0800\n"
        f"{CODE},20251004,TMAX,999,,I,7,\n{CODE},20251005,MDPR,250,,,7,\n{CODE},20251005,DAPR,4,,,7,\n"
        f"{CODE},20251003,SNOW,0,,,7,\n{CODE},20251006,PRCP,-9999,,,7,\nUSW00094728,20251003,PRCP,5,,,W,2400\n"
    )
    reading = read_weather(written("2025.csv", head + rows))
    assert [d.values["code"] for d in reading.drafts if d.kind == "weather_station"] == [CODE, "USW00094728"]
    shown = [(d.refers["station_id"], *d.values.values()) for d in reading.drafts if d.kind == "weather_day"]
    third, fourth, fifth = (datetime.date(2025, 10, day) for day in (3, 4, 5))
    assert shown == [
        (CODE, third, 3.0, 15.6),
        (CODE, fourth, 0.0, True, "PRCP T"),
        ("USW00094728", third, 0.5),
        (CODE, fifth, 25.0, 4, "MDPR"),
    ]
    assert len(_told(reading)) == 2
    assert reading.sorted_lines[0].line_number == 4 + bool(head)


@pytest.mark.parametrize(
    ("row", "says"),
    [
        (f"{CODE},20251303,PRCP,30,,,7,", "does not exist"),
        (f"{CODE},20251003,PRCP,3.5,,,7,", "not a whole number of tenths"),
        (f"{CODE},20251003,rain!,3,,,7,", "is no element"),
        (f"{CODE},20251003,PRCP,99999,,,7,", "cannot be"),
    ],
)
def test_a_line_of_a_list_that_cannot_be_is_refused(written: Write, row: str, says: str) -> None:
    reading = read_weather(written("2025.csv", f"{CODE},20251002,PRCP,30,,,7,\n{row}\n"))
    (refused,) = reading.refused
    assert says in refused.reason
    assert refused.line_number == 2


def _values(reading: Reading, column: str, year: str = "") -> list[float]:
    days = [d for on, d in _days(reading).items() if on.startswith(year)]
    return [float(str(d.values[column])) for d in days if column in d.values]


@pytest.mark.source(
    item="",
    what="GHCN-Daily USC00368449 2000-2009: PRCP 3,622 values, 10,075.8 mm; rain 2003 1,392.3, 2004 1,363.9, "
    "2005 920.0 mm; TMIN mean 5.320 °C; TMAX mean 15.1514 without the flagged value, 15.1502 with it; "
    "5 values with quality flag I; 31 days missing",
    value="10075.8",
    source="GHCN-Daily USC00368449.dly (NOAA), parsed independently",
    mark="confirmed",
)
def test_ten_years_of_a_real_station(shared_file: Callable[[str], Path]) -> None:
    reading = read_weather(shared_file(f"weather/{CODE}.dly"))
    rain_mm = _values(reading, "rain_mm")
    assert (len(rain_mm), round(sum(rain_mm), 1)) == (3622, 10075.8)
    yearly = [round(sum(_values(reading, "rain_mm", year)), 1) for year in ("2003", "2004", "2005")]
    assert yearly == [1392.3, 1363.9, 920.0]
    low_degc, high_degc = _values(reading, "temp_min_degc"), _values(reading, "temp_max_degc")
    assert sum(low_degc) / len(low_degc) == pytest.approx(5.320, abs=0.0005)
    assert sum(high_degc) / len(high_degc) == pytest.approx(15.1514, abs=0.00005)
    assert (sum(high_degc) + 10.6) / (len(high_degc) + 1) == pytest.approx(15.1502, abs=0.00005)
    assert 3653 - len(rain_mm) == 31
    listed, not_read = _told(reading)
    assert listed == f"{CODE} 2006-02-18: TMAX 10.6 °C has the quality flag I: {QUALITY['I']}"
    assert not_read.endswith("4 of them with a quality flag")


@pytest.mark.source(
    item="",
    what="New York, Central Park, 2014: 365 days with rain measured, 1,366.6 mm",
    value="1366.6",
    source="GHCN-Daily by-year list USW00094728 (NOAA)",
    mark="confirmed",
)
def test_a_year_of_a_real_list(shared_file: Callable[[str], Path]) -> None:
    reading = read_weather(shared_file("weather/USW00094728_2014.csv"))
    assert reading.drafts[0].values == {"code": "USW00094728"}
    rain_mm = _values(reading, "rain_mm", "2014")
    assert (len(rain_mm), round(sum(rain_mm), 1)) == (365, 1366.6)
    assert reading.refused == ()
