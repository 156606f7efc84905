"""Tests that dates and intervals are read as written, or refused in words."""

from __future__ import annotations

import datetime
from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitebook.intake.cells import CellError
from sitebook.intake.table.dates import MONTH_WORDS, MONTHS, read_day, read_interval

OCTOBER = (datetime.date(1994, 10, 1), datetime.date(1994, 10, 31))
THIRD = (datetime.date(1994, 10, 3), datetime.date(1994, 10, 3))
YEAR = (datetime.date(1994, 1, 1), datetime.date(1994, 12, 31))


@pytest.mark.parametrize(
    ("written", "first_and_last"),
    [
        ("1994-10-03", THIRD),
        ("1994/10/03", THIRD),
        ("3.10.1994", THIRD),
        ("03. 10. 1994", THIRD),
        ("3 Oct 1994", THIRD),
        ("October 3, 1994", THIRD),
        ("3rd October 1994", THIRD),
        ("3. Oktober 1994", THIRD),
        ("3 octobre 1994", THIRD),
        ("3. lokakuuta 1994", THIRD),
        ("Oct 1994", OCTOBER),
        ("Okt. 1994", OCTOBER),
        ("lokakuu 1994", OCTOBER),
        ("1994-10", OCTOBER),
        ("1994-10-00", OCTOBER),
        ("1994", YEAR),
        ("1994-00-00", YEAR),
        ("Feb 1996", (datetime.date(1996, 2, 1), datetime.date(1996, 2, 29))),
        ("1994-10-03/1994-10-05", (THIRD[0], datetime.date(1994, 10, 5))),
        ("1994-10-03/05", (THIRD[0], datetime.date(1994, 10, 5))),
        ("1994-10-03/11-05", (THIRD[0], datetime.date(1994, 11, 5))),
        ("1994-10/1994-11", (OCTOBER[0], datetime.date(1994, 11, 30))),
        ("1994/1995", (YEAR[0], datetime.date(1995, 12, 31))),
    ],
)
def test_dates_as_people_write_them(
    written: str, first_and_last: tuple[datetime.date, datetime.date]
) -> None:
    interval = read_interval(written)
    assert interval is not None
    assert (interval.first, interval.last) == first_and_last


@pytest.mark.parametrize("written", ["", "  ", "0000-00-00"])
def test_an_unknown_date_is_none(written: str) -> None:
    assert read_interval(written) is None


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("autumn 1994", "season"),
        ("Herbst 1994", "season"),
        ("3/10/1994", "month first by others"),
        ("23/10/1994", "month first by others"),
        ("03-10-94", "month first by others"),
        ("1994-02-30", "does not exist"),
        ("1994-13-01", "does not exist"),
        ("31.11.1994", "does not exist"),
        ("1650-01-01", "between 1700 and 2200"),
        ("9999-01-01", "between 1700 and 2200"),
        ("1994-10-05/1994-10-03", "ends before it begins"),
        ("last week", "write 1994-10-03"),
        ("c. 1994", "write 1994-10-03"),
        ("1994/10", "write 1994-10-03"),
    ],
)
def test_other_dates_are_refused_in_words(written: str, said: str) -> None:
    with pytest.raises(CellError, match=said):
        read_interval(written)


def test_a_single_day_is_wanted_where_no_interval_fits() -> None:
    assert read_day("1994-10-03") == THIRD[0]
    with pytest.raises(CellError, match="not one day"):
        read_day("Oct 1994")


@pytest.mark.parametrize("language", list(MONTH_WORDS))
def test_every_language_names_twelve_months(language: str) -> None:
    assert len(MONTH_WORDS[language].split("|")) == 12


def test_no_month_word_means_two_months() -> None:
    spelled = [
        (w, n)
        for words in MONTH_WORDS.values()
        for n, ws in enumerate(words.split("|"), 1)
        for w in ws.split()
    ]
    assert all(MONTHS[word] == number for word, number in spelled)


@given(st.dates(min_value=datetime.date(1700, 1, 1), max_value=datetime.date(2200, 12, 31)))
def test_every_day_is_read_back(day: datetime.date) -> None:
    for written in (day.isoformat(), f"{day.day}.{day.month}.{day.year}", f"{day.day} {day:%b} {day.year}"):
        interval = read_interval(written)
        assert interval is not None
        assert interval.first == interval.last == day


@given(st.text(max_size=30))
def test_any_text_is_a_date_or_refused(written: str) -> None:
    with suppress(CellError):
        interval = read_interval(written)
        assert interval is None or interval.first <= interval.last
