"""Tests of putting photos together: pause, distance, tags, home, and any order."""

from __future__ import annotations

import dataclasses

from hypothesis import given, settings
from hypothesis import strategies as st

from sitebook.analysis.outing.shots import LONGEST_PAUSE_S, REACH_M, Shot, grouped

LON, LAT = -19.4, 48.6
A_METRE_DEG = 1 / 111_195


def shot(key: int, at_s: float, north_m: float | None = 0.0, **more: object) -> Shot:
    """Make a photo so many metres north of the first."""
    placed = north_m is not None
    lat = LAT + north_m * A_METRE_DEG if north_m is not None else None
    plain = Shot(key, at_s, f"IMG_{key}.jpg", LON if placed else None, lat)
    return dataclasses.replace(plain, **more)  # type: ignore[arg-type]


def keys(*shots: Shot) -> list[list[int]]:
    """Give the groups as keys."""
    return [[s.key for s in group.shots] for group in grouped(shots)]


def test_a_pause_parts_finds() -> None:
    pause = LONGEST_PAUSE_S.value
    assert keys(shot(1, 0), shot(2, pause), shot(3, 2 * pause + 1)) == [[1, 2], [3]]


def test_a_distance_parts_finds() -> None:
    reach = REACH_M.value
    assert keys(shot(1, 0), shot(2, 10, reach - 0.2), shot(3, 20, reach + 0.2)) == [[1, 2], [3]]


def test_distance_is_reckoned_from_the_first_so_that_a_chain_does_not_drift() -> None:
    assert keys(*(shot(i, 10 * i, 6.0 * i) for i in range(6))) == [[0, 1, 2], [3, 4, 5]]


def test_two_people_at_two_spots_keep_apart() -> None:
    assert keys(*(shot(i, 10 * i, 50.0 * (i % 2)) for i in range(6))) == [[0, 2, 4], [1, 3, 5]]


def test_a_photo_without_a_place_joins_by_time() -> None:
    assert keys(shot(1, 0), shot(2, 30, None), shot(3, 60, 3.0)) == [[1, 2, 3]]


def test_a_tag_opens_a_find_until_the_next_tag() -> None:
    shots = (
        shot(1, 0),
        shot(2, 20, tag_number=12),
        shot(3, 40),
        shot(4, 60, None),
        shot(5, 80, tag_number=13),
        shot(6, 100),
        shot(7, 120, tag_number=13),
    )
    groups = grouped(shots)
    assert [[s.key for s in g.shots] for g in groups] == [[1], [2, 3, 4], [5, 6, 7]]
    assert [g.tag_number for g in groups] == [None, 12, 13]


def test_a_tag_ends_with_the_pause_and_with_the_place() -> None:
    assert keys(shot(1, 0, tag_number=12), shot(2, 200)) == [[1], [2]]
    assert keys(shot(1, 0, tag_number=12), shot(2, 20, 40.0)) == [[1], [2]]


def test_home_keeps_apart_and_asks_for_no_distance() -> None:
    shots = (shot(1, 0), shot(2, 10, at_home=True), shot(3, 20, 300.0, at_home=True))
    assert keys(*shots) == [[1], [2, 3]]


@settings(max_examples=60, deadline=None)
@given(
    shots=st.lists(
        st.builds(
            lambda at, north, tag, home: (at, north, tag, home),
            st.integers(0, 900),
            st.one_of(st.none(), st.floats(0, 60)),
            st.sampled_from([None, None, None, 12, 13]),
            st.booleans(),
        ),
        max_size=14,
    ),
    order=st.randoms(use_true_random=False),
)
def test_the_order_in_which_photos_come_does_not_matter(
    shots: list[tuple[int, float | None, int | None, bool]], order: object
) -> None:
    made = [shot(i, at, n, tag_number=tag, at_home=home) for i, (at, n, tag, home) in enumerate(shots)]
    mixed = list(made)
    order.shuffle(mixed)  # type: ignore[attr-defined]
    assert keys(*made) == keys(*mixed)
    assert sorted(k for group in keys(*made) for k in group) == list(range(len(made)))
