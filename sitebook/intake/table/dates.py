"""Reads a date, or the interval in which it lies, as people write them."""

from __future__ import annotations

import calendar
import datetime
import re
from dataclasses import dataclass

from sitebook.intake.cells import CellError
from sitebook.records.years import EARLIEST_YEAR, LATEST_YEAR

MONTH_WORDS: dict[str, str] = {
    "English": (
        "january jan|february feb|march mar|april apr|may|june jun|july jul|august aug|"
        "september sept sep|october oct|november nov|december dec"
    ),
    "German": (
        "januar jänner jän|februar feber|märz mär mrz|april|mai|juni|juli|august|"
        "september|oktober okt|november|dezember dez"
    ),
    "French": (
        "janvier janv|février fevrier févr fevr|mars|avril avr|mai|juin|juillet juil|août aout|"
        "septembre|octobre|novembre|décembre decembre déc"
    ),
    "Finnish": (
        "tammikuu tammikuuta|helmikuu helmikuuta|maaliskuu maaliskuuta|huhtikuu huhtikuuta|"
        "toukokuu toukokuuta|kesäkuu kesäkuuta|heinäkuu heinäkuuta|elokuu elokuuta|"
        "syyskuu syyskuuta|lokakuu lokakuuta|marraskuu marraskuuta|joulukuu joulukuuta"
    ),
}
"""Names of the months with their short forms, January first, in each language that is read."""

MONTHS: dict[str, int] = {
    word: number
    for words in MONTH_WORDS.values()
    for number, spellings in enumerate(words.split("|"), start=1)
    for word in spellings.split()
}
SEASON = re.compile(
    r"\b(spring|summer|autumn|fall|winter|frühling|frühjahr|sommer|herbst|printemps|été|automne|hiver|"
    r"kevät|kesä|syksy|talvi)\b",
    re.IGNORECASE,
)
ALLOWED = "write 1994-10-03, 1994-10, 1994, or an interval such as 1994-10-03/1994-10-05"

YEAR_FIRST = re.compile(r"([0-9]{4})(?:([-./])([0-9]{1,2})(?:\2([0-9]{1,2}))?)?")
DAY_FIRST = re.compile(r"([0-9]{1,2})\. ?([0-9]{1,2})\. ?([0-9]{4})")
DAY_MONTH_NAME = re.compile(r"(?:([0-9]{1,2})(?:\.|st|nd|rd|th)? )?([^\W\d_]+)\.?,? ([0-9]{4})")
MONTH_NAME_DAY = re.compile(r"([^\W\d_]+)\.? ([0-9]{1,2})(?:st|nd|rd|th)?,? ([0-9]{4})")
SHORT_END = re.compile(r"(?:([0-9]{2})-)?([0-9]{2})")


@dataclass(frozen=True)
class Interval:
    """The first and the last day on which something may have been; equal for a known day."""

    first: datetime.date
    last: datetime.date

    @property
    def last_if_other(self) -> datetime.date | None:
        """The last day, or None where it is the first."""
        return None if self.last == self.first else self.last


def read_interval(text: str) -> Interval | None:
    """Read a day, a month, a year, or two of them with a slash between.

    With dots the day comes first (3.10.1994 is the third of October). A date with slashes between
    day and month is refused, since it is read both ways. Day or month 00 means not known.

    Parameters
    ----------
    text
        The cell.

    Returns
    -------
    Interval or None
        First and last day; None for an empty cell and for 0000-00-00.

    Raises
    ------
    CellError
        When the text is no date, the date does not exist, or its year is out of reach.
    """
    bare = " ".join(text.split())
    if not bare:
        return None
    single = _single(bare)
    if single is not None:
        return _span(*single, bare)
    start_text, slash, end_text = (part.strip() for part in bare.partition("/"))
    start = _single(start_text) if slash else None
    end = _single(_full_end(start_text, end_text)) if start else None
    if start is None or end is None:
        raise CellError(_why_not(bare))
    first, last = _span(*start, bare), _span(*end, bare)
    if first is None or last is None or last.last < first.first:
        raise CellError(f"{bare!r} ends before it begins")
    return Interval(first.first, last.last)


def read_day(text: str) -> datetime.date | None:
    """Read one whole day, or None for an empty cell; a month or a year raises CellError."""
    interval = read_interval(text)
    if interval is None:
        return None
    if interval.last != interval.first:
        raise CellError(f"{text.strip()!r} is not one day; write it as 1994-10-03")
    return interval.first


def _single(bare: str) -> tuple[int, int, int] | None:
    """Give year, month and day, 0 for a part that is not known."""
    if parts := YEAR_FIRST.fullmatch(bare):
        year, _, month, day = parts.groups(default="0")
        return None if parts[2] == "/" and not parts[4] else (int(year), int(month), int(day))
    if parts := DAY_FIRST.fullmatch(bare):
        return int(parts[3]), int(parts[2]), int(parts[1])
    if parts := MONTH_NAME_DAY.fullmatch(bare):
        day, word, year = parts[2], parts[1], parts[3]
    elif parts := DAY_MONTH_NAME.fullmatch(bare):
        day, word, year = parts[1] or "0", parts[2], parts[3]
    else:
        return None
    month_number = MONTHS.get(word.casefold())
    return (int(year), month_number, int(day)) if month_number else None


def _full_end(start: str, end: str) -> str:
    """Fill an end that leaves out what it shares with the start, as in 1994-10-03/05."""
    parts = SHORT_END.fullmatch(end)
    if parts is None or YEAR_FIRST.fullmatch(start) is None or len(start) != len("1994-10-03"):
        return end
    return f"{start[:4]}-{parts[1] or start[5:7]}-{parts[2]}"


def _span(year: int, month: int, day: int, text: str) -> Interval | None:
    if year == month == day == 0:
        return None
    if not EARLIEST_YEAR.value <= year <= LATEST_YEAR.value:
        raise CellError(
            f"the year in {text!r} is not between {EARLIEST_YEAR.value:.0f} and {LATEST_YEAR.value:.0f}"
        )
    try:
        if day:
            exact = datetime.date(year, month, day)
            return Interval(exact, exact)
        last_month = month or 12
        last = datetime.date(year, last_month, _days_in(year, last_month))
        return Interval(datetime.date(year, month or 1, 1), last)
    except ValueError as reason:
        raise CellError(f"the date {text} does not exist") from reason


def _days_in(year: int, month: int) -> int:
    if not 1 <= month <= 12:
        raise ValueError(month)
    return calendar.monthrange(year, month)[1]


def _why_not(bare: str) -> str:
    if SEASON.search(bare):
        return f"{bare!r}: a season is not the same months everywhere; {ALLOWED}"
    if re.fullmatch(r"[0-9]{1,2}[/-][0-9]{1,2}[/-][0-9]{2,4}", bare):
        return f"{bare!r} is read day first by some and month first by others; {ALLOWED}"
    return f"{bare!r} is not a date; {ALLOWED}"
