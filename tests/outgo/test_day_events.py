"""A planned day as events: in world time, each stop once, and known again when written anew."""

from __future__ import annotations

import datetime
from dataclasses import replace
from zoneinfo import ZoneInfo

import pytest

from sitebook.outgo.calendar_file import calendar_file
from sitebook.outgo.day_events import day_events
from sitebook.outgo.day_times import instant
from sitebook.quantities import clock
from tests.pages.sample_day import SATURDAY, sample_day

NOW = datetime.datetime(2025, 10, 3, 18, tzinfo=datetime.UTC)


def test_each_stop_is_an_event_in_world_time() -> None:
    first, second, third = day_events(sample_day(), "Europe/Helsinki")
    assert first.starts == datetime.datetime(2025, 10, 4, 6, 21, tzinfo=datetime.UTC)
    assert first.ends == datetime.datetime(2025, 10, 4, 7, 1, tzinfo=datetime.UTC)
    assert first.summary == "1 Ridge Wood (gather)"
    assert "Cantharellus cibarius 40 %, Amanita phalloides under 1 %." in first.description
    assert "Begin at 10:30." in second.description
    assert "Only to look: Class 3" in third.description
    text = calendar_file([first, second, third], now=NOW).decode()
    assert text.count("BEGIN:VEVENT") == 3
    assert "DTSTART:20251004T062100Z" in text


def test_an_event_of_a_kept_plan_is_known_again_and_one_of_another_is_not() -> None:
    day = sample_day()
    keys = [event.uid for event in day_events(day, "UTC")]
    later = replace(day, starts_min=600.0)
    assert [event.uid for event in day_events(later, "UTC")] == keys
    assert not {event.uid for event in day_events(replace(day, foray_uuid="other"), "UTC")} & set(keys)
    assert len(set(keys)) == 3


def test_a_stop_without_length_still_lasts_a_minute() -> None:
    day = sample_day()
    stop = replace(day.plan.route.stops[0], leaves_min=560.2)
    route = replace(day.plan.route, stops=(stop,))
    (event,) = day_events(replace(day, plan=replace(day.plan, route=route)), "UTC")
    assert event.ends == event.starts + datetime.timedelta(minutes=1)


@pytest.mark.parametrize(
    ("on", "minute", "utc"),
    [
        (SATURDAY, 540.0, "2025-10-04T07:00"),
        (datetime.date(2025, 10, 26), 540.0, "2025-10-26T08:00"),
        (datetime.date(2025, 10, 26), 60.0, "2025-10-25T23:00"),
        (SATURDAY, 1441.0, "2025-10-04T22:01"),
    ],
)
@pytest.mark.source(
    item="",
    what="change of clocks in Paris on 26 October 2025",
    value="UTC+2 before 03:00 local time, UTC+1 after",
    source="IANA time zone database, Europe/Paris",
    mark="confirmed",
)
def test_clock_times_count_where_clocks_are_set(on: datetime.date, minute: float, utc: str) -> None:
    found = instant(on, minute, ZoneInfo("Europe/Paris"))
    assert found == datetime.datetime.fromisoformat(f"{utc}+00:00")


def test_times_are_rounded_up() -> None:
    assert clock(560.0) == "09:20"
    assert clock(560.2) == "09:21"
    assert clock(1441.0) == "00:01 the next day"
