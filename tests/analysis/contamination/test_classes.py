"""Tests of the one table of classes and its words."""

from __future__ import annotations

import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitebook.analysis.contamination.classes import (
    CLOSING,
    SENTENCES,
    area_class,
    class_of,
    index_class,
    words_of,
)
from sitebook.analysis.contamination.looked_for import looked_for, nothing_found
from tests.house.judging_words import JUDGING

FORBIDDEN = re.compile(r"\b(within limits|days after)\b|mg/kg", re.IGNORECASE)
INDICES = st.floats(0.0, 1e6)
DISTANCES = st.floats(0.0, 2e3) | st.just(math.inf)
AREAS = st.floats(0.0, 1.0)
FLOORS = st.integers(0, 4)


@pytest.mark.parametrize(
    ("index", "expected"),
    [(0.0, 0), (0.00499, 0), (0.005, 1), (0.0499, 1), (0.05, 2), (0.299, 2), (0.3, 3), (0.999, 3), (1.0, 4)],
)
def test_each_step_of_the_index_begins_where_it_says(index: float, expected: int) -> None:
    assert class_of(index, 50.0) == index_class(index) == expected


@pytest.mark.parametrize(
    ("area", "expected"), [(0.0, 0), (0.00499, 0), (0.005, 1), (0.05, 2), (0.299, 2), (0.3, 3), (1.0, 3)]
)
def test_each_step_of_the_area_term_begins_where_it_says(area: float, expected: int) -> None:
    assert class_of(0.0, 50.0, area) == area_class(area) == expected


@pytest.mark.parametrize(("distance", "expected"), [(0.0, 2), (5.0, 2), (5.01, 0)])
def test_close_to_a_motor_road_the_class_is_at_least_two(distance: float, expected: int) -> None:
    assert class_of(0.001, distance) == expected
    assert class_of(0.4, distance) == 3


@given(INDICES, DISTANCES, AREAS, FLOORS)
def test_every_place_has_exactly_one_class(index: float, distance: float, area: float, floor: int) -> None:
    by_index = {4: (1.0, math.inf), 3: (0.3, 1.0), 2: (0.05, 0.3), 1: (0.005, 0.05), 0: (0.0, 0.005)}
    by_area = {3: (0.3, math.inf), 2: (0.05, 0.3), 1: (0.005, 0.05), 0: (0.0, 0.005)}
    (first,) = [number for number, (low, high) in by_index.items() if low <= index < high]
    (second,) = [number for number, (low, high) in by_area.items() if low <= area < high]
    expected = max(first, second, 2 if distance <= 5.0 else 0, floor)
    assert class_of(index, distance, area, floor) == expected


@given(st.tuples(INDICES, DISTANCES, AREAS, FLOORS), st.floats(1.0, 10.0), AREAS)
def test_more_of_anything_never_lowers_the_class(
    place: tuple[float, float, float, int], factor: float, more: float
) -> None:
    index, distance, area, floor = place
    before = class_of(index, distance, area, floor)
    assert class_of(index * factor, distance, area + more, floor) >= before
    assert class_of(index, distance / factor, area, floor) >= before
    assert class_of(index, distance, area, min(floor + 1, 4)) >= before


@pytest.mark.parametrize(
    ("index", "distance", "area"),
    [(-0.1, 5, 0), (math.nan, 5, 0), (0.1, -1, 0), (0.1, math.nan, 0), (0.1, 5, -1), (0.1, 5, math.nan)],
)
def test_impossible_numbers_are_refused(index: float, distance: float, area: float) -> None:
    with pytest.raises(ValueError, match="0 or more"):
        class_of(index, distance, area)
    with pytest.raises(ValueError, match="no class"):
        class_of(0.1, 5.0, 0.0, 5)


@pytest.mark.parametrize("place_class", [None, 0, 1, 2, 3, 4])
def test_words_promise_nothing_and_end_in_what_they_do_not_speak_of(place_class: int | None) -> None:
    words = words_of(place_class, nothing_found(), ("A remark.",))
    assert not JUDGING.search(words)
    assert not FORBIDDEN.search(words)
    assert words.endswith(f"A remark. {CLOSING}")
    assert "A laboratory test of the mushroom is the only measurement." in words
    assert words.endswith("This speaks of what is mapped or was told, and of nothing else.")


def test_class_0_and_no_class_say_what_they_do_not_tell() -> None:
    for words in (words_of(0, nothing_found()), words_of(None, nothing_found())):
        assert "This does not tell whether the ground is polluted." in words
    assert "roads within 1,000 m" in words_of(0, nothing_found())
    assert set(SENTENCES) == {1, 2, 3, 4}


def test_what_was_looked_for_names_what_reaches_farther_and_what_no_map_shows() -> None:
    (alone,) = looked_for(None)
    assert "smelter within 6,000 m" in alone
    assert "airfield or helipad within 1,000 m" in alone
    said = looked_for(frozenset({"railway"}))[1]
    assert "landfill" in said
    assert "railway" not in said
    assert "made ground" not in said
