"""Checks that a station's days are counted, its gaps told as ranges, and totals never taken for one day."""

from __future__ import annotations

import datetime
import itertools
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitebook.errors import RecordMissing
from sitebook.records.results.weather import Gap, StationDays
from sitebook.work import opened
from sitebook.work.asking import show
from sitebook.work.bring_in import Wish, bring_in
from sitebook.work.weather import gaps, station_days
from tests.work.books import LATER, NOW, ZONE, fresh, only

NEVER = "rain_mm -1 cannot be: it must be from 0 to 2000 mm; leave the cell empty where nothing was measured"
START = datetime.date(2025, 10, 1)


def _day(number: int) -> datetime.date:
    return START + datetime.timedelta(days=number - 1)


def _counted(folder: Path, text: str, code: str, *, accept_rest: bool = False) -> StationDays:
    path = folder / "harbour.csv"
    path.write_text(text, "utf-8")
    with opened(fresh(folder)) as book:
        bring_in(book, [path], now=NOW, wish=Wish(accept_rest=accept_rest))
        return station_days(book, code)


def test_gaps_totals_and_left_out_values_are_told(tmp_path: Path) -> None:
    text = (
        "# rain_day_offset_d: -1\nlocal_date,rain_mm,covers_days,temp_min_degc,temp_max_degc,flags\n"
        "2025-10-01,1,,4,9,\n2025-10-02,,,4,9,\n2025-10-06,8,3,,,\n2025-10-07,0,,4,,PRCP E\n"
        "2025-10-08,,,,,\n2025-10-10,2,,4,9,PRCP G\n2025-10-09,-1,,,,\n"
    )
    assert _counted(tmp_path, text, "HARBOUR", accept_rest=True) == StationDays(
        code="harbour",
        rain_day_offset_d=-1,
        first=_day(1),
        last=_day(10),
        rain_days=3,
        rain_days_in_part=1,
        days_in_totals=3,
        temperature_days=3,
        rain_gaps=(Gap(_day(2), _day(3)), Gap(_day(8), _day(9))),
        temperature_gaps=(Gap(_day(3), _day(9)),),
        left_out=(
            "harbour 2025-10-08: nothing was measured",
            f"harbour 2025-10-09: {NEVER}",
        ),
    )


def test_a_station_takes_the_books_zone_and_its_code_where_nothing_is_said(tmp_path: Path) -> None:
    _counted(tmp_path, "local_date,rain_mm\n2025-10-01,1\n", "harbour")
    row = only(
        tmp_path / "sitebook.gpkg",
        "SELECT code, name, zone, rain_day_offset_d, own FROM weather_station",
    )
    assert row == ("harbour", "harbour", ZONE, 0, 0)


def test_a_later_file_tells_the_place_and_name_of_a_station(tmp_path: Path) -> None:
    _counted(tmp_path, "local_date,rain_mm\n2025-10-01,1\n", "harbour")
    later = tmp_path / "later.csv"
    later.write_text(
        "# station: harbour\n# name: Harbour gauge\n# lon: -19.4\n# lat: 48.6\n"
        "local_date,rain_mm\n2025-10-02,2\n"
    )
    with opened(tmp_path / "sitebook.gpkg") as book:
        (report,) = bring_in(book, [later], now=LATER).result.files
        days = station_days(book, "harbour")
        shown = show(book, "weather_station", "harbour").result
    assert report.sorted_lines == ()
    assert (days.first, days.last, days.rain_days) == (_day(1), _day(2), 2)
    assert shown.days == days
    assert (shown.values["name"], str(shown.values["geom"])) == ("Harbour gauge", "POINT (-19.4 48.6)")


def test_two_files_of_one_command_fill_each_others_days(tmp_path: Path) -> None:
    rain, warmth = tmp_path / "rain.csv", tmp_path / "warmth.csv"
    rain.write_text("station,local_date,rain_mm\nVEN,2025-10-01,1\n")
    warmth.write_text("station,local_date,temp_min_degc,temp_max_degc\nVEN,2025-10-01,3,9\n")
    with opened(fresh(tmp_path)) as book:
        bring_in(book, [rain, warmth], now=NOW)
        days = station_days(book, "VEN")
    assert (days.rain_days, days.temperature_days) == (1, 1)


def test_a_station_without_days_or_without_a_record(tmp_path: Path) -> None:
    table = tmp_path / "stations.csv"
    table.write_text("# sitebook table: weather_station\ncode,name\nVEN,Harbour\n")
    with opened(fresh(tmp_path)) as book:
        bring_in(book, [table], now=NOW)
        assert station_days(book, "VEN").first is None
        with pytest.raises(RecordMissing):
            station_days(book, "NOWHERE")


@given(st.sets(st.integers(1, 60), max_size=40), st.integers(1, 60))
def test_gaps_and_known_days_make_up_all_days(known: set[int], length_d: int) -> None:
    dates = {_day(number) for number in known}
    found = gaps(dates, _day(1), _day(length_d))
    missing = {gap.first + datetime.timedelta(days=n) for gap in found for n in range(gap.length_d)}
    assert missing == {_day(n) for n in range(1, length_d + 1)} - dates
    apart_d = [(later.first - earlier.last).days for earlier, later in itertools.pairwise(found)]
    assert all(days > 1 for days in apart_d)


@pytest.mark.source(
    item="",
    what="GHCN-Daily USC00368449 2000-2009: 31 days without rain, all of May 2000",
    value="31",
    source="GHCN-Daily USC00368449.dly (NOAA), parsed independently",
    mark="confirmed",
)
def test_the_gaps_of_a_real_station(tmp_path: Path, shared_file: Callable[[str], Path]) -> None:
    with opened(fresh(tmp_path)) as book:
        bring_in(book, [shared_file("weather/USC00368449.dly")], now=NOW)
        days = station_days(book, "USC00368449")
    assert (days.rain_days, days.temperature_days) == (3622, 3620)
    (gap,) = days.rain_gaps
    assert (gap.first, gap.last, gap.length_d) == (datetime.date(2000, 5, 1), datetime.date(2000, 5, 31), 31)
    assert len(days.left_out) == 1
