"""Calendar files keep to the standard: lines, escapes, whole days and instants."""

from __future__ import annotations

import datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sitebook.outgo.calendar_file import Event, calendar_file

NOW = datetime.datetime(2025, 10, 3, 18, 30, tzinfo=datetime.UTC)
DAY = datetime.date(2025, 9, 22)


def lines(event: Event) -> list[str]:
    """Write one event and give its lines, unfolded."""
    text = calendar_file([event], now=NOW).decode("utf-8")
    assert text.endswith("\r\n")
    assert "\n" not in text.replace("\r\n", "")
    return text.replace("\r\n ", "").split("\r\n")


def value(event: Event, name: str) -> str:
    """Give the value of the one property of a name."""
    (found,) = (
        line.split(":", 1)[1] for line in lines(event) if line.partition(":")[0].split(";")[0] == name
    )
    return found


def read(text: str) -> str:
    """Read a text value as a calendar program does."""
    return (
        text.replace("\\\\", "\0")
        .replace("\\n", "\n")
        .replace("\\,", ",")
        .replace("\\;", ";")
        .replace("\0", "\\")
    )


@pytest.mark.source(
    item="",
    what="an event of whole days ends on the day after its last, and its dates bear VALUE=DATE",
    value="DTSTART;VALUE=DATE:19971102 and DTEND;VALUE=DATE:19971103 for one day",
    source="RFC 5545, sections 3.6.1 and 3.3.4 (memory of the text)",
    mark="memory",
)
def test_whole_days_end_on_the_day_after() -> None:
    day = datetime.date(1997, 11, 2)
    found = lines(Event("a@b", day, day, "anniversary"))
    assert "DTSTART;VALUE=DATE:19971102" in found
    assert "DTEND;VALUE=DATE:19971103" in found


def test_instants_are_written_in_utc() -> None:
    zone = datetime.timezone(datetime.timedelta(hours=2))
    starts = datetime.datetime(2025, 10, 4, 9, tzinfo=zone)
    event = Event("a@b", starts, starts + datetime.timedelta(hours=7), "out", lonlat=(-19.4, 48.6))
    assert value(event, "DTSTART") == "20251004T070000Z"
    assert value(event, "DTEND") == "20251004T140000Z"
    assert value(event, "DTSTAMP") == "20251003T183000Z"
    assert value(event, "GEO") == "48.600000;-19.400000"


@pytest.mark.source(
    item="",
    what="octets of a content line, its line end not counted",
    value="75",
    source="RFC 5545, section 3.1 (memory of the text)",
    mark="memory",
)
@settings(max_examples=40, deadline=None)
@given(st.text(max_size=200), st.text(max_size=60))
def test_any_words_come_back_and_no_line_is_too_long(words: str, title: str) -> None:
    event = Event("a@b", DAY, DAY, f"x{title}", f"x{words}", "x, y; z")
    raw = calendar_file([event], now=NOW)
    assert all(len(line) <= 75 for line in raw.split(b"\r\n"))
    raw.decode("utf-8")
    unix = f"x{words}".replace("\r\n", "\n").replace("\r", "\n")
    kept = "".join(sign for sign in unix if (sign >= " " and sign != "\x7f") or sign in "\t\n")
    assert read(value(event, "DESCRIPTION")) == kept
    assert read(value(event, "LOCATION")) == "x, y; z"


def test_a_calendar_begins_and_ends_and_holds_what_each_event_must() -> None:
    found = lines(Event("a@b", DAY, DAY, "weeks"))
    assert found[:2] == ["BEGIN:VCALENDAR", "VERSION:2.0"]
    assert found[-2:] == ["END:VCALENDAR", ""]
    assert any(line.startswith("PRODID:") for line in found)
    assert {"UID", "DTSTAMP", "DTSTART", "SUMMARY"} <= {
        line.partition(":")[0].split(";")[0] for line in found
    }


@pytest.mark.source(
    item="",
    what="an event between instants ends later than it begins, so that one without length is refused",
    value="the end MUST be later in time than the beginning",
    source="RFC 5545, section 3.8.2.2, as icalendar.org gives it",
    mark="secondary",
)
@pytest.mark.parametrize(
    ("starts", "ends"),
    [
        (DAY, DAY - datetime.timedelta(days=1)),
        (NOW, NOW - datetime.timedelta(hours=1)),
        (NOW, NOW),
        (NOW, DAY),
        (NOW.replace(tzinfo=None), NOW.replace(tzinfo=None)),
    ],
)
def test_spans_that_cannot_be_are_refused(starts: datetime.date, ends: datetime.date) -> None:
    with pytest.raises(ValueError, match=r"an (event|instant)"):
        calendar_file([Event("a@b", starts, ends, "x")], now=NOW)
