"""Draws rows of weeks: how many of ten looks, how far off that may be, and when it was looked for."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from markupsafe import Markup

from sitebook.pages.fruiting_weeks import COLUMNS, Half
from sitebook.pages.own_parts import rendered
from sitebook.pages.palette import COLOURS
from sitebook.pages.svg_shapes import tidy
from sitebook.records.results.fruiting import FruitingRow, FruitingWeek

CELL = 13.0
NUMBER = 16.0
PLOT = 22.0
DOTS = 9.0
HEIGHT = NUMBER + PLOT + DOTS
TEXT = 12
AXIS = 46.0
MONTH_ROOM = 1.6
"""Columns that the name of a month takes."""
NOW_ROOM = 8
"""Columns that the name of this week takes."""
LEVELS = tuple(NUMBER + 1.0 + (PLOT - 2.0) * share for share in (0.0, 0.5, 1.0))
"""Heights of ten, five and none of ten looks in the plot of the bars."""

SET = 'text-anchor="middle" font-weight="600"'
MANY = 5
"""From so many of ten looks a cell is dark."""


@dataclass(frozen=True)
class GridRow:
    """One row of a grid.

    Parameters
    ----------
    name
        What stands beside it.
    said
        Lines below the name.
    cells
        Draws what falls into a half of the year.
    is_taxon
        Whether the name is that of a taxon, set in italics.
    """

    name: str
    said: tuple[str, ...]
    cells: Callable[[Half], Markup]
    is_taxon: bool = False


def week_row(
    name: str, said: tuple[str, ...], row: FruitingRow, this_week: int, *, is_taxon: bool = False
) -> GridRow:
    """Give the row of a grid that shows a usual year, the column of this week outlined."""
    return GridRow(name, said, lambda half: cells_svg(row.weeks, half, this_week), is_taxon)


def grid(rows: Sequence[GridRow], halves: Sequence[Half], this_week: int, *, wide: bool = True) -> Markup:
    """Draw rows below one axis; needs `fruiting.css` and no script.

    On a desk the halves of the year lie side by side and the names before them; on a phone the second
    half lies below the first, and names stand over the weeks.

    Parameters
    ----------
    rows
        Rows of the grid.
    halves
        Halves of the year to draw.
    this_week
        ISO week outlined; 0 for none.
    wide
        Whether it may spread over a desk's width; False for the pane of a map.
    """
    drawn = [
        {
            "axis": axis_svg(half, this_week),
            "cells": [row.cells(half) for row in rows],
            "columns": len(half.weeks),
        }
        for half in halves
    ]
    return rendered("fruiting_grid.html.j2", rows=rows, halves=drawn, wide=wide, most=COLUMNS)


def is_still(rows: Sequence[FruitingRow], half: Half) -> bool:
    """Tell whether a half of the year has no look and under one of ten in every week."""
    weeks = [row.weeks[week - 1] for row in rows for week in half.weeks]
    return not any(week.looks or tenths(week.chance.chance) for week in weeks)


def tenths(chance: float) -> int:
    """Give of ten looks how many meet at least one; 9 is the most that is ever said."""
    return min(9, round(10.0 * chance))


def cells_svg(weeks: Sequence[FruitingWeek], half: Half, this_week: int) -> Markup:
    """Draw the weeks of one row that fall in a half of the year."""
    shown = [weeks[week - 1] for week in half.weeks]
    parts = [
        ground(half),
        _grounds(shown),
        _bars(shown),
        _numbers(shown),
        _looks(shown),
        now_edges(half, this_week, HEIGHT),
    ]
    return row_svg(half, HEIGHT, "".join(parts))


def axis_svg(half: Half, this_week: int) -> Markup:
    """Draw the months, every fourth week's number and the name of this week."""
    months = "".join(
        f'<text x="{tidy(x * CELL + 2)}" y="40">{name}</text>' for x, name in half.names(MONTH_ROOM)
    )
    halo = f'stroke="{COLOURS["paper"]}" stroke-width="4" paint-order="stroke"'
    now = half.column(this_week)
    ticks = "".join(f"M{tidy(x * CELL)} 30V{AXIS:g}" for x, _ in half.months())
    parts = [
        f'<path fill="none" stroke="{COLOURS["line"]}" d="{ticks}"/>',
        now_edges(half, this_week, AXIS, top=29.0),
        f'<g font-weight="600" {halo}>{months}</g>',
        f'<g fill="{COLOURS["faded"]}" text-anchor="middle">{_week_numbers(half)}</g>',
        "" if now is None else _now(half, now),
    ]
    return row_svg(half, AXIS, "".join(parts))


def sample(week: FruitingWeek, *, is_now: bool = False) -> Markup:
    """Draw one week alone, twice as large, as the legend shows it."""
    half = Half((1,))
    inner = ground(half) + _grounds([week]) + _bars([week]) + _numbers([week]) + _looks([week])
    inner += now_edges(half, 1, HEIGHT) if is_now else ""
    edge = f'<path fill="{COLOURS["card"]}" stroke="{COLOURS["line"]}" d="M0 0h{CELL:g}v{HEIGHT:g}H0z"/>'
    wide, high = CELL + 4, HEIGHT + 4
    size = f'width="{2 * wide:g}" height="{2 * high:g}" viewBox="-2 -2 {wide:g} {high:g}"'
    return Markup(f'<svg class="sample" {size} font-size="{TEXT}" aria-hidden="true">{edge}{inner}</svg>')  # noqa: S704 (numbers)


def row_svg(half: Half, height: float, inner: str) -> Markup:
    """Put what was drawn of half a year into its element, which the other half joins without a seam."""
    box = f'viewBox="0 0 {CELL * len(half.weeks):g} {height:g}"'
    return Markup(f'<svg {box} font-size="{TEXT}" aria-hidden="true">{inner}</svg>')  # noqa: S704 (numbers and our own words)


def _now(half: Half, now: int) -> str:
    """Write over the column of this week, to the left of it where there is no room to the right."""
    anchor, shift = ("start", 0.0) if now + NOW_ROOM <= len(half.weeks) else ("end", 1.0)
    place = f'x="{tidy((now + shift) * CELL)}" y="11" text-anchor="{anchor}"'
    return f'<text {place} font-weight="600">this week ({half.weeks[now]})</text>'


def ground(half: Half, height: float = HEIGHT, levels: Sequence[float] = LEVELS) -> str:
    """Draw the ground, the ends of months, lines across at some heights, and the turn of the year."""
    right = CELL * len(half.weeks)
    across = "".join(f"M0 {level:g}H{right:g}" for level in levels)
    ends = "".join(f"M{tidy(x * CELL)} 0V{height:g}" for x, _ in half.months())
    turn, dashed = half.turn(), f'stroke="{COLOURS["ink"]}" stroke-width="1.2" stroke-dasharray="4 2"'
    new_year = f'<path {dashed} d="M{turn * CELL:g} 0V{height:g}"/>' if turn else ""
    return (
        f'<path fill="{COLOURS["card"]}" d="M0 0H{right:g}V{height:g}H0z"/>'
        f'<path fill="none" stroke="{COLOURS["line"]}" stroke-width=".5" d="{across}{ends}"/>{new_year}'
    )


def _y(share: float) -> float:
    """Give the height at which a share stands in the plot of the bars."""
    return NUMBER + 1.0 + (PLOT - 2.0) * (1.0 - share)


def _grounds(shown: Sequence[FruitingWeek]) -> str:
    """Draw the grounds of the numbers: washed or dark from looks, hollow with a dashed edge from books."""
    drawn = ""
    for kind, style in (
        ("some", f'fill="{COLOURS["plum-wash"]}"'),
        ("many", f'fill="{COLOURS["plum"]}"'),
        ("books", f'fill="none" stroke="{COLOURS["plum"]}" stroke-width="1.2" stroke-dasharray="2 1.6"'),
    ):
        outline = "".join(_box(first, count) for first, count in _runs(shown, kind))
        drawn += f'<path {style} d="{outline}"/>' if outline else ""
    return drawn


def _box(first: int, count: int) -> str:
    """Give the outline of the numbers of some columns."""
    wide = tidy(CELL * count - 1.4)
    return f"M{tidy(CELL * first + 0.7)} 1h{wide}v{NUMBER - 2:g}h-{wide}z"


def _kind(week: FruitingWeek) -> str:
    """Say what ground the number of a week has."""
    number = tenths(week.chance.chance)
    if number == 0:
        return ""
    if week.chance.mostly_from_books:
        return "books"
    return "many" if number >= MANY else "some"


def _runs(shown: Sequence[FruitingWeek], kind: str) -> Iterator[tuple[int, int]]:
    """Give first column and length of each run of weeks with one kind of ground."""
    at = 0
    for found, run in groupby(shown, key=_kind):
        count = len(list(run))
        if found == kind:
            yield at, count
        at += count


def _bars(shown: Sequence[FruitingWeek]) -> str:
    """Draw the bars from the low to the high end."""
    bars = "".join(
        f"M{tidy(CELL * (at + 0.5))} {tidy(_y(week.chance.low))}V{tidy(_y(week.chance.high))}"
        for at, week in enumerate(shown)
    )
    return f'<path fill="none" stroke="{COLOURS["faded"]}" stroke-width="4" d="{bars}"/>'


def _numbers(shown: Sequence[FruitingWeek]) -> str:
    """Write of ten looks how many, each in its cell; nothing for under one."""
    groups = (
        ("ink", [week for week in shown if _kind(week) in {"some", "books"}]),
        ("night-text", [week for week in shown if _kind(week) == "many"]),
    )
    place = {week.iso_week: at for at, week in enumerate(shown)}
    drawn = ""
    for colour, weeks in groups:
        if weeks:
            xs = " ".join(tidy(CELL * (place[week.iso_week] + 0.5)) for week in weeks)
            digits = "".join(str(tenths(week.chance.chance)) for week in weeks)
            drawn += f'<text fill="{COLOURS[colour]}" {SET} x="{xs}" y="12.4">{digits}</text>'
    return drawn


def _looks(shown: Sequence[FruitingWeek]) -> str:
    """Draw a ring for a week looked in without a find, and a full dot for one with a find."""
    looked = "".join(_dot(at) for at, week in enumerate(shown) if week.looks)
    empty = "".join(_dot(at) for at, week in enumerate(shown) if week.looks and not week.looks_with_find)
    drawn = ""
    for colour, width, places in (("ink", 6.4, looked), ("card", 3.6, empty)):
        if places:
            pen = f'stroke="{COLOURS[colour]}" stroke-width="{width}" stroke-linecap="round"'
            drawn += f'<path {pen} d="{places}"/>'
    return drawn


def _dot(at: int) -> str:
    return f"M{tidy(CELL * (at + 0.5))} {tidy(NUMBER + PLOT + DOTS / 2)}h0"


def now_edges(half: Half, this_week: int, height: float, *, top: float = 0.0) -> str:
    """Draw both edges of the column of this week."""
    column = half.column(this_week)
    if column is None:
        return ""
    left = CELL * column
    edges = f"M{left:g} {top:g}V{height:g}m{CELL:g} 0V{top:g}"
    return f'<path fill="none" stroke="{COLOURS["ink"]}" stroke-width="1.8" d="{edges}"/>'


def _week_numbers(half: Half) -> str:
    """Write every fourth week's number, but not where it would run out of the half."""
    return "".join(
        f'<text x="{tidy(CELL * (at + 0.5))}" y="25">{week}</text>'
        for at, week in enumerate(half.weeks)
        if week % 4 == 1 and week != max(half.weeks)
    )
