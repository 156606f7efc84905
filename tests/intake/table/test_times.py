"""Tests that hours become instants in UTC, clock changes included."""

from __future__ import annotations

import datetime
import zoneinfo
from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitebook.intake.cells import CellError
from sitebook.intake.table.times import is_stamp, read_hour, read_instant, read_zone

LISBON = zoneinfo.ZoneInfo("Europe/Lisbon")
DAY = datetime.date(2024, 7, 1)


def _utc(*parts: int) -> datetime.datetime:
    return datetime.datetime(*parts, tzinfo=datetime.UTC)  # type: ignore[arg-type,misc]


@pytest.mark.parametrize(
    ("written", "instant"),
    [
        ("14:30", _utc(2024, 7, 1, 13, 30)),
        ("9.05", _utc(2024, 7, 1, 8, 5)),
        ("2024-07-02T14:30", _utc(2024, 7, 2, 13, 30)),
        ("2024-07-02 14:30:10", _utc(2024, 7, 2, 13, 30, 10)),
        ("2024-07-02T14:30Z", _utc(2024, 7, 2, 14, 30)),
        ("2024-07-02T14:30+02:00", _utc(2024, 7, 2, 12, 30)),
    ],
)
def test_hours_are_local_unless_they_say_otherwise(written: str, instant: datetime.datetime) -> None:
    assert read_instant(written, DAY, LISBON) == instant


@pytest.mark.source(
    item="",
    what="clock change in Portugal, 31 March 2024",
    value="01:00 became 02:00; 27 October 2024, 02:00 became 01:00",
    source="IANA time zone database, Europe/Lisbon",
    mark="confirmed",
)
def test_a_skipped_hour_is_refused_and_a_doubled_one_is_its_first() -> None:
    with pytest.raises(CellError, match="did not exist"):
        read_instant("2024-03-31T01:30", None, LISBON)
    assert read_instant("2024-10-27T01:30", None, LISBON) == _utc(2024, 10, 27, 0, 30)


@pytest.mark.parametrize(
    ("written", "day", "said"),
    [
        ("14:30", None, "needs a single date"),
        ("25:00", DAY, "no hour"),
        ("afternoon", DAY, "not a time"),
        ("2024-07-02T99:99", DAY, "not a time"),
        ("0001-01-01T00:00+14:00", DAY, "outside the calendar"),
    ],
)
def test_no_time_is_refused_in_words(written: str, day: datetime.date | None, said: str) -> None:
    with pytest.raises(CellError, match=said):
        read_instant(written, day, LISBON)


def test_hours_and_zones_of_their_own_columns() -> None:
    assert read_hour("8:00") == datetime.time(8)
    assert read_zone(" Atlantic/Azores ") == "Atlantic/Azores"
    with pytest.raises(CellError, match="14:30"):
        read_hour("dawn")
    with pytest.raises(CellError, match="Nowhere"):
        read_zone("Nowhere/Land")


@given(st.text(max_size=30))
def test_any_text_is_an_instant_or_refused(written: str) -> None:
    with suppress(CellError):
        assert read_instant(written, DAY, LISBON).tzinfo is datetime.UTC


def test_a_stamp_is_told_from_an_hour() -> None:
    assert is_stamp("2024-07-02T14:30")
    assert not is_stamp("14:30")
    assert not is_stamp("2024-07-02")
