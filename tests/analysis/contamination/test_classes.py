"""Tests of the classes by roads alone and their words."""

from __future__ import annotations

import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitebook.analysis.contamination.classes import CLOSING, class_of, words_of

FORBIDDEN = re.compile(
    r"\b(safe|safely|clean|clear|ok|okay|edible|harmless|within limits)\b|mg/kg", re.IGNORECASE
)
INDICES = st.floats(0.0, 1e6)
DISTANCES = st.floats(0.0, 2e3) | st.just(math.inf)


@pytest.mark.parametrize(
    ("index", "expected"),
    [(0.0, 0), (0.00499, 0), (0.005, 1), (0.0499, 1), (0.05, 2), (0.299, 2), (0.3, 3), (0.999, 3), (1.0, 4)],
)
def test_each_step_begins_where_it_says(index: float, expected: int) -> None:
    assert class_of(index, 50.0) == expected


@pytest.mark.parametrize(("distance", "expected"), [(0.0, 2), (5.0, 2), (5.01, 0)])
def test_close_to_a_motor_road_the_class_is_at_least_two(distance: float, expected: int) -> None:
    assert class_of(0.001, distance) == expected
    assert class_of(0.4, distance) == 3


@given(INDICES, DISTANCES)
def test_every_index_has_exactly_one_class(index: float, distance: float) -> None:
    ranges = {4: (1.0, math.inf), 3: (0.3, 1.0), 2: (0.05, 0.3), 1: (0.005, 0.05), 0: (0.0, 0.005)}
    (by_index,) = [number for number, (low, high) in ranges.items() if low <= index < high]
    assert class_of(index, distance) == (max(by_index, 2) if distance <= 5.0 else by_index)


@given(INDICES, st.floats(1.0, 10.0), DISTANCES)
def test_more_traffic_never_lowers_the_class(index: float, factor: float, distance: float) -> None:
    assert class_of(index * factor, distance) >= class_of(index, distance)


@pytest.mark.parametrize(("index", "distance"), [(-0.1, 5), (math.nan, 5), (0.1, -1), (0.1, math.nan)])
def test_impossible_numbers_are_refused(index: float, distance: float) -> None:
    with pytest.raises(ValueError, match="0 or more"):
        class_of(index, distance)


@pytest.mark.parametrize("place_class", [None, 0, 1, 2, 3, 4])
@pytest.mark.parametrize("distance", [0.0, 5.0, 80.0, math.inf])
def test_words_promise_nothing_and_end_in_roads_only(place_class: int | None, distance: float) -> None:
    words = words_of(place_class, distance)
    assert not FORBIDDEN.search(words)
    assert words.endswith("This speaks of roads only.")
    assert CLOSING in words
    assert "A laboratory test of the mushroom is the only measurement." in words


def test_class_0_says_what_it_does_not_tell() -> None:
    nothing = words_of(0, math.inf)
    assert nothing.startswith("No mapped road with motor traffic within 1,000 m. ")
    for words in (nothing, words_of(0, 80.0), words_of(None, math.inf)):
        assert "This does not tell whether the ground is polluted." in words


def test_class_0_with_a_road_in_reach_does_not_deny_the_road() -> None:
    assert "No mapped road" not in words_of(0, 80.0)


def test_remarks_stand_before_the_closing() -> None:
    assert words_of(1, 30.0, ("A remark.",)).endswith(f"A remark. {CLOSING}")
