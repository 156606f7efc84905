"""What may be taken at a site, held against what was taken there already."""

from __future__ import annotations

import dataclasses
import datetime

from sitebook.records.site import Permission
from sitebook.work.day_limits import Taken, limits_of
from tests.work import books

SATURDAY = datetime.date(2025, 10, 4)
PERMIT = Permission(
    uuid="a",
    created_at=books.NOW,
    changed_at=books.NOW,
    manager="Parks",
    basis="permit",
    daily_limit=1.5,
    season_limit=12.0,
    limit_unit="kg",
    per_person=True,
)


OWNER, OTHER = 1, 2


def _taken(on: datetime.date, *amounts: float | None, by: int = OWNER) -> Taken:
    return Taken(on, by, {"kg": amounts, "bodies": (), "l": ()})


def test_what_was_taken_that_day_and_that_season_is_taken_off() -> None:
    taken = [_taken(SATURDAY, 0.4, 0.2), _taken(datetime.date(2025, 9, 1), 3.0)]
    day, season = limits_of(PERMIT, taken, SATURDAY, OWNER)
    assert day.line.left is not None
    assert round(day.line.left, 6) == 0.9
    assert "0.6 kg noted as taken by you; 0.9 kg left for you" in day.line.words
    assert season.line.left is not None
    assert round(season.line.left, 6) == 8.4
    assert not day.reached
    assert not season.reached


def test_another_year_and_a_later_day_count_nothing() -> None:
    taken = [_taken(datetime.date(2024, 10, 4), 5.0), _taken(datetime.date(2025, 10, 5), 5.0)]
    day, season = limits_of(PERMIT, taken, SATURDAY, OWNER)
    assert (day.line.left, season.line.left) == (1.5, 12.0)


def test_a_limit_for_each_person_is_held_against_what_the_owner_took_and_a_companion_adds_nothing() -> None:
    taken = [_taken(SATURDAY, 1.5), _taken(SATURDAY, 0.3, by=OTHER)]
    day, season = limits_of(PERMIT, taken, SATURDAY, OWNER)
    assert day.reached
    assert season.line.left == 10.5
    whole = dataclasses.replace(PERMIT, per_person=False, daily_limit=2.0)
    day, _ = limits_of(whole, taken, SATURDAY, OWNER)
    assert day.line.left is not None
    assert round(day.line.left, 6) == 0.2


def test_a_find_that_was_not_weighed_leaves_what_is_left_unknown_and_says_so() -> None:
    day, _ = limits_of(PERMIT, [_taken(SATURDAY, 0.4, None)], SATURDAY, OWNER)
    assert day.line.left is None
    assert "1 find was not weighed, so that less is left than told" in day.line.words


def test_a_limit_that_is_used_up_is_reached() -> None:
    day, season = limits_of(PERMIT, [_taken(SATURDAY, 1.5)], SATURDAY, OWNER)
    assert day.reached
    assert not season.reached
