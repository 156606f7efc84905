"""Checks how the text of a cell becomes a number, a yes or no, or a date."""

from __future__ import annotations

import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitebook.intake.cells import CellError, iso_date, number, whole, yes_no


@pytest.mark.parametrize(
    ("text", "value"),
    [("3.5", 3.5), ("3,5", 3.5), (" -0,25 ", -0.25), ("−2", -2.0), ("+7", 7.0), (".5", 0.5), ("1e3", 1000.0)],
)
def test_numbers_with_point_or_comma(text: str, value: float) -> None:
    assert number(text) == value


@pytest.mark.parametrize(
    "text", ["1,234.5", "1.234,5", "1 234", "nan", "inf", "1_0", "٣", "1e999", "5 mm", "--", "0x10"]
)
def test_what_is_no_number_is_refused(text: str) -> None:
    with pytest.raises(CellError, match="is not a number"):
        number(text)


def test_empty_cells_are_none() -> None:
    assert [read(" ") for read in (number, whole, yes_no, iso_date)] == [None] * 4


def test_whole_numbers() -> None:
    assert (whole("3"), whole("3.0"), whole("-2")) == (3, 3, -2)
    with pytest.raises(CellError, match="not a whole number"):
        whole("3.5")


def test_yes_and_no() -> None:
    assert [yes_no(text) for text in ("yes", "TRUE", "1", "y")] == [True] * 4
    assert [yes_no(text) for text in ("No", "false", "0", "n")] == [False] * 4
    with pytest.raises(CellError, match="neither yes nor no"):
        yes_no("perhaps")


@pytest.mark.parametrize(
    "text", ["2024-02-30", "3/10/2024", "2024-1-1", "20240101", "2024-W01-1", "0000-01-01"]
)
def test_other_dates_are_refused(text: str) -> None:
    with pytest.raises(CellError, match="date"):
        iso_date(text)


@given(st.dates())
def test_every_date_written_so_comes_back(day: datetime.date) -> None:
    assert iso_date(day.isoformat()) == day


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_every_number_written_comes_back(value: float) -> None:
    assert number(repr(value)) == value
    assert number(repr(value).replace(".", ",")) == value
