"""Chances at trees and sites in a usual week and on a day, and how years of a season are cut."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest

from sitebook.analysis.season import calendar_rows, model, spots, spreads
from sitebook.analysis.season.design import NONE, PRESENCE_ONLY
from sitebook.analysis.season.placed import placed
from sitebook.analysis.season.prior import MonthSpan, SeasonPrior, season_prior
from sitebook.analysis.season.simpler import SIMPLER
from sitebook.analysis.season.spot_looks import SpotLook
from sitebook.analysis.season.spots import Fitted
from sitebook.analysis.season.weather_effect import effect_told
from sitebook.records.results.fruiting import SEASON_MODEL, Spot

BOLETE, SITE, OTHER, BIRCH, OAK = 7, 1, 2, 11, 12
GREEN = Spot(SITE, None, "Green")
TREE = Spot(SITE, BIRCH, "Green", "B1", 90, "Betula pendula")
BARE = Spot(SITE, OAK, "Green", "O1", 91, "Quercus robur")
KNOWN = {(spot.site_id, spot.tree_id): spot for spot in (GREEN, TREE, BARE, Spot(OTHER, None, "Hanger"))}
AUTUMN = season_prior([MonthSpan(8, 10)])
WINTER = season_prior([MonthSpan(11, 2)])


def dry(_: int | None, dates: Sequence[datetime.date]) -> spots.WeatherSeen:
    """Know no weather."""
    return np.full((len(dates), 3), np.nan), np.zeros(len(dates), np.int64)


def wet(_: int | None, dates: Sequence[datetime.date]) -> spots.WeatherSeen:
    """Know very wet weather."""
    return np.tile([2.0, 2.0, 0.0], (len(dates), 1)), np.zeros(len(dates), np.int64)


def look(year: int, month: int, tree_id: int | None, *, found: bool | None) -> SpotLook:
    """Make a look of a quarter of an hour at the green."""
    return SpotLook(BOLETE, SITE, tree_id, datetime.date(year, month, 15), 15.0, found)


def fitted(looks: Sequence[SpotLook], prior: SeasonPrior = AUTUMN, way: str = SEASON_MODEL) -> Fitted:
    """Fit some looks."""
    made = spots.made_looks(looks, KNOWN, prior, dry)
    fit = model.fit(made, prior)
    return Fitted(BOLETE, "Boletus edulis", False, False, prior, tuple(looks), made, fit, way, "")  # noqa: FBT003


LOOKS = [
    look(year, month, tree, found=month in (9, 10) and tree == BIRCH)
    for year in (2022, 2023, 2024)
    for month in range(6, 12)
    for tree in (BIRCH, OAK, None)
]


def test_a_bearing_tree_is_likelier_than_one_that_never_bore_and_both_follow_the_season() -> None:
    usual = spots.usual_year(fitted(LOOKS), [GREEN, TREE, BARE])
    assert usual.chance.shape == (3, 53)
    assert usual.chance[1, 38] > usual.chance[2, 38]
    assert usual.chance[1, 38] > usual.chance[1, 8]
    assert np.all(usual.low <= usual.chance)
    assert np.all(usual.chance <= usual.high)


def test_a_wet_spell_raises_the_chance_of_a_day_and_is_heeded_nowhere_in_a_usual_year() -> None:
    known = fitted(LOOKS)
    day = [datetime.date(2025, 9, 20)]
    assert (
        spots.on_days(known, [TREE], day, wet).chance[0, 0]
        > spots.on_days(known, [TREE], day, dry).chance[0, 0]
    )


def test_watered_ground_is_not_moved_by_rain() -> None:
    known, day = fitted(LOOKS), [datetime.date(2025, 9, 20)]
    watered = replace(TREE, irrigated=True)
    damp, parched = (spots.on_days(known, [watered], day, weather).chance for weather in (wet, _parched))
    assert damp == pytest.approx(parched)


def _parched(_: int | None, dates: Sequence[datetime.date]) -> spots.WeatherSeen:
    return np.tile([-2.0, -2.0, 0.0], (len(dates), 1)), np.zeros(len(dates), np.int64)


def test_without_looks_the_chance_is_mostly_from_books_and_no_day_is_impossible() -> None:
    usual = spots.usual_year(fitted([]), [GREEN])
    assert usual.mostly_from_books.all()
    assert np.all(usual.chance > 0.0)


@pytest.mark.parametrize("way", list(SIMPLER))
def test_a_simpler_way_parts_places_as_looks_do_and_knows_least_where_nobody_looked(way: str) -> None:
    known = fitted(LOOKS, way=way)
    where = [TREE, BARE, Spot(OTHER, None, "Hanger")]
    usual = spots.usual_year(known, where)
    tree, bare, unseen = np.log(usual.chance.max(axis=1))
    assert bare < unseen < tree
    assert np.all((usual.low < usual.chance) & (usual.chance < usual.high))
    assert usual.mostly_from_books[2].all()
    widths = np.log(usual.high / usual.low)
    assert np.all(widths[2] > widths[:2])


@pytest.mark.parametrize("way", list(SIMPLER))
def test_places_parted_keep_the_finds_that_a_simpler_way_tells_in_all(way: str) -> None:
    known = fitted(LOOKS)
    plain = SIMPLER[way](known.made, known.made.at, AUTUMN).sum()
    parted = placed(way, known.fit, known.made, known.made.at).chance.sum()
    assert parted == pytest.approx(plain, rel=0.15)


def test_weather_is_told_only_where_it_is_in_the_chance() -> None:
    damp = np.array([2.0, 2.0, 0.0])
    told = effect_told(fitted(LOOKS), damp)
    assert told is not None
    assert told.times > 1.0
    assert effect_told(fitted(LOOKS), damp, days_ahead=40) is None
    assert effect_told(fitted(LOOKS, way="pooled ratio"), damp) is None


def test_presence_only_records_share_a_site_of_their_own() -> None:
    only = [SpotLook(BOLETE, None, None, datetime.date(2020, 9, 1), None, found=True, effort_assumed=True)]
    made = spots.made_looks([*LOOKS, *only], KNOWN, AUTUMN, wet)
    assert (made.at.site[-1], made.at.year[-1]) == (PRESENCE_ONLY, NONE)
    assert np.isnan(made.at.weather[-1]).all()
    assert np.isfinite(made.at.weather[:-1]).all()


def test_how_often_presence_only_records_come_moves_no_chance_at_a_place() -> None:
    """One in five of them is with a find, where three hundred looks found it twice."""
    own = [look(2010 + n // 30, 9, BIRCH, found=n in {3, 150}) for n in range(300)]
    told = [
        SpotLook(BOLETE, None, None, datetime.date(2020, 9, 1), None, found=n % 5 == 0, effort_assumed=True)
        for n in range(100)
    ]
    without, few, many = (fitted([*own, *told[:count]]) for count in (0, 20, 100))
    least, little, much = (
        float(spots.usual_year(one, [GREEN]).chance[0].max()) for one in (without, few, many)
    )
    assert little == pytest.approx(least, rel=0.02)
    assert much == pytest.approx(least, rel=0.02)


def _records(found: int, empty: int, date: datetime.date) -> list[SpotLook]:
    """Make presence-only records of one day, and outings behind them."""
    one = SpotLook(BOLETE, None, None, date, None, found=True, effort_assumed=True)
    return [*[one] * found, *[replace(one, found=False)] * empty]


@pytest.mark.parametrize("month", [1, 6, 9])
def test_how_many_presence_only_records_there_are_moves_no_tree_and_no_place(month: int) -> None:
    where = [GREEN, TREE, BARE, Spot(OTHER, None, "Hanger")]
    without = spots.usual_year(fitted(LOOKS), where).chance
    for number in (1, 10, 200):
        records = _records(number, 3 * number, datetime.date(2024, month, 15))
        chance = spots.usual_year(fitted([*LOOKS, *records]), where).chance
        assert np.log(chance / without) == pytest.approx(np.zeros(without.shape), abs=0.01)


@pytest.mark.parametrize("way", list(SIMPLER))
def test_simpler_ways_leave_presence_only_records_out(way: str) -> None:
    records = _records(30, 60, datetime.date(2024, 9, 15))
    with_them, without = (fitted(own, way=way) for own in ([*LOOKS, *records], LOOKS))
    for name in ("chance", "low", "high"):
        found, wanted = (getattr(spots.usual_year(one, [GREEN]), name) for one in (with_them, without))
        assert found == pytest.approx(wanted, rel=0.05)


def test_presence_only_records_do_not_count_towards_fitted_spreads() -> None:
    few = [look(2024, 9, BIRCH, found=True), look(2024, 9, OAK, found=False)]
    records = _records(30, 60, datetime.date(2024, 9, 15))
    assert fitted([*few, *records]).fit.spreads == spreads.first_spreads()
    assert fitted(LOOKS).fit.finds < fitted([*LOOKS, *records]).fit.finds


def test_looks_that_decide_nothing_or_have_no_date_are_not_read() -> None:
    undecided = look(2024, 9, BIRCH, found=None)
    undated = replace(look(2024, 9, BIRCH, found=True), local_date=None)
    assert len(spots.made_looks([*LOOKS, undecided, undated], KNOWN, AUTUMN, dry)) == len(LOOKS)


@pytest.mark.parametrize(
    ("date", "prior", "year", "label"),
    [
        ("2023-09-01", AUTUMN, 2023, "2023"),
        ("2024-01-20", AUTUMN, 2023, "2023"),
        ("2024-04-01", AUTUMN, 2024, "2024"),
        ("2023-12-20", WINTER, 2023, "2023/24"),
        ("2024-02-01", WINTER, 2023, "2023/24"),
        ("2024-11-01", WINTER, 2024, "2024/25"),
        ("2024-02-01", season_prior([]), 2024, "2024"),
    ],
)
def test_years_are_cut_opposite_to_the_peak(date: str, prior: SeasonPrior, year: int, label: str) -> None:
    found = spots.season_year(datetime.date.fromisoformat(date), prior)
    assert (found, spots.year_label(found, prior)) == (year, label)


def test_the_row_of_a_site_is_that_of_its_likeliest_tree_and_counts_all_its_looks() -> None:
    sites, trees = calendar_rows.rows_of(fitted(LOOKS), [GREEN, TREE, BARE])
    (site,) = sites
    assert (site.at, site.looks, site.looks_with_find) == ("B1", 54, 6)
    assert [week.chance for week in site.weeks] == [week.chance for week in trees[0].weeks]
    assert [row.looks for row in trees] == [18, 18]
    assert trees[0].last_find == datetime.date(2024, 10, 15)
    weeks = {week.iso_week: (week.looks, week.looks_with_find) for week in trees[0].weeks if week.looks}
    assert weeks[37] == (3, 3)


def test_the_years_of_a_tree_are_newest_first_and_tell_remains_from_doubt() -> None:
    remains = replace(look(2024, 11, BIRCH, found=None), remains=True)
    doubtful = look(2024, 10, BIRCH, found=None)
    years = calendar_rows.years_at(fitted([*LOOKS, remains, doubtful]), TREE)
    assert [year.label for year in years] == ["2024", "2023", "2022"]
    assert {"only remains", "doubtful", "found", "not seen"} == {day.outcome for day in years[0].looks}


def test_what_is_told_parts_noted_looks_from_assumed_ones() -> None:
    only = SpotLook(BOLETE, None, None, datetime.date(2020, 9, 1), None, found=True, effort_assumed=True)
    known = fitted([*LOOKS, only, look(2024, 9, BIRCH, found=None)])
    told = calendar_rows.told_of(known.looks, [], known.made)
    assert (told.looks, told.looks_with_find, told.effort_assumed, told.left_out) == (54, 6, 1, 1)
    assert (told.first_year, told.last_year, told.weather_known) == (2020, 2024, 0)
