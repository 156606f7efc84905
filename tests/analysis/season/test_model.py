"""Tests what a fitted season says, and what must not change it."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any, cast

import numpy as np
import pytest
from numpy.typing import NDArray

from sitebook.analysis.season import model, parameters
from sitebook.analysis.season.design import (
    EFFORT,
    Looks,
    Points,
    chosen,
    chosen_looks,
    coefficients_before,
    design,
    levels_of,
)
from sitebook.analysis.season.prediction import at_least_one, expected_chance, predict, unknown_shares
from sitebook.analysis.season.prior import Hump, SeasonPrior
from tests.analysis.season import worlds

Floats = NDArray[np.float64]

BOOKS = SeasonPrior((Hump(4.6, 4.0),))


@pytest.fixture(scope="module", params=[12, 40])
def past(request: pytest.FixtureRequest) -> tuple[Looks, SeasonPrior]:
    world = worlds.matched(11)
    return world.past(request.param, np.random.default_rng(1)), world.prior


def points(angle: list[float], **changed: Floats | NDArray[np.int64] | NDArray[np.bool_]) -> Points:
    """Give looks of half an hour at an unknown place, in usual weather."""
    size = len(angle)
    none = np.full(size, -1)
    first = Points(
        np.array(angle),
        none,
        np.full(size, 30.0),
        none,
        none,
        none,
        np.zeros((size, 3)),
        np.zeros(size, np.bool_),
    )
    return replace(first, **cast("dict[str, Any]", changed))


def year_round() -> Points:
    return points(np.linspace(0.0, 2.0 * math.pi, 53).tolist())


NO_LOOKS = Looks(points([]), np.zeros(0, np.bool_))


def test_without_looks_the_books_speak() -> None:
    fit = model.fit(NO_LOOKS, BOOKS)
    at = year_round()
    said = predict(fit, at)
    rate = parameters.value("rate_mean") + BOOKS.offset(at.angle_rad)
    assert said.chance == pytest.approx(expected_chance(rate, said.sd**2 + 0.36))
    assert said.share_from_books == pytest.approx(1.0)
    assert said.mostly_from_books.all()
    assert int(np.argmax(said.chance)) == int(np.argmin(np.abs(at.angle_rad - 4.6)))


def test_turning_all_dates_by_half_a_year_changes_nothing(past: tuple[Looks, SeasonPrior]) -> None:
    looks, prior = past
    turned_at = replace(looks.at, angle_rad=(looks.at.angle_rad + math.pi) % (2.0 * math.pi))
    turned_prior = SeasonPrior(tuple(Hump(h.mean_rad + math.pi, h.concentration) for h in prior.humps))
    first = predict(model.fit(looks, prior), looks.at)
    turned = predict(model.fit(Looks(turned_at, looks.found), turned_prior), turned_at)
    assert turned.chance == pytest.approx(first.chance, abs=1e-9)


def test_turning_a_flat_year_changes_nothing(past: tuple[Looks, SeasonPrior]) -> None:
    looks, _ = past
    turned_at = replace(looks.at, angle_rad=looks.at.angle_rad + 1.234)
    first = predict(model.fit(looks, SeasonPrior()), looks.at)
    turned = predict(model.fit(Looks(turned_at, looks.found), SeasonPrior()), turned_at)
    assert turned.chance == pytest.approx(first.chance, abs=1e-9)


def test_the_order_of_looks_changes_nothing(past: tuple[Looks, SeasonPrior]) -> None:
    looks, prior = past
    order = np.random.default_rng(1).permutation(len(looks))
    first = predict(model.fit(looks, prior), looks.at).chance
    mixed = predict(model.fit(chosen_looks(looks, order), prior), looks.at).chance
    assert mixed == pytest.approx(first, abs=1e-9)


def test_one_more_empty_look_never_raises_the_chance_there(past: tuple[Looks, SeasonPrior]) -> None:
    looks, prior = past
    first = predict(model.fit(looks, prior), looks.at).chance
    for number in range(0, len(looks), max(len(looks) // 15, 1)):
        more = np.append(np.arange(len(looks)), number)
        found = np.append(looks.found, False)
        fit = model.fit(Looks(chosen(looks.at, more), found), prior)
        assert predict(fit, looks.at).chance[number] <= first[number] + 1e-9


def test_twice_the_effort_raises_the_chance(past: tuple[Looks, SeasonPrior]) -> None:
    looks, prior = past
    fit = model.fit(looks, prior)
    longer = replace(looks.at, minutes=2.0 * looks.at.minutes)
    assert np.all(predict(fit, longer).chance > predict(fit, looks.at).chance)


def test_the_exponent_of_effort_never_falls_below_nothing() -> None:
    size = 400
    minutes = np.where(np.arange(size) % 2, 5.0, 500.0)
    at = points([4.6] * size, minutes=minutes)
    fit = model.fit(Looks(at, minutes < 30.0), BOOKS)
    assert fit.mean[EFFORT] == pytest.approx(0.0, abs=1e-6)
    longer = predict(fit, points([4.6, 4.6], minutes=np.array([30.0, 60.0]))).chance
    assert longer[1] >= longer[0] - 1e-6


@pytest.mark.parametrize("found", [False, True])
def test_a_single_look_moves_the_chance_its_own_way(found: bool) -> None:
    at = points([4.6], site=np.array([3]), tree=np.array([5]), year=np.array([2020]))
    before = predict(model.fit(NO_LOOKS, BOOKS), at).chance[0]
    after = predict(model.fit(Looks(at, np.array([found])), BOOKS), at).chance[0]
    assert bool(after > before) is found


@pytest.mark.parametrize("found", [False, True])
def test_looks_that_all_ended_alike_give_a_chance_between_nothing_and_all(found: bool) -> None:
    size = 300
    at = points(np.linspace(0.0, 6.28, size).tolist(), site=np.zeros(size, np.int64))
    said = predict(model.fit(Looks(at, np.full(size, found)), BOOKS), at)
    for values in (said.chance, said.low, said.high, said.sd):
        assert np.all(np.isfinite(values))
    assert np.all((said.low <= said.chance) & (said.chance <= said.high))
    assert np.all(said.chance > 0.6) if found else np.all(said.chance < 0.1)


def test_one_site_and_one_year_is_enough() -> None:
    world = worlds.matched(4)
    one = chosen_looks(world.looks, (world.looks.at.site == 1) & (world.looks.at.year == 2))
    fit = model.fit(one, world.prior)
    assert fit.levels.sites.tolist() == [1]
    assert fit.levels.years.tolist() == [2]
    assert np.all(np.isfinite(predict(fit, one.at).chance))


def test_what_was_never_looked_at_is_in_more_doubt(past: tuple[Looks, SeasonPrior]) -> None:
    looks, prior = past
    fit = model.fit(looks, prior)
    elsewhere = replace(looks.at, site=np.full(len(looks), 999), tree=np.full(len(looks), 999))
    assert np.all(predict(fit, elsewhere).sd > predict(fit, looks.at).sd)
    assert np.all(predict(fit, elsewhere).share_from_books > predict(fit, looks.at).share_from_books)


def test_a_wider_level_gives_a_wider_interval(past: tuple[Looks, SeasonPrior]) -> None:
    looks, prior = past
    fit = model.fit(looks, prior)
    narrow, wide = predict(fit, looks.at, 0.5), predict(fit, looks.at, 0.95)
    assert np.all((wide.low < narrow.low) & (narrow.high < wide.high))
    with pytest.raises(ValueError, match="level"):
        predict(fit, looks.at, 1.0)


def test_weather_not_known_adds_doubt_but_not_where_it_is_watered(past: tuple[Looks, SeasonPrior]) -> None:
    looks, prior = past
    fit = model.fit(looks, prior)
    size = 2
    unknown = np.tile([np.nan, np.nan, 0.0], (size, 1))
    at = points([4.6, 4.6], weather=unknown, irrigated=np.array([False, True]))
    usual = points([4.6, 4.6], irrigated=np.array([False, True]))
    assert predict(fit, at).sd[0] > predict(fit, usual).sd[0]
    assert predict(fit, at).sd[1] == predict(fit, usual).sd[1]
    wet = points([4.6, 4.6], weather=np.full((size, 3), 2.0), irrigated=np.array([False, True]))
    assert predict(fit, wet).chance[0] != predict(fit, usual).chance[0]


def test_the_doubt_grows_with_the_days_ahead(past: tuple[Looks, SeasonPrior]) -> None:
    looks, prior = past
    fit = model.fit(looks, prior)
    at = points([4.6] * 4)
    doubt = predict(fit, at, days_ahead=[0, 5, 10, 40]).sd
    assert np.all(np.diff(doubt) > 0.0)
    unknown = points([4.6], weather=np.full((1, 3), np.nan))
    assert doubt[3] == pytest.approx(predict(fit, unknown).sd[0], rel=1e-3)


@pytest.mark.source(
    item="",
    what="share of lagged rain that is known 7, 10, 12 and 14 days ahead",
    value="0.84, 0.67, 0.54, 0.41",
    source="sum of a Gaussian kernel that peaks after 12 days, spread 6 days, over 40 days",
    mark="computed",
)
def test_rain_known_ahead() -> None:
    assert 1.0 - unknown_shares([7, 10, 12, 14])[:, 1] == pytest.approx([0.84, 0.67, 0.54, 0.41], abs=0.01)
    assert unknown_shares(0).tolist() == [0.0, 0.0, 0.0]


def test_a_look_without_minutes_counts_as_half_an_hour() -> None:
    fit = model.fit(NO_LOOKS, BOOKS)
    said = predict(fit, points([4.6, 4.6], minutes=np.array([np.nan, 30.0]))).chance
    assert said[0] == said[1]


def test_a_fit_counts_what_it_was_made_of(past: tuple[Looks, SeasonPrior]) -> None:
    looks, prior = past
    fit = model.fit(looks, prior)
    assert (fit.looks, fit.finds) == (len(looks), int(looks.found.sum()))


def test_two_seasons_are_both_seen() -> None:
    prior = SeasonPrior((Hump(2.0, 6.0), Hump(5.0, 6.0)))
    said = predict(model.fit(NO_LOOKS, prior), points([2.0, 3.5, 5.0])).chance
    assert said[0] == pytest.approx(said[2], rel=0.15)
    assert said[1] < 0.5 * said[0]
    assert np.all(np.isfinite(coefficients_before(prior)[1]))


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(ValueError, match="minutes"):
        points([4.6], minutes=np.array([0.0]))
    with pytest.raises(ValueError, match="one length"):
        points([4.6], site=np.zeros(2, np.int64))
    with pytest.raises(ValueError, match="finite"):
        points([math.nan])
    with pytest.raises(ValueError, match="found something"):
        Looks(points([4.6]), np.zeros(2, np.bool_))
    twice = points([4.6, 4.6], site=np.array([1, 2]), tree=np.array([7, 7]))
    with pytest.raises(ValueError, match="one site"):
        levels_of(twice)


def test_a_tree_without_a_site_is_fitted_too() -> None:
    at = points([4.6] * 6, tree=np.array([1, 1, 2, 2, 3, 3]), site=np.array([-1, -1, 8, 8, 8, 8]))
    fit = model.fit(Looks(at, np.array([True, True, False, False, False, True])), BOOKS)
    assert np.all(np.isfinite(predict(fit, at).chance))
    assert design(at, fit.levels, BOOKS).tree_site.tolist() == [1, 0, 0]


def test_chances_lie_between_nothing_and_all_whatever_the_rate() -> None:
    assert at_least_one(np.array([-1000.0, 1000.0])).tolist() == pytest.approx([0.0, 1.0], abs=1e-12)
