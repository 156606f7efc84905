"""The chance by week: recomputed by a slow loop, and what may never change it."""

from __future__ import annotations

import datetime
import math
import random
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from sitebook.analysis.season import baseline, circular
from sitebook.analysis.season.looks import LookRecord, PlacedFind
from sitebook.records.results.season import Calendar, CalendarRow

SITES = {1: "Mill bank", 2: "Old orchard"}
TAXA = {10: "Boletus edulis", 11: "Marasmius oreades"}
DATES = st.dates(datetime.date(2021, 1, 1), datetime.date(2025, 12, 31))
LOOKS = st.lists(
    st.builds(
        LookRecord,
        site_id=st.sampled_from([1, 2]),
        taxon_id=st.sampled_from([10, 11]),
        local_date=DATES | st.none(),
        minutes=st.sampled_from([None, 5.0, 30.0, 45.0, 240.0]),
        found=st.sampled_from([True, False, False, None]),
        names_taxon=st.booleans(),
    ),
    max_size=40,
)


def drawn(looks: list[LookRecord], finds: list[PlacedFind] | None = None) -> Calendar:
    return baseline.calendar(looks, finds or [], site_names=SITES, taxon_names=TAXA)


def row_of(calendar: Calendar, site_id: int = 1, taxon_id: int = 10) -> CalendarRow:
    return next(row for row in calendar.rows if (row.site_id, row.taxon_id) == (site_id, taxon_id))


def look(
    month: int, day: int, *, found: bool | None = False, minutes: float | None = 30.0, year: int = 2025
) -> LookRecord:
    return LookRecord(1, 10, datetime.date(year, month, day), minutes, found, names_taxon=True)


def slowly(looks: list[LookRecord], site_id: int, taxon_id: int, week: int) -> tuple[float, float]:
    """Compute chance and weight of one week as the rule is told in words, one look at a time."""
    finds_all = effort_all = 0.0
    for one in looks:
        if one.taxon_id == taxon_id and one.found is not None and one.local_date is not None:
            finds_all += 1.0 if one.found else 0.0
            effort_all += (30.0 if one.minutes is None else one.minutes) / 30.0
    at_overall = finds_all / effort_all if effort_all else 0.0
    top, bottom, weight = 2.0 * at_overall, 2.0, 0.0
    middle = 360.0 * ((7 * week - 3 if week < 53 else 365) - 0.5) / 365.0
    for one in looks:
        if (one.site_id, one.taxon_id) != (site_id, taxon_id) or one.found is None or one.local_date is None:
            continue
        new_year = datetime.date(one.local_date.year, 1, 1)
        length = (datetime.date(one.local_date.year + 1, 1, 1) - new_year).days
        degrees = 360.0 * ((one.local_date - new_year).days + 0.5) / length
        near = math.exp(20.0 * math.cos(math.radians(middle - degrees))) / math.exp(20.0)
        top += near * (1.0 if one.found else 0.0)
        bottom += near * (30.0 if one.minutes is None else one.minutes) / 30.0
        weight += near
    return 1.0 - math.exp(-top / bottom), weight


@settings(max_examples=40, deadline=None)
@given(LOOKS)
def test_the_rule_recomputed_one_look_at_a_time(looks: list[LookRecord]) -> None:
    for row in drawn(looks).rows:
        for week in row.weeks:
            chance, weight = slowly(looks, row.site_id, row.taxon_id, week.iso_week)
            assert week.weight == pytest.approx(weight, rel=1e-9, abs=1e-12)
            if week.chance is None:
                assert weight < 3.0
            else:
                assert weight > 3.0 - 1e-6
                assert week.chance == pytest.approx(chance, rel=1e-9, abs=1e-12)


@pytest.mark.source(
    item="",
    what="95 % Jeffreys interval of 0 in 20 and of 1 in 29",
    value="0 to .1166; .0037 to .1501",
    source="season notes 3.4",
    mark="computed",
)
def test_jeffreys_interval(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(baseline, "INTERVAL_LEVEL", replace(baseline.INTERVAL_LEVEL, value=0.95))
    low, high = baseline.jeffreys_interval([0.0, 1.0 / 29.0], [20.0, 29.0])
    assert high[0] == pytest.approx(0.1166, abs=5e-5)
    assert (low[1], high[1]) == (pytest.approx(0.0037, abs=5e-5), pytest.approx(0.1501, abs=5e-5))


@settings(max_examples=30, deadline=None)
@given(LOOKS)
def test_the_interval_is_that_of_the_beta_distribution_and_holds_the_chance(looks: list[LookRecord]) -> None:
    for row in drawn(looks).rows:
        for week in row.weeks:
            if week.chance is None or week.low is None or week.high is None:
                assert (week.chance, week.low, week.high) == (None, None, None)
                continue
            beta = stats.beta(week.chance * week.weight + 0.5, (1.0 - week.chance) * week.weight + 0.5)
            assert week.low == pytest.approx(min(beta.ppf(0.1), week.chance), abs=1e-9)
            assert week.high == pytest.approx(max(beta.ppf(0.9), week.chance), abs=1e-9)
            assert 0.0 <= week.low <= week.chance <= week.high <= 1.0


@settings(max_examples=30, deadline=None)
@given(LOOKS, st.randoms(use_true_random=False))
def test_the_order_of_looks_changes_nothing(looks: list[LookRecord], deal: random.Random) -> None:
    shuffled = list(looks)
    deal.shuffle(shuffled)
    assert drawn(shuffled) == drawn(looks)


@given(
    st.lists(st.tuples(st.floats(0.0, 6.28), st.floats(1.0, 300.0), st.booleans()), min_size=1, max_size=30),
    st.floats(-7.0, 7.0),
)
def test_turning_the_year_turns_the_calendar(looks: list[tuple[float, float, bool]], turn: float) -> None:
    angles, minutes, found = (np.array(part) for part in zip(*looks, strict=True))
    at = circular.day_angle(np.arange(1, 366, 7), 365)
    half_year = math.pi
    before = baseline.chances(at, angles, minutes, found, 0.2)
    for by in (half_year, turn):
        after = baseline.chances(at + by, angles + by, minutes, found, 0.2)
        assert after.chance == pytest.approx(before.chance, abs=1e-9)
        assert after.low == pytest.approx(before.low, abs=1e-9)
        assert after.weight == pytest.approx(before.weight, abs=1e-9)


@settings(max_examples=40, deadline=None)
@given(LOOKS, DATES, st.sampled_from([None, 1.0, 30.0, 500.0]))
def test_an_empty_look_never_raises_a_chance(
    looks: list[LookRecord], when: datetime.date, minutes: float | None
) -> None:
    more = [*looks, LookRecord(1, 10, when, minutes, found=False, names_taxon=True)]
    assert_nowhere_higher(drawn(looks), drawn(more))


@settings(max_examples=40, deadline=None)
@given(LOOKS)
def test_twice_the_effort_without_a_find_never_raises_a_chance(looks: list[LookRecord]) -> None:
    longer = [replace(one, minutes=2.0 * baseline.minutes_of(one)) for one in looks if not one.found]
    assert_nowhere_higher(drawn(looks), drawn([one for one in looks if one.found] + longer))


def assert_nowhere_higher(before: Calendar, after: Calendar) -> None:
    rows = {(row.site_id, row.taxon_id): row for row in after.rows}
    for row in before.rows:
        for week, then in zip(row.weeks, rows[row.site_id, row.taxon_id].weeks, strict=True):
            if week.chance is not None and then.chance is not None:
                assert then.chance <= week.chance + 1e-12


def test_fifty_finds_seen_first_change_no_rate() -> None:
    looks = [look(10, day, found=day == 3) for day in range(1, 9)]
    before = row_of(drawn(looks, [PlacedFind(1, 10)]))
    after = row_of(drawn(looks, [PlacedFind(1, 10)] * 51))
    assert after.weeks == before.weeks
    assert (after.looks, after.looks_with_find) == (8, 1)
    assert (before.finds, after.finds) == (1, 51)


def test_december_and_january_are_neighbours() -> None:
    row = row_of(drawn([look(12, 30, found=True), look(12, 31, year=2024), look(1, 1), look(1, 2)]))
    first, last, summer = row.weeks[0], row.weeks[52], row.weeks[25]
    assert first.chance is not None
    assert last.chance is not None
    assert summer.chance is None
    assert first.weight == pytest.approx(last.weight, abs=0.15)


def test_three_looks_on_the_middle_day_are_enough_and_two_are_not() -> None:
    three = [look(10, 1, year=year) for year in (2021, 2022, 2023)]
    week = 40
    assert baseline.middle_day(week) == 277
    on_the_day = [
        replace(one, local_date=datetime.date(2023, 1, 1) + datetime.timedelta(276)) for one in three
    ]
    assert row_of(drawn(on_the_day)).weeks[week - 1].chance == 0.0
    assert row_of(drawn(on_the_day[:2])).weeks[week - 1].chance is None


def test_two_pseudo_looks_pull_a_lucky_start_towards_the_overall_rate() -> None:
    lucky = [replace(look(10, 4), found=True) for _ in range(3)]
    poor = [LookRecord(2, 10, datetime.date(2025, 4, 1), 30.0, found=False) for _ in range(27)]
    week = row_of(drawn(lucky + poor)).weeks[39]
    assert week.weight == pytest.approx(3.0, abs=1e-3)
    assert week.chance == pytest.approx(1.0 - math.exp(-(3.0 + 2.0 * 0.1) / 5.0), abs=1e-3)


def test_looks_are_counted_by_what_becomes_of_them() -> None:
    undated = replace(look(10, 5), local_date=None)
    row = row_of(
        drawn([look(10, 1, minutes=None), look(10, 2, found=True), look(10, 3, found=None), undated])
    )
    assert (row.looks, row.looks_with_find) == (2, 1)
    assert (row.looks_minutes_assumed, row.looks_left_out, row.looks_undated) == (1, 1, 1)


def test_looks_left_out_enter_no_rate() -> None:
    looks = [look(10, day, found=day == 3) for day in range(1, 9)]
    rest = [look(10, 4, found=None, minutes=900.0), replace(look(10, 4, found=True), local_date=None)]
    assert row_of(drawn(looks)).weeks == row_of(drawn(looks + rest)).weeks


def test_minutes_not_noted_count_as_thirty() -> None:
    noted = [look(10, day, found=day == 3) for day in range(1, 9)]
    blank = [replace(one, minutes=None) for one in noted]
    assert row_of(drawn(noted)).weeks == row_of(drawn(blank)).weeks
    assert row_of(drawn(blank)).looks_minutes_assumed == 8


def test_only_pairs_with_a_find_or_a_look_that_names_the_taxon_are_drawn() -> None:
    unnamed = [LookRecord(site, 10, datetime.date(2025, 10, 1), 30.0, found=False) for site in (1, 2)]
    assert drawn(unnamed).rows == ()
    found = drawn(unnamed, [PlacedFind(2, 10), PlacedFind(7, 10), PlacedFind(2, 70)])
    assert [(row.site_id, row.taxon_id) for row in found.rows] == [(2, 10)]
    assert [row.site_id for row in drawn([replace(unnamed[0], names_taxon=True)]).rows] == [1]


def test_a_find_without_any_look_is_a_row_of_nothing_known() -> None:
    (row,) = drawn([], [PlacedFind(1, 10)]).rows
    assert (row.finds, row.looks) == (1, 0)
    assert all(week.chance is None and week.weight == 0.0 for week in row.weeks)


def test_rows_stand_by_taxon_then_site_and_years_span_the_looks() -> None:
    finds = [PlacedFind(2, 11), PlacedFind(1, 11), PlacedFind(2, 10)]
    calendar = drawn([look(10, 1, year=2021), look(10, 1, year=2024)], finds)
    assert [(row.taxon_name, row.site_name) for row in calendar.rows] == [
        ("Boletus edulis", "Mill bank"),
        ("Boletus edulis", "Old orchard"),
        ("Marasmius oreades", "Mill bank"),
        ("Marasmius oreades", "Old orchard"),
    ]
    assert (calendar.first_year, calendar.last_year) == (2021, 2024)
    assert (drawn([]).first_year, drawn([]).last_year) == (None, None)


def test_each_choice_is_told_and_marked_as_ours() -> None:
    choices = drawn([]).choices
    assert len(choices) == 8
    assert {choice.value.mark for choice in choices} == {"our choice"}


@pytest.mark.source(
    item="",
    what="day of the year of an ISO week's Thursday",
    value="within three days of ours in every year",
    source="ISO 8601 as Python's datetime.date.fromisocalendar has it",
    mark="confirmed",
)
def test_middle_day_of_each_week() -> None:
    for year in range(2000, 2030):
        for week in range(1, 54):
            try:
                thursday = datetime.date.fromisocalendar(year, week, 4)
            except ValueError:
                continue
            assert abs(thursday.timetuple().tm_yday - baseline.middle_day(week)) <= 3
