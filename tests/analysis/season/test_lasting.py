"""Fruit bodies that stand for years have no season."""

from __future__ import annotations

import datetime

import pytest

from sitebook.analysis.season.lasting import is_lasting, lasting_rows
from sitebook.analysis.season.spot_looks import SpotLook
from sitebook.records.results.fruiting import Spot

FOMES, SITE = 5, 1
TREES = [Spot(SITE, n, "Wood", f"T{n}") for n in (1, 2, 3)]


def _look(tree_id: int, year: int, *, found: bool | None) -> SpotLook:
    return SpotLook(FOMES, SITE, tree_id, datetime.date(year, 3, 1), 10.0, found)


@pytest.mark.parametrize(
    ("name", "lasts"),
    [
        ("Fomes fomentarius", True),
        ("Ganoderma applanatum", True),
        ("Ganoderma tsugae", False),
        ("Laetiporus sulphureus", False),
        ("Boletus edulis", False),
    ],
)
def test_which_fruit_bodies_last(name: str, lasts: bool) -> None:
    assert is_lasting(name) is lasts


def test_a_synonym_tells_it_where_the_name_does_not() -> None:
    assert not is_lasting("Tropicoporus linteus")
    assert is_lasting("Tropicoporus linteus", "Phellinus linteus")
    assert is_lasting("Fuscoporia torulosa")
    assert not is_lasting("Laetiporus sulphureus", "Polyporus sulphureus")


def test_a_tree_is_told_by_its_own_looks_drawn_towards_all() -> None:
    looks = [_look(1, year, found=True) for year in range(2020, 2025)]
    looks += [_look(2, year, found=False) for year in range(2020, 2025)]
    looks.append(_look(2, 2019, found=None))
    seen, empty, unknown = lasting_rows(looks, TREES)
    assert (seen.looks, seen.looks_seen, empty.looks, unknown.looks) == (5, 5, 5, 0)
    assert (seen.first_seen, seen.last_seen) == (datetime.date(2020, 3, 1), datetime.date(2024, 3, 1))
    assert empty.first_seen is None
    assert empty.last_look == datetime.date(2024, 3, 1)
    assert empty.chance.chance < unknown.chance.chance < seen.chance.chance < 1.0
    assert unknown.chance.mostly_from_books
    assert not seen.chance.mostly_from_books
    assert all(row.chance.low <= row.chance.chance <= row.chance.high for row in (seen, empty, unknown))


def test_a_site_counts_the_looks_at_all_its_trees() -> None:
    (row,) = lasting_rows(
        [_look(1, 2020, found=True), _look(2, 2021, found=False)], [Spot(SITE, None, "Wood")]
    )
    assert (row.looks, row.looks_seen) == (2, 1)
