"""Draws the page of fruiting calendars."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from itertools import groupby

from markupsafe import Markup

from sitebook.pages import calendar_words, frame
from sitebook.pages.calendar_strip import strip_svg, week_column
from sitebook.pages.own_parts import rendered, text_of
from sitebook.records.results.season import Calendar, CalendarRow, Choice, WeekChance

__all__ = ["draw_calendar", "strip_svg"]

MOST_ROWS = 300
"""Rows a page holds before those with the fewest looks are left out, about 3 MB."""


@dataclass(frozen=True)
class _DrawnRow:
    """One row as the template shows it."""

    row: CalendarRow
    counts: str
    words: list[str]
    notes: list[str]
    strip: Markup
    weeks: list[dict[str, str]]


ONE_PERCENT = 0.01


def draw_calendar(
    calendar: Calendar,
    *,
    title: str,
    today: datetime.date,
    subtitle: str = "",
    poison_centre: str = "",
    most_rows: int = MOST_ROWS,
) -> str:
    """Draw calendars as one self-contained page that works without scripts.

    Parameters
    ----------
    calendar
        Rows by taxon, then site.
    title
        Heading of the page.
    today
        Day whose week is outlined.
    subtitle
        Line below the heading; empty for one that says what years the looks span.
    poison_centre
        Telephone of the poison centre; empty where none is set.
    most_rows
        Rows shown at most; those with the fewest looks are left out, and the page says how many.
    """
    shown = _most_looked_at(calendar.rows, most_rows)
    groups = [
        {"taxon": rows[0].taxon_name, "key": taxon_id, "rows": [_drawn(row, today) for row in rows]}
        for taxon_id, rows in ((key, list(own)) for key, own in groupby(shown, lambda row: row.taxon_id))
    ]
    body = rendered(
        "calendar.html.j2",
        groups=groups,
        left_out=len(calendar.rows) - len(shown),
        samples=_samples(),
        choices=[{"words": choice.words, "value": _value_in_words(choice)} for choice in calendar.choices],
        week=today.isocalendar().week,
    )
    return frame.page(
        title=title,
        body=body,
        style=text_of("calendar.css"),
        subtitle=subtitle or _years(calendar),
        poison_centre=poison_centre,
    )


def _most_looked_at(rows: tuple[CalendarRow, ...], most: int) -> list[CalendarRow]:
    """Keep the rows with the most looks, in the order they came."""
    ranked = sorted(range(len(rows)), key=lambda at: (-rows[at].looks, -rows[at].finds, at))
    return [rows[at] for at in sorted(ranked[:most])]


def _drawn(row: CalendarRow, today: datetime.date) -> _DrawnRow:
    """Make one row ready for the template."""
    return _DrawnRow(
        row=row,
        counts=calendar_words.counts_in_words(row),
        words=calendar_words.row_in_words(row, today),
        notes=calendar_words.notes(row),
        strip=strip_svg(row, today),
        weeks=[_week_cells(week) for week in row.weeks],
    )


def _week_cells(week: WeekChance) -> dict[str, str]:
    """Give the table cells of one week."""
    around = calendar_words.around(week.iso_week)
    speaks = f"{week.weight:.1f}"
    if week.chance is None or week.low is None or week.high is None:
        return {"week": str(week.iso_week), "around": around, "chance": "", "bar": "", "speaks": speaks}
    bar = f"{_percent(week.low)}–{_percent(week.high)} %"
    return {
        "week": str(week.iso_week),
        "around": around,
        "chance": f"{_percent(week.chance)} %",
        "bar": bar,
        "speaks": speaks,
    }


def _percent(share: float) -> str:
    """Give a share in percent; none is impossible and none certain."""
    if share < ONE_PERCENT:
        return "<1"
    return ">99" if share > 1.0 - ONE_PERCENT else f"{100 * share:.0f}"


def _samples() -> dict[str, Markup]:
    """Draw the columns of the legend."""
    return {
        "often": week_column(WeekChance(1, 0.7, 0.55, 0.82, 14.0)),
        "seldom": week_column(WeekChance(1, 0.15, 0.04, 0.6, 3.5)),
        "unknown": week_column(WeekChance(1, None, None, None, 1.0)),
        "now": week_column(WeekChance(1, 0.4, 0.25, 0.55, 9.0), is_now=True),
    }


def _value_in_words(choice: Choice) -> str:
    """Give a choice's number with unit and source."""
    unit = "" if choice.value.unit == "1" else f" {choice.value.unit}"
    return f"{choice.value.value:g}{unit} ({choice.value.said})"


def _years(calendar: Calendar) -> str:
    """Say which years the looks span."""
    if calendar.first_year is None or calendar.last_year is None:
        return "No looks that count yet"
    if calendar.first_year == calendar.last_year:
        return f"From looks of {calendar.first_year}"
    return f"From looks of {calendar.first_year} to {calendar.last_year}"
