"""Checks that a track is cut at outlines at the right instants, and that minutes add up."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import MultiPolygon, Polygon, box

from sitebook.analysis.outing.crossing import Crossing, crossings
from sitebook.citations import Cited

METRES = st.integers(-300, 300).map(float)
STEP_S = st.integers(1, 900).map(float)
STEPS = st.lists(st.tuples(METRES, METRES, STEP_S), min_size=2, max_size=25)
OUTLINES = st.lists(
    st.builds(lambda x, y, w, h: box(x, y, x + w, y + h), METRES, METRES, *[st.integers(5, 300)] * 2),
    min_size=1,
    max_size=5,
)
GARDEN = box(50, -20, 150, 20)


def _track(steps: list[tuple[float, float, float]]) -> tuple[np.ndarray, np.ndarray]:
    rows = np.array(steps)
    return rows[:, :2], np.cumsum(rows[:, 2])


def _minutes(stays: tuple[Crossing, ...]) -> np.ndarray:
    return np.array([[s.search_minutes, s.travel_minutes, s.gap_minutes] for s in stays]).reshape(-1, 3)


def test_a_straight_walk_is_cut_between_its_points() -> None:
    (stay,) = crossings([[0, 0], [200, 0]], [0, 200], [GARDEN])
    assert stay == Crossing(0, 50.0, 150.0, 100 / 60, 0.0, 0.0)


def test_a_ride_through_is_travel_and_no_search() -> None:
    (stay,) = crossings([[0, 0], [200, 0]], [0, 40], [GARDEN])
    assert stay.search_minutes == 0.0
    assert stay.travel_minutes == pytest.approx(20 / 60)


def test_six_kilometres_an_hour_is_travel_and_less_is_search() -> None:
    at_limit = crossings([[0, 0], [200, 0]], [0, 120], [GARDEN])
    assert at_limit[0].search_minutes == 0.0
    slower = crossings([[0, 0], [200, 0]], [0, 121], [GARDEN])
    assert slower[0].travel_minutes == 0.0
    quick = Cited(8.0, "km/h", "ours", "our choice")
    assert crossings([[0, 0], [200, 0]], [0, 120], [GARDEN], walking_limit_kmh=quick)[0].travel_minutes == 0.0


def test_standing_on_one_spot_is_search() -> None:
    (stay,) = crossings([[100, 0], [100, 0]], [0, 240], [GARDEN])
    assert stay.search_minutes == 4.0
    assert crossings([[0, 0], [0, 0]], [0, 240], [GARDEN]) == ()


def test_the_smaller_of_two_overlapping_sites_has_the_time() -> None:
    bed = box(90, -5, 110, 5)
    stays = crossings([[0, 0], [200, 0]], [0, 200], [GARDEN, bed])
    assert [s.outline_index for s in stays] == [0, 1]
    assert [(s.first_s, s.last_s) for s in stays] == [(50.0, 150.0), pytest.approx((90.0, 110.0))]
    assert [s.search_minutes * 60 for s in stays] == pytest.approx([80.0, 20.0])


def test_a_gap_is_told_apart_and_is_no_search() -> None:
    (stay,) = crossings([[60, 0], [61, 0], [62, 0], [63, 0]], [0, 60, 961, 1021], [GARDEN])
    assert stay.search_minutes == 2.0
    assert stay.gap_minutes == pytest.approx(901 / 60)
    assert crossings([[0, 0], [200, 0]], [0, 301], [GARDEN]) == ()
    assert crossings([[0, 0], [200, 0]], [0, 300], [GARDEN])[0].search_minutes == 2.5


def test_coming_back_within_two_hours_is_one_visit() -> None:
    out_and_back = [[100, 0], [101, 0], [400, 0], [401, 0], [100, 0], [101, 0]]
    (stay,) = crossings(out_and_back, [0, 60, 360, 7100, 7200, 7260], [GARDEN])
    assert (stay.first_s, stay.last_s) == (0.0, 7260.0)
    first, second = crossings(out_and_back, [0, 60, 360, 7400, 7600, 7660], [GARDEN])
    assert first.last_s < 7200 < second.first_s


def test_points_without_a_time_are_passed_over_and_order_is_that_of_time() -> None:
    plain = crossings([[0, 0], [200, 0]], [0, 200], [GARDEN])
    assert crossings([[0, 0], [999, 999], [200, 0]], [0, np.nan, 200], [GARDEN]) == plain
    assert crossings([[200, 0], [0, 0]], [200, 0], [GARDEN]) == plain
    assert crossings([[0, 0], [200, 0]], [np.nan, np.nan], [GARDEN]) == ()
    assert crossings([], [], [GARDEN]) == ()


def test_a_hole_and_a_second_part_are_honoured() -> None:
    ring = Polygon(GARDEN.exterior.coords, [box(90, -5, 110, 5).exterior.coords])
    (stay,) = crossings([[0, 0], [200, 0]], [0, 200], [MultiPolygon([ring, box(180, -5, 190, 5)])])
    assert stay.search_minutes * 60 == pytest.approx(90.0)


def test_as_many_times_as_points_are_asked_for() -> None:
    with pytest.raises(ValueError, match="2 points have 1 times"):
        crossings([[0, 0], [1, 1]], [0], [GARDEN])


@settings(max_examples=60, deadline=None)
@given(STEPS, OUTLINES)
def test_minutes_inside_never_exceed_those_of_the_track(
    steps: list[tuple[float, float, float]], outlines: list[Polygon]
) -> None:
    points, seconds = _track(steps)
    stays = crossings(points, seconds, outlines)
    assert _minutes(stays).sum() <= (seconds[-1] - seconds[0]) / 60 + 1e-9
    for stay in stays:
        inside = stay.search_minutes + stay.travel_minutes + stay.gap_minutes
        assert inside <= (stay.last_s - stay.first_s) / 60 + 1e-9


@settings(max_examples=60, deadline=None)
@given(STEPS, OUTLINES, st.data())
def test_splitting_a_track_at_a_point_changes_no_sum(
    steps: list[tuple[float, float, float]], outlines: list[Polygon], data: st.DataObject
) -> None:
    points, seconds = _track(steps)
    at = data.draw(st.integers(0, len(steps) - 1))
    whole = _minutes(crossings(points, seconds, outlines)).sum(axis=0)
    halves = (
        crossings(points[: at + 1], seconds[: at + 1], outlines),
        crossings(points[at:], seconds[at:], outlines),
    )
    np.testing.assert_allclose(sum(_minutes(half).sum(axis=0) for half in halves), whole, atol=1e-9)


@settings(max_examples=60, deadline=None)
@given(STEPS, OUTLINES)
def test_a_track_walked_backwards_has_the_same_minutes(
    steps: list[tuple[float, float, float]], outlines: list[Polygon]
) -> None:
    points, seconds = _track(steps)
    forth = crossings(points, seconds, outlines)
    back = crossings(points[::-1], (seconds[-1] - seconds)[::-1], outlines)
    for index in range(len(outlines)):
        there, again = (
            _minutes(tuple(s for s in way if s.outline_index == index)).sum(axis=0) for way in (forth, back)
        )
        np.testing.assert_allclose(there, again, atol=1e-9)


@settings(max_examples=60, deadline=None)
@given(STEPS, st.permutations(range(3)))
def test_the_order_of_unequal_outlines_does_not_matter(
    steps: list[tuple[float, float, float]], order: list[int]
) -> None:
    points, seconds = _track(steps)
    outlines = [box(-100, -100, 100, 100), box(-60, -60, 200, 60), box(-10, -200, 40, 200)]
    plain = crossings(points, seconds, outlines)
    mixed = crossings(points, seconds, [outlines[i] for i in order])
    assert {(order[s.outline_index], s.first_s, s.search_minutes) for s in mixed} == {
        (s.outline_index, s.first_s, s.search_minutes) for s in plain
    }
