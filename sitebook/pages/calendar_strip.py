"""Draws one row of a calendar as two half-year strips of ISO weeks."""

from __future__ import annotations

import datetime
import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby

from markupsafe import Markup

from sitebook.pages.calendar_words import MONTHS, counts_in_words, row_in_words
from sitebook.pages.palette import COLOURS
from sitebook.records.results.season import CalendarRow, WeekChance

CELL = 12.0
LEFT = 21.0
TOP = 18.0
PLOT = 60.0
BELOW = 33.0
TEXT = 13
HATCH_STEP = 6.0
WIDEST_DOT = 5.4
SMALLEST_DOT = 1.8
HALVES = (range(1, 27), range(27, 54))
WIDTH = LEFT + CELL * len(HALVES[1]) + 1.0
HEIGHT = TOP + PLOT + BELOW
MONTH_STARTS = (0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334, 365)


def strip_svg(row: CalendarRow, today: datetime.date) -> Markup:
    """Draw the 53 weeks of one row; needs no style sheet and no script.

    Two drawings of half a year stand in one element of class `strip`, so that they lie side by side
    where there is room and below each other on a phone. Screen readers hear a summary in words.

    Parameters
    ----------
    row
        One taxon at one site.
    today
        Day whose week is outlined.
    """
    said = " ".join(
        [f"{row.taxon_name}, {row.site_name}.", f"{counts_in_words(row)}.", *row_in_words(row, today)]
    )
    halves = "".join(_half(row.weeks, half, today.isocalendar().week) for half in HALVES)
    return Markup('<div class="strip" role="img" aria-label="{}">{}</div>').format(said, Markup(halves))  # noqa: S704 (numbers and our own words)


def week_column(week: WeekChance, *, is_now: bool = False) -> Markup:
    """Draw one week alone, as the legend shows it."""
    shown = _cells([week], week.iso_week, week.iso_week if is_now else 0)
    size = f'width="{CELL * 2:g}" height="{(PLOT + 4) * 2 * 0.7:g}"'
    box = f'viewBox="{LEFT - 2:g} {TOP - 2:g} {CELL + 4:g} {PLOT + 4:g}"'
    outline = _column(week.iso_week, week.iso_week)
    edge = f'<path fill="{COLOURS["card"]}" stroke="{COLOURS["line"]}" d="{outline}"/>'
    return Markup(f'<svg class="sample" {size} {box} aria-hidden="true">{edge}{shown}</svg>')  # noqa: S704 (numbers)


def _half(weeks: Sequence[WeekChance], half: range, now: int) -> str:
    """Draw one half of the year."""
    shown = [week for week in weeks if week.iso_week in half]
    parts = [_frame(half), _cells(shown, half[0], now), _axis(), _months(half), _week_numbers(half)]
    if now in half:
        parts.append(_now_label(half, now))
    size = f'viewBox="0 0 {WIDTH:g} {HEIGHT:g}" width="100%" style="display:block" font-size="{TEXT}"'
    return f'<svg {size} aria-hidden="true"><g fill="{COLOURS["ink"]}">{"".join(parts)}</g></svg>'


def _x(iso_week: float, first: int) -> float:
    """Give the left edge of a week, or of a share of one."""
    return LEFT + CELL * (iso_week - first)


def _y(chance: float) -> float:
    """Give the height a chance stands at."""
    return TOP + PLOT * (1.0 - chance)


def _frame(half: range) -> str:
    """Draw the ground, the lines at 0, 5 and 10 of ten, and the ends of months."""
    right = _x(half[-1] + 1, half[0])
    ground = f'<path fill="{COLOURS["card"]}" d="M{LEFT:g} {TOP:g}H{right:g}V{TOP + PLOT:g}H{LEFT:g}z"/>'
    levels = "".join(f"M{LEFT:g} {_y(level):g}H{right:g}" for level in (0.0, 0.5, 1.0))
    ends = "".join(f"M{x:.1f} {TOP:g}v{PLOT + 5:g}" for x in _month_ends(half))
    return f'{ground}<path fill="none" stroke="{COLOURS["line"]}" stroke-width=".7" d="{levels}{ends}"/>'


def _cells(weeks: Sequence[WeekChance], first: int, now: int) -> str:
    """Draw the week of today, the hatch, the bars and the dots."""
    known = [week for week in weeks if week.chance is not None]
    unknown = [week.iso_week for week in weeks if week.chance is None]
    hatch = "".join(_hatch(_x(run[0], first), CELL * len(run)) for run in _runs(unknown))
    bars = "".join(_bar(week, first) for week in known)
    dots = "".join(_dot(week, first) for week in known)
    faded = f'fill="none" stroke="{COLOURS["faded"]}"'
    return "".join(
        [
            _now_ground(now, first) if any(week.iso_week == now for week in weeks) else "",
            f'<path {faded} stroke-width=".7" d="{hatch}"/>' if hatch else "",
            f'<path {faded} stroke-width="2" d="{bars}"/>' if bars else "",
            f'<g fill="{COLOURS["plum"]}" stroke="{COLOURS["card"]}" stroke-width=".8">{dots}</g>'
            if dots
            else "",
            _now_outline(now, first) if any(week.iso_week == now for week in weeks) else "",
        ]
    )


def _runs(numbers: Iterable[int]) -> Iterator[list[int]]:
    """Part rising numbers into runs without a gap."""
    for _, run in groupby(enumerate(numbers), key=lambda pair: pair[1] - pair[0]):
        yield [number for _, number in run]


def _hatch(left: float, width: float) -> str:
    """Give slanted lines that fill a part of the plot."""
    lines = []
    for step in range(1, math.ceil((width + PLOT) / HATCH_STEP)):
        along = step * HATCH_STEP
        start = (left + max(0.0, along - PLOT), TOP + min(along, PLOT))
        end = (left + min(along, width), TOP + max(0.0, along - width))
        lines.append(f"M{start[0]:g} {start[1]:g}L{end[0]:g} {end[1]:g}")
    return "".join(lines)


def _bar(week: WeekChance, first: int) -> str:
    """Give the bar from the low to the high end."""
    middle = _x(week.iso_week + 0.5, first)
    return f"M{middle:g} {_y(week.low or 0.0):.1f}V{_y(week.high or 0.0):.1f}"


def _dot(week: WeekChance, first: int) -> str:
    """Draw the dot; its area grows with the chance."""
    chance = week.chance or 0.0
    radius = max(SMALLEST_DOT, WIDEST_DOT * math.sqrt(chance))
    return f'<circle cx="{_x(week.iso_week + 0.5, first):g}" cy="{_y(chance):.1f}" r="{radius:.1f}"/>'


def _now_ground(now: int, first: int) -> str:
    """Tint the column of this week."""
    return f'<path fill="{COLOURS["sea-wash"]}" d="{_column(now, first)}"/>'


def _now_outline(now: int, first: int) -> str:
    """Outline the column of this week."""
    return f'<path fill="none" stroke="{COLOURS["ink"]}" stroke-width="1.8" d="{_column(now, first)}"/>'


def _column(iso_week: int, first: int) -> str:
    """Give the outline of one week's column."""
    return f"M{_x(iso_week, first):g} {TOP:g}h{CELL:g}v{PLOT:g}h-{CELL:g}z"


def _now_label(half: range, now: int) -> str:
    """Write over the column of this week, leaning inwards at either end."""
    share = (now - half[0]) / len(half)
    anchor, shift = ("start", 0.0) if share < 0.2 else ("end", 1.0) if share > 0.8 else ("middle", 0.5)
    x = _x(now + shift, half[0])
    return f'<text x="{x:g}" y="{TOP - 5:g}" text-anchor="{anchor}" font-weight="600">this week</text>'


def _axis() -> str:
    """Write the scale: how many of ten looks."""
    marks = ((1.0, "10"), (0.5, "5"), (0.0, "0"))
    texts = "".join(f'<text x="{LEFT - 4:g}" y="{_y(level) + 4:g}">{said}</text>' for level, said in marks)
    return f'<g text-anchor="end">{texts}</g>'


def _month_ends(half: range) -> list[float]:
    """Give where months begin and end within a half of the year."""
    ends = [_x(start / 7.0 + 1.0, half[0]) for start in MONTH_STARTS]
    return [x for x in ends if LEFT <= x <= _x(half[-1] + 1, half[0])]


def _months(half: range) -> str:
    """Write the months below their weeks."""
    texts = []
    for number in range(6) if half[0] == 1 else range(6, 12):
        middle = (MONTH_STARTS[number] + MONTH_STARTS[number + 1]) / 2.0
        texts.append(
            f'<text x="{_x(middle / 7.0 + 1.0, half[0]):.1f}" y="{TOP + PLOT + 15:g}">{MONTHS[number]}</text>'
        )
    return f'<g text-anchor="middle" font-weight="600">{"".join(texts)}</g>'


def _week_numbers(half: range) -> str:
    """Write every fourth week's number."""
    y = TOP + PLOT + 30
    numbers = [week for week in half if week % 4 == 1]
    texts = "".join(f'<text x="{_x(week + 0.5, half[0]):g}" y="{y:g}">{week}</text>' for week in numbers)
    return f'<g text-anchor="middle" fill="{COLOURS["faded"]}">{texts}</g>'
