"""Which way is used for a taxon, and how well chances told years that were held out."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from sitebook.analysis.season import held_out
from sitebook.analysis.season.design import NONE, PRESENCE_ONLY, chosen_looks
from sitebook.analysis.season.held_out import Told, Way
from sitebook.records.results.fruiting import SEASON_MODEL
from tests.analysis.season.worlds import matched

YEARS = 4


def _told(better: int, *, with_find: int = YEARS) -> Told:
    """Make years of ten looks, of which a way told some better than the model."""
    year = np.repeat(np.arange(2020, 2020 + YEARS), 10)
    found = np.zeros(year.size, bool)
    for number in range(with_find):
        found[10 * number] = True
    model, other = np.full(year.size, 0.3), np.full(year.size, 0.4)
    other[year < 2020 + better] = np.where(found, 0.9, 0.1)[year < 2020 + better]
    ways = dict.fromkeys(held_out.AGAINST, np.full(year.size, 0.6))
    return Told(year, found, {**ways, "pooled ratio": other, SEASON_MODEL: model})


@pytest.mark.parametrize(("better", "used"), [(4, "pooled ratio"), (3, "pooled ratio"), (2, SEASON_MODEL)])
def test_a_simpler_way_is_used_from_three_years_told_better(better: int, used: str) -> None:
    way, said = held_out.chosen_way(_told(better))
    assert way == used
    assert "4" in said


def test_years_without_a_find_do_not_choose_the_way() -> None:
    assert held_out.chosen_way(_told(4, with_find=2))[0] == SEASON_MODEL
    assert held_out.chosen_way(_told(4, with_find=2), every_year=True)[0] == "pooled ratio"


def test_a_year_is_told_from_the_others_and_presence_only_records_are_not_told() -> None:
    world = matched(3)
    past = world.past(30.0, np.random.default_rng(3))
    found = held_out.told(past, world.prior)
    assert found is not None
    assert found.year.size == len(past)
    assert found.years == sorted(set(past.at.year.tolist()))
    assumed = chosen_looks(past, np.arange(len(past)))
    assumed.at.site[:5], assumed.at.tree[:5] = PRESENCE_ONLY, NONE
    fewer = held_out.told(assumed, world.prior)
    assert fewer is not None
    assert fewer.year.size == len(past) - 5
    one_year = chosen_looks(past, past.at.year == past.at.year[0])
    assert held_out.told(one_year, world.prior) is None
    assert held_out.way_to_use(one_year, world.prior).name == SEASON_MODEL


def test_finds_told_are_counted_by_the_chances_in_use() -> None:
    told = _told(4)
    parted = replace(told, placed={"pooled ratio": 0.5 * told.chances["pooled ratio"]})
    (plain, half) = (held_out.way_of(one) for one in (told, parted))
    assert plain.told_finds == pytest.approx(told.chances["pooled ratio"].sum())
    assert half.name == plain.name == "pooled ratio"
    assert half.told_finds == pytest.approx(0.5 * plain.told_finds)
    assert held_out.gains(parted) == held_out.gains(told)
    lost = replace(told, placed={"pooled ratio": np.full(told.found.size, 0.9)})
    assert held_out.way_of(lost).name == SEASON_MODEL


def test_gains_have_an_interval_from_three_years_and_count_lost_ones() -> None:
    gains = {gain.way: gain for gain in held_out.gains(_told(4))}
    lost = gains["pooled ratio"]
    assert lost.years_lost == 4
    assert lost.gain < 0.0
    assert lost.low is not None
    assert lost.high is not None
    assert lost.low <= lost.gain <= lost.high
    assert gains["month histogram"].years_lost == 0
    assert lost.years_lost_with_find == 4


def test_years_lost_without_a_find_are_counted_apart_and_taxa_share_their_years() -> None:
    first, second = _told(4, with_find=2), _told(4, with_find=1)
    lost = next(gain for gain in held_out.gains(first) if gain.way == "pooled ratio")
    assert (lost.years_lost, lost.years_lost_with_find) == (4, 2)
    both = held_out.together([first, second])
    assert both.years == first.years
    assert both.with_find.tolist() == [True, True, False, False]
    assert (both.found.size, int(both.found.sum())) == (80, 3)
    gain = next(gain for gain in held_out.gains(both) if gain.way == "pooled ratio").gain
    alone = [next(g for g in held_out.gains(one) if g.way == "pooled ratio").gain for one in (first, second)]
    assert gain == pytest.approx(np.mean(alone))


def test_shares_sort_looks_by_the_chance_given_and_hold_what_came() -> None:
    chance = np.array([0.02, 0.03, 0.15, 0.15, 1.0])
    came = np.array([False, False, True, False, True])
    shares = held_out.shares([(chance[:3], came[:3]), (chance[3:], came[3:])])
    assert [(one.low, one.looks, one.seen) for one in shares] == [(0.0, 2, 0.0), (0.1, 2, 0.5), (0.8, 1, 1.0)]
    assert all(one.seen_low <= one.seen <= one.seen_high for one in shares)
    assert held_out.shares([]) == ()


@pytest.mark.parametrize(
    ("told_finds", "came", "said"),
    [
        (40.0, 12, "promised 40 finds of these taxa; 12 came: too much was promised"),
        (12.0, 30, "too little was promised"),
        (21.0, 20, "the chances held"),
        (0.0, 0, ""),
    ],
)
def test_a_book_says_whether_its_chances_held(told_finds: float, came: int, said: str) -> None:
    ways = [Way(SEASON_MODEL, "", told_finds / 2.0, came // 2)] * 2
    words = held_out.book_words(ways)
    assert said in words
    assert bool(words) == bool(said)
