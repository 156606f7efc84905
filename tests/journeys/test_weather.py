"""Walks daily weather from the archive's file to what she is told of its days."""

from __future__ import annotations

import datetime
import json
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from sitebook.commands import weather_words
from sitebook.records.results.weather import Gap, StationDays
from tests.intake.mutations import DLY
from tests.work.books import fresh

if TYPE_CHECKING:
    from tests.conftest import Sitebook


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Give a folder with a new book and three days of a station."""
    fresh(tmp_path)
    (tmp_path / "harbour.dly").write_text("# rain_day_offset_d: -1\n" + DLY)
    return tmp_path


def test_gaps_and_the_day_of_the_rain_are_told(folder: Path, sitebook: Sitebook) -> None:
    sitebook("import", "harbour.dly", folder=folder)
    told = sitebook("show", "weather_station", "VRM00001234", folder=folder).stdout
    assert "days from 2025-10-01 to 2025-10-03: 3" in told
    assert "rain known on 3; the rain under a date fell on the day before" in told
    assert "lowest and highest temperature known on 2" in told
    assert "rain: no day is missing" in told
    assert "temperatures: 1 day is missing: 2025-10-03" in told
    as_json = json.loads(sitebook("show", "weather_station", "VRM00001234", "--json", folder=folder).stdout)
    assert as_json["days"]["temperature_gaps"] == [{"first": "2025-10-03", "last": "2025-10-03"}]


def test_a_revised_file_adds_its_new_days_and_tells_what_it_says_otherwise(
    folder: Path, sitebook: Sitebook
) -> None:
    sitebook("import", "harbour.dly", folder=folder)
    revised = DLY.replace("  127   -9999", "  130       9").replace("   30       0", "   35       0")
    assert revised.count("\n") == DLY.count("\n")
    (folder / "revised.dly").write_text(revised)
    told = sitebook("import", "revised.dly", folder=folder).stdout
    assert "1 weather day" in told
    assert "rain_mm 3.0, the file says 3.5" in told
    assert "rain_mm 12.7, the file says 13.0" in told
    days = json.loads(sitebook("list", "weather_day", "--json", folder=folder).stdout)
    assert [day["rain_mm"] for day in days] == [3.0, 0.0, 12.7, 0.9]


def test_a_station_without_days_and_one_with_many_gaps_are_told_in_few_lines() -> None:
    bare = StationDays("VEN", 0, None, None, 0, 0, 0, 0, (), (), ())
    assert list(weather_words.lines(bare)) == ["no day of this station is known"]
    days = [datetime.date(2025, 10, 1) + datetime.timedelta(days=2 * n) for n in range(15)]
    holes = tuple(Gap(day, day) for day in days[1:-1])
    full = StationDays("VEN", 0, days[0], days[-1], 16, 2, 3, 29, holes, (), ("VEN 2025-10-02: why",) * 12)
    told = list(weather_words.lines(full))
    assert "  2 of them reported for a part of the day only" in told
    assert "  3 more days only as totals of several days" in told
    assert next(line for line in told if line.startswith("rain: ")).endswith(
        "2025-10-21 and 3 more stretches; --json has them all"
    )
    assert told[-1] == "  and 2 more; `sitebook list refused_line` has them all"
