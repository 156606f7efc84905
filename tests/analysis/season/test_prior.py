"""Tests of the season that books give."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from sitebook.analysis.season.prior import Hump, MonthSpan, SeasonPrior, concentration_within, season_prior

MONTHS = st.integers(1, 12)


def _day(angle_rad: float) -> float:
    return angle_rad * 365.0 / (2.0 * math.pi)


def test_august_to_november_is_a_hump_in_their_middle() -> None:
    prior = season_prior([MonthSpan(8, 11)])
    (hump,) = prior.humps
    assert _day(hump.mean_rad) == pytest.approx((212 + 334) / 2)
    law = stats.vonmises(hump.concentration)
    half = math.pi * 122 / 365
    assert law.cdf(half) - law.cdf(-half) == pytest.approx(0.9)
    assert prior.said == "Months of fruiting: August to November."


@pytest.mark.source(
    item="",
    what="concentration of a season whose standard deviation is 5, 10 and 20 days",
    value="135.2, 33.79, 8.45",
    source="square of 58.13 d over the standard deviation, the normal limit of the von Mises law",
    mark="computed",
)
@pytest.mark.parametrize(("sd_days", "expected"), [(5, 135.2), (10, 33.79), (20, 8.45)])
def test_concentration_nears_that_of_the_normal_law(sd_days: float, expected: float) -> None:
    half_rad = 1.645 * sd_days * 2.0 * math.pi / 365.24
    assert concentration_within(half_rad) == pytest.approx(expected, rel=0.1)


def test_months_may_run_over_the_turn_of_the_year() -> None:
    (hump,) = season_prior([MonthSpan(10, 4)]).humps
    assert _day(hump.mean_rad) == pytest.approx(273 + 212 / 2 - 365)


def test_two_spans_apart_are_two_seasons() -> None:
    prior = season_prior([MonthSpan(4, 5), MonthSpan(9, 10)])
    assert len(prior.humps) == 2
    peaks = prior.offset([hump.mean_rad for hump in prior.humps])
    assert peaks == pytest.approx([0.0, 0.0], abs=1e-3)
    assert prior.said == "Months of fruiting: April to May and September to October."


def test_spans_that_meet_are_one_season() -> None:
    assert season_prior([MonthSpan(6, 8), MonthSpan(8, 10), MonthSpan(11, 11)]).humps == (
        season_prior([MonthSpan(6, 11)]).humps
    )


def test_months_from_memory_count_half_and_only_where_no_source_speaks() -> None:
    (sourced,), (memory,) = (season_prior([MonthSpan(7, 10, kind)]).humps for kind in (False, True))
    assert memory.concentration == pytest.approx(sourced.concentration / 2.0)
    assert memory.mean_rad == sourced.mean_rad
    both = season_prior([MonthSpan(6, 10), MonthSpan(8, 11, from_memory=True)])
    assert both.humps == season_prior([MonthSpan(6, 10)]).humps
    assert "count half" in season_prior([MonthSpan(7, 10, from_memory=True)]).said


def test_a_southern_season_is_half_a_year_away_and_wider() -> None:
    (north,) = season_prior([MonthSpan(8, 11)]).humps
    south = season_prior([MonthSpan(8, 11)], southern=True)
    away = (south.humps[0].mean_rad - north.mean_rad) % (2.0 * math.pi)
    assert away == pytest.approx(math.pi)
    assert south.humps[0].concentration == pytest.approx(north.concentration / 2.0)
    assert "moved by half a year and widened" in south.said


@pytest.mark.parametrize("spans", [[], [MonthSpan(1, 12)], [MonthSpan(2, 1)], [MonthSpan(1, 11)]])
def test_no_months_or_nearly_all_are_a_flat_year(spans: list[MonthSpan]) -> None:
    prior = season_prior(spans)
    assert prior.flat
    assert prior.offset([0.0, 3.0]).tolist() == [0.0, 0.0]
    assert prior.slope([0.0, 3.0]).tolist() == [0.0, 0.0]
    assert prior.said


@given(MONTHS, MONTHS, MONTHS, MONTHS)
def test_every_pair_of_spans_gives_a_season(first: int, last: int, other: int, other_last: int) -> None:
    prior = season_prior([MonthSpan(first, last), MonthSpan(other, other_last)])
    year = np.linspace(0.0, 2.0 * math.pi, 366)
    assert np.all(np.isfinite(prior.offset(year)))
    assert prior.flat or prior.offset(year).max() < math.log(2.0) + 1e-9


@given(st.floats(0.0, 6.28), st.floats(0.1, 20.0))
def test_the_slope_is_what_a_delay_adds(angle: float, concentration: float) -> None:
    humps = (Hump(1.0, concentration), Hump(4.0, 2.0))
    delayed = SeasonPrior(tuple(Hump(h.mean_rad + 1e-5, h.concentration) for h in humps))
    prior = SeasonPrior(humps)
    gained = (delayed.offset(angle) - prior.offset(angle)) / 1e-5
    assert prior.slope(angle) == pytest.approx(gained, abs=2e-3)


def test_a_month_that_is_none_is_refused() -> None:
    with pytest.raises(ValueError, match="months"):
        MonthSpan(0, 5)
