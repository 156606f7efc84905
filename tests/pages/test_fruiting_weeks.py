"""The order of weeks: every week once, months in their place, and no season torn."""

from __future__ import annotations

import datetime
import itertools

import pytest

from sitebook.pages.fruiting_weeks import best_cut, by_cut, cut_from
from sitebook.pages.tree_years import label_of, year_of
from tests.pages.sample_fruiting import HUMPS, row, spot


@pytest.mark.parametrize("quarter", range(4))
def test_every_week_stands_once_and_in_order(quarter: int) -> None:
    first, second = cut_from(quarter).halves
    weeks = first.weeks + second.weeks
    assert sorted(weeks) == list(range(1, 54))
    assert all(b == a % 53 + 1 for a, b in itertools.pairwise(weeks))
    assert {len(first.weeks), len(second.weeks)} == {26, 27}
    months = [name for half in (first, second) for _, name in half.months()]
    assert len(months) == 12
    turns = [half.turn() for half in (first, second) if half.turn()]
    assert len(turns) == (1 if quarter in {1, 3} else 0)


@pytest.mark.parametrize(
    ("name", "starts_in"),
    [
        ("Leccinum scabrum", "Jan"),
        ("Marasmius oreades", "Jan"),
        ("Flammulina velutipes", "Oct"),
        ("Laetiporus sulphureus", "Apr"),
    ],
)
def test_no_season_is_torn(name: str, starts_in: str) -> None:
    here = row(spot(1), HUMPS[name])
    cut = best_cut([here])
    assert cut.starts_in == starts_in
    top = max(week.chance.chance for week in here.weeks)
    ends = [here.weeks[half.weeks[at] - 1].chance.chance for half in cut.halves for at in (0, -1)]
    assert max(ends) < 0.25 * top


def test_a_taxon_without_a_season_begins_in_january() -> None:
    assert best_cut([row(spot(1), ((26, 900.0, 0.4),))]).starts_in == "Jan"
    assert best_cut([]).starts_in == "Jan"


def test_taxa_of_one_spot_part_by_the_year_that_suits_them() -> None:
    rows = [[row(spot(1), HUMPS[name])] for name in sorted(HUMPS)]
    assert [(cut.starts_in, len(own)) for cut, own in by_cut(rows)] == [("Jan", 2), ("Apr", 1), ("Oct", 1)]


@pytest.mark.parametrize(
    ("quarter", "day", "label"),
    [
        (0, datetime.date(2023, 12, 31), "2023"),
        (0, datetime.date(2024, 1, 1), "2024"),
        (3, datetime.date(2023, 11, 20), "2023/24"),
        (3, datetime.date(2024, 1, 4), "2023/24"),
        (3, datetime.date(2024, 9, 20), "2023/24"),
        (3, datetime.date(1999, 10, 20), "1999/00"),
    ],
)
def test_a_day_stands_on_the_line_of_its_year(quarter: int, day: datetime.date, label: str) -> None:
    cut = cut_from(quarter)
    assert label_of(year_of(day, cut), cut) == label
