"""Tests that no table or column is called by a word that an engine reads as its own."""

from __future__ import annotations

import pytest
from sqlalchemy.dialects.postgresql.base import RESERVED_WORDS

from sitebook.quantities import UNITS
from sitebook.records.columns import meanings
from sitebook.records.kinds import KINDS
from tests.house.sql_words import POSTGRESQL_RESERVED, SQLITE_KEYWORDS

NO_LONGER_RESERVED = {"new", "old", "off"}


def _names() -> set[str]:
    return {*KINDS, *(name for kind in KINDS.values() for name in meanings(kind))}


FALLS_BACK = {"conflict"}
"""SQLite reads CONFLICT as a plain name wherever it is no clause, and PostgreSQL does not reserve it."""


def test_no_table_or_column_is_a_keyword() -> None:
    taken = (_names() & (SQLITE_KEYWORDS | POSTGRESQL_RESERVED)) - FALLS_BACK
    assert not taken


@pytest.mark.source(
    item="",
    what="reserved key words of PostgreSQL",
    value="every word of the list but new, old and off",
    source="RESERVED_WORDS of SQLAlchemy's PostgreSQL dialect",
    mark="secondary",
)
def test_reserved_words_hold_another_projects_list() -> None:
    assert RESERVED_WORDS - NO_LONGER_RESERVED <= POSTGRESQL_RESERVED


@pytest.mark.parametrize(
    "tempting", ["left", "count", "order", "plan", "group", "from", "to", "check", "match"]
)
def test_words_that_tempt_are_known(tempting: str) -> None:
    assert tempting == "count" or tempting in SQLITE_KEYWORDS | POSTGRESQL_RESERVED


def test_a_number_with_a_unit_carries_it_in_its_name() -> None:
    symbols = {unit.symbol: suffix for suffix, unit in UNITS.items()}
    wrong = [
        f"{table}.{name} [{meaning.unit}]"
        for table, kind in KINDS.items()
        for name, meaning in meanings(kind).items()
        if meaning.unit is not None and not _carries(name, meaning.unit, symbols)
    ]
    assert not wrong


def _carries(name: str, unit: str, symbols: dict[str, str]) -> bool:
    suffix = unit if unit in UNITS else symbols.get(unit, unit)
    spelled = {"min": "minutes", "d": "days"}.get(suffix, suffix)
    return name.endswith(("_" + suffix, spelled))
