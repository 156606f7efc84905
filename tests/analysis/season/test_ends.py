"""Onset, peak and end: one season or two, over the turn of the year, from finds or from the curve."""

from __future__ import annotations

import datetime

import numpy as np
import pytest

from sitebook.analysis.season import model
from sitebook.analysis.season.ends import season_spans, stretches_of
from sitebook.analysis.season.prior import MonthSpan, SeasonPrior, season_prior
from sitebook.analysis.season.spot_looks import FindDay
from sitebook.analysis.season.spots import Fitted, made_looks
from sitebook.records.results.fruiting import SEASON_MODEL, DayOfYear
from tests.analysis.season.test_spots import dry


def _fitted(prior: SeasonPrior) -> Fitted:
    made = made_looks([], {}, prior, dry)
    fit = model.fit(made, prior)
    return Fitted(1, "any", False, False, prior, (), made, fit, SEASON_MODEL, "")  # noqa: FBT003


def _finds(*dates: str) -> list[FindDay]:
    days = [datetime.date.fromisoformat(date) for date in dates]
    return [FindDay(1, 1, None, day, day, None) for day in days]


def _lies_within(day: DayOfYear) -> bool:
    """Tell whether the estimate lies in its interval, which may run over the turn of the year."""
    if day.low <= day.high:
        return day.low <= day.day <= day.high
    return day.day >= day.low or day.day <= day.high


@pytest.mark.parametrize(
    ("spans", "seasons"),
    [
        ([MonthSpan(8, 10)], 1),
        ([MonthSpan(11, 2)], 1),
        ([MonthSpan(4, 5), MonthSpan(9, 10)], 2),
        ([MonthSpan(1, 12)], 0),
        ([], 0),
    ],
)
def test_books_alone_give_as_many_seasons_as_they_name(spans: list[MonthSpan], seasons: int) -> None:
    found = season_spans(_fitted(season_prior(spans)), [])
    assert len(found) == seasons
    for span in found:
        assert {span.onset.basis, span.peak.basis, span.end.basis} == {"season model"}
        assert all(_lies_within(day) for day in (span.onset, span.peak, span.end))


def test_a_winter_season_begins_late_in_the_year_and_ends_early() -> None:
    (winter,) = season_spans(_fitted(season_prior([MonthSpan(11, 2)])), [])
    assert winter.onset.day > 270
    assert winter.end.day < 120


def test_a_southern_season_is_half_a_year_later() -> None:
    north = season_spans(_fitted(season_prior([MonthSpan(8, 10)])), [])[0]
    south = season_spans(_fitted(season_prior([MonthSpan(8, 10)], southern=True)), [])[0]
    assert (south.peak.day - north.peak.day) % 365 == pytest.approx(182.5, abs=3.0)


def test_eight_dated_finds_put_the_ends_beyond_those_seen() -> None:
    dates = [
        f"{year}-{month:02}-{day:02}"
        for year in (2022, 2023)
        for month, day in ((8, 20), (9, 5), (9, 20), (10, 8))
    ]
    prior = season_prior([MonthSpan(8, 10)])
    (few,) = season_spans(_fitted(prior), _finds(*dates[:7]))
    assert few.onset.basis == "season model"
    (span,) = season_spans(_fitted(prior), _finds(*dates))
    assert (span.onset.basis, span.end.basis, span.finds) == ("dated finds", "dated finds", 8)
    first = datetime.date(2023, 8, 20).timetuple().tm_yday
    last = datetime.date(2023, 10, 8).timetuple().tm_yday
    assert span.onset.day < first
    assert span.end.day > last


def test_finds_of_a_month_only_and_finds_all_on_one_day_make_no_end() -> None:
    wide = [FindDay(1, 1, None, datetime.date(1994, 10, 1), datetime.date(1994, 10, 31), None)] * 9
    prior = season_prior([MonthSpan(8, 10)])
    (vague,) = season_spans(_fitted(prior), wide)
    assert (vague.finds, vague.onset.basis) == (0, "season model")
    (tied,) = season_spans(_fitted(prior), _finds(*["2023-09-10"] * 9))
    assert (tied.finds, tied.onset.basis) == (9, "season model")


def test_two_humps_are_one_season_unless_the_year_falls_between_them() -> None:
    day = np.arange(365)

    def hump(middle: int, width: float) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
        return np.exp(-0.5 * ((day - middle) / width) ** 2) + 1e-3

    assert len(stretches_of(hump(120, 15) + hump(300, 15))) == 2
    assert len(stretches_of(hump(200, 20) + hump(240, 20))) == 1
    both = stretches_of(hump(120, 15) + hump(300, 15))
    assert sum(one.length for one in both) == 365
    assert len({int(d) for one in both for d in one.days}) == 365
