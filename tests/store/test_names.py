"""Tests that a find has one standing name: the latest that was not withdrawn."""

from __future__ import annotations

import datetime
from collections.abc import Iterator

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sitebook.records.find import Determination, Find
from sitebook.store import rows
from sitebook.store.book import Book, opened, writing
from sitebook.store.names import standing_determinations
from tests.work import books

FIRST = datetime.date(2025, 9, 1)
GIVEN = st.lists(
    st.tuples(st.integers(1, 3), st.none() | st.dates(FIRST, FIRST + datetime.timedelta(3)), st.booleans()),
    max_size=9,
)


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Book]:
    with opened(books.fresh(tmp_path_factory.mktemp("names"))) as found:
        with writing(found):
            for number in (1, 2, 3):
                find = Find(uuid=f"f{number}", created_at=books.NOW, changed_at=books.NOW, collector_id=1)
                rows.insert(found, [find])
        yield found


def _standing(book: Book, given: list[tuple[int, datetime.date | None, bool]]) -> dict[int, str]:
    found: dict[int, str] = {}
    named = [
        Determination(
            uuid=str(number),
            created_at=books.NOW,
            changed_at=books.NOW,
            withdrawn_at=books.LATER if withdrawn else None,
            find_id=find_id,
            verbatim_name=str(number),
            determined_by=1,
            determined_on=on,
        )
        for number, (find_id, on, withdrawn) in enumerate(given)
    ]
    with books.taken_back(book):
        rows.insert(book, named)
        standing = standing_determinations(book)
        found = {d.find_id: d.verbatim_name for d in standing}
        assert len(found) == len(standing)
    return found


@given(GIVEN)
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=60, deadline=None)
def test_the_latest_that_was_not_withdrawn_stands(
    book: Book, given: list[tuple[int, datetime.date | None, bool]]
) -> None:
    expected: dict[int, tuple[datetime.date, int]] = {}
    for number, (find_id, on, withdrawn) in enumerate(given):
        rank = (on or datetime.date.min, number)
        if not withdrawn:
            expected[find_id] = max(rank, expected.get(find_id, rank))
    assert _standing(book, given) == {find_id: str(rank[1]) for find_id, rank in expected.items()}
