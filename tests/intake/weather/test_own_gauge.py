"""Checks that readings of her gauge stand for the days since the one before, never for one day."""

from __future__ import annotations

import datetime
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sitebook.intake.weather import read_weather
from sitebook.records.incoming import Reading


def _read(folder: Path, text: str) -> Reading:
    path = folder / "garden.csv"
    path.write_text(text, "utf-8")
    return read_weather(path)


def _days(reading: Reading) -> list[tuple[object, ...]]:
    return [
        (draft.values["local_date"], draft.values["rain_mm"], draft.values["covers_days"])
        for draft in reading.drafts
        if draft.kind == "weather_day"
    ]


def test_a_reading_covers_the_days_since_the_one_before(tmp_path: Path) -> None:
    reading = _read(
        tmp_path,
        "# rain_day_offset_d: -1\nread_on;rain_mm\n2025-10-10;0\n2025-10-01;4\n2025-10-03;12,5\n"
        "2025-10-20;\n2025-10-21;T\n",
    )
    assert reading.drafts[0].values == {"code": "garden", "own": True, "rain_day_offset_d": -1}
    day = datetime.date(2025, 10, 1)
    assert _days(reading) == [
        (day.replace(day=3), 12.5, 2),
        (day.replace(day=10), 0.0, 7),
        (day.replace(day=21), 0.0, 1),
    ]
    assert [(line.line_number, line.reason) for line in reading.sorted_lines] == [
        (4, "garden 2025-10-01: 4 mm: the first reading, since when it gathered is not known"),
        (6, "garden 2025-10-20: the gauge was emptied and not read"),
    ]


def test_gauges_are_kept_apart_and_inches_are_turned(tmp_path: Path) -> None:
    reading = _read(
        tmp_path, "gauge,read_on,rain_inch\nA,2025-10-01,\nB,2025-10-02,\nA,2025-10-04,1\nB,2025-10-04,2\n"
    )
    assert [draft.values["code"] for draft in reading.drafts[:2]] == ["A", "B"]
    assert [(mm, days) for _, mm, days in _days(reading)] == [(25.4, 3), (50.8, 2)]


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ("2025-10-02,3", "was read on 2025-10-02 already, in line 3: add the two up"),
        ("2025-10-09,-1", "cannot be"),
        ("tomorrow,1", "is not a date"),
        ("2025-10-09,much", "is not a number"),
    ],
)
def test_readings_that_cannot_be_are_refused(tmp_path: Path, row: str, says: str) -> None:
    reading = _read(tmp_path, f"read_on,rain_mm\n2025-10-01,\n2025-10-02,2\n{row}\n")
    (refused,) = reading.refused
    assert says in refused.reason
    assert refused.line_number == 4


READINGS = st.dictionaries(st.integers(0, 200), st.integers(0, 300), min_size=1, max_size=30)


@settings(deadline=None, max_examples=50)
@given(READINGS)
def test_every_day_between_first_and_last_reading_is_covered_once(
    tmp_path_factory: pytest.TempPathFactory, readings: dict[int, int]
) -> None:
    start = datetime.date(2025, 1, 1)
    rows = [f"{start + datetime.timedelta(days=day)},{tenths / 10}" for day, tenths in readings.items()]
    reading = _read(tmp_path_factory.mktemp("gauge"), "read_on,rain_mm\n" + "\n".join(rows) + "\n")
    covered = sum(int(str(days)) for _, _, days in _days(reading))
    assert covered == max(readings) - min(readings)
    first = readings[min(readings)]
    fell_mm = sum(float(str(mm)) for _, mm, _ in _days(reading))
    assert fell_mm == pytest.approx((sum(readings.values()) - first) / 10)
