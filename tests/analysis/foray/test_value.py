"""What a site may yield on a day: enough fruit bodies, and what a look at little-known spots teaches."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitebook.analysis.foray.value import (
    SCOUT_MINUTES,
    SpotValue,
    scouting_worth,
    share_large_enough,
    worthwhile,
)
from sitebook.analysis.season.revisit import Key
from sitebook.records.results.fruiting import Chance, Spot

Values = dict[Key, list[tuple[float, SpotValue]]]

COUNTS = st.lists(st.integers(min_value=1, max_value=200), max_size=30)


def test_one_fruit_body_is_always_enough_where_one_is_asked_for() -> None:
    assert share_large_enough([], 1) == 1.0
    assert share_large_enough([1, 1, 1], 1) == 1.0


def test_without_counts_one_find_in_so_many_is_large_enough() -> None:
    assert share_large_enough([], 4) == pytest.approx(0.25)


def test_counts_draw_the_share_towards_what_was_seen() -> None:
    assert share_large_enough([1, 2, 6, 9], 5) == pytest.approx((2 + 2 / 5) / 6)
    assert share_large_enough([9] * 98, 5) > 0.98


@given(COUNTS, st.integers(min_value=1, max_value=50))
def test_asking_for_more_never_makes_a_find_likelier_worthwhile(counts: list[int], fewest: int) -> None:
    assert worthwhile(0.4, counts, fewest + 1) <= worthwhile(0.4, counts, fewest) <= 0.4


def _value(tag: str, low: float, high: float, *, little_known: bool = True) -> SpotValue:
    chance = Chance((low + high) / 2, low, high, mostly_from_books=True)
    return SpotValue(Spot(1, 7, "Mill Park", tag), chance, None, 0, 0, None, little_known)


def test_a_little_known_spot_teaches_half_the_width_of_its_interval_by_weight() -> None:
    values: Values = {(1, 7): [(2.0, _value("A", 0.1, 0.5)), (1.0, _value("A", 0.0, 0.7))]}
    assert scouting_worth(values, 30.0) == pytest.approx(0.4)


def test_a_well_known_spot_and_one_of_no_weight_teach_nothing() -> None:
    values: Values = {
        (1, 7): [(1.0, _value("A", 0.1, 0.5, little_known=False))],
        (1, 8): [(0.0, _value("B", 0.1, 0.5))],
    }
    assert scouting_worth(values, 30.0) == 0.0


def test_as_many_spots_count_as_there_is_time_for_the_best_first() -> None:
    values: Values = {(1, key): [(1.0, _value(str(key), 0.0, 0.2 * key))] for key in (1, 2, 3)}
    assert scouting_worth(values, SCOUT_MINUTES.value * 2) == pytest.approx(0.3 + 0.2)
    assert scouting_worth(values, 1.0) == pytest.approx(0.3)
