"""Lays the weeks of the year out in two halves, cut where no season is torn."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from sitebook.pages.calendar_words import MONTHS
from sitebook.records.results.fruiting import FruitingRow

MONTH_STARTS: Final[tuple[int, ...]] = (0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334)
"""Days before each month in a common year [d]."""

QUARTERS: Final[tuple[range, ...]] = (range(1, 14), range(14, 27), range(27, 40), range(40, 54))
"""ISO weeks of each quarter of the year."""

COLUMNS: Final[int] = 27
"""Columns of half a year; one half has 26 weeks."""

OUTER_WEIGHT: Final[float] = 2.0
"""A season torn between the two ends of a row counts so much more than one torn between its halves."""

WORTH_TURNING: Final[float] = 0.15
"""A row begins in January unless another start tears so much less, in shares of the highest chance."""


@dataclass(frozen=True)
class Half:
    """Half a year of columns.

    Parameters
    ----------
    weeks
        ISO weeks in the order of their columns.
    """

    weeks: tuple[int, ...]

    def column(self, iso_week: int) -> int | None:
        """Give the column of a week, 0 at the left; None where the other half holds it."""
        return self.weeks.index(iso_week) if iso_week in self.weeks else None

    def months(self) -> list[tuple[float, str]]:
        """Give where the months begin that begin here, in columns from the left, with their names."""
        found = []
        for number, start in enumerate(MONTH_STARTS):
            week = start / 7.0 + 1.0
            column = self.column(int(week))
            if column is not None:
                found.append((column + week % 1.0, MONTHS[number]))
        return sorted(found)

    def names(self, room: float) -> list[tuple[float, str]]:
        """Give where the names of months go, and at the left that of the month it begins within.

        Parameters
        ----------
        room
            Columns that a name takes; one that would run out at the right is left to the next half.
        """
        own = [(x, name) for x, name in self.months() if x <= len(self.weeks) - room]
        if own and own[0][0] >= room:
            return [(0.0, MONTHS[MONTHS.index(own[0][1]) - 1]), *own]
        return own

    def turn(self) -> int | None:
        """Give the column at whose left a new year begins; None where it begins at an end of the half."""
        column = self.column(1)
        return column or None


@dataclass(frozen=True)
class YearCut:
    """A year of columns.

    Parameters
    ----------
    halves
        Two halves; the second follows on the first, and the first on the second.
    """

    halves: tuple[Half, Half]

    @property
    def starts_in(self) -> str:
        """Month that the first column belongs to."""
        return ("Jan", "Apr", "Jul", "Oct")[_quarter_of(self.halves[0].weeks[0])]


def cut_from(quarter: int) -> YearCut:
    """Give the year that begins with a quarter, 0 for January."""
    first, second, third, fourth = (tuple(QUARTERS[(quarter + step) % 4]) for step in range(4))
    return YearCut((Half(first + second), Half(third + fourth)))


def best_cut(rows: Sequence[FruitingRow]) -> YearCut:
    """Give the year, begun in January, April, July or October, that tears the seasons of rows least.

    Parameters
    ----------
    rows
        Rows of one taxon, or of several that share a drawing.
    """
    usual = [_usual(rows, week) for week in range(1, 54)]
    enough = WORTH_TURNING * max(usual, default=0.0)
    cuts = [cut_from(quarter) for quarter in range(4)]
    least = min(_torn(cut, usual) for cut in cuts)
    whole = [cut for cut in cuts if _torn(cut, usual) <= least + enough]
    return whole[0] if whole[0].starts_in == "Jan" else max(whole, key=lambda cut: _early(cut, usual))


def by_cut(taxa: Iterable[Sequence[FruitingRow]]) -> list[tuple[YearCut, list[FruitingRow]]]:
    """Sort rows of several taxa by the year that tears each least, January first."""
    sorted_rows: dict[str, tuple[YearCut, list[FruitingRow]]] = {}
    for rows in taxa:
        cut = best_cut(rows)
        sorted_rows.setdefault(cut.starts_in, (cut, []))[1].extend(rows)
    return [sorted_rows[month] for month in ("Jan", "Apr", "Jul", "Oct") if month in sorted_rows]


def _usual(rows: Sequence[FruitingRow], iso_week: int) -> float:
    """Give the mean chance of a week over rows."""
    return sum(row.weeks[iso_week - 1].chance.chance for row in rows) / max(len(rows), 1)


def _torn(cut: YearCut, usual: Sequence[float]) -> float:
    """Say how much of a season stands at the ends of the row and between its halves."""
    outer, inner = cut.halves[0].weeks[0], cut.halves[1].weeks[0]
    return OUTER_WEIGHT * usual[outer - 1] + usual[inner - 1]


def _early(cut: YearCut, usual: Sequence[float]) -> float:
    """Say how much of a season stands in the first half."""
    return sum(usual[week - 1] for week in cut.halves[0].weeks)


def _quarter_of(iso_week: int) -> int:
    return next(number for number, weeks in enumerate(QUARTERS) if iso_week in weeks)
