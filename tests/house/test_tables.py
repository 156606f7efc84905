"""Tests that a migrated book holds exactly the records' fields."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from sitebook.records.columns import column_types, meanings
from sitebook.records.kinds import KINDS
from sitebook.store import upgrade
from sitebook.store.tables import TABLES
from tests.house import glossary_page


@pytest.fixture(scope="module")
def migrated(tmp_path_factory: pytest.TempPathFactory) -> Iterator[sqlite3.Connection]:
    path = Path(tmp_path_factory.mktemp("migrated")) / "empty.gpkg"
    upgrade.create(path)
    with closing(sqlite3.connect(path)) as connection:
        yield connection


def _columns(book: sqlite3.Connection, table: str) -> dict[str, tuple[str, bool]]:
    rows = book.execute(f"PRAGMA table_info('{table}')")
    return {name: (kind, not required) for _, name, kind, required, _, _ in rows}


@pytest.mark.parametrize("table", list(KINDS))
def test_fields_of_a_record_are_the_columns_of_its_table(table: str, migrated: sqlite3.Connection) -> None:
    columns = _columns(migrated, table)
    types = column_types(KINDS[table])
    assert set(columns) == set(types)
    may_be_empty = {name for name, (_, nullable) in columns.items() if nullable} - {"id"}
    assert may_be_empty == {name for name, kind in types.items() if kind.nullable} - {"id"}


@pytest.mark.parametrize("table", list(KINDS))
def test_column_types_are_the_planned_ones(table: str, migrated: sqlite3.Connection) -> None:
    planned = {column.name: str(column.type.compile()) for column in TABLES[table].columns}
    assert {name: kind for name, (kind, _) in _columns(migrated, table).items()} == planned


@pytest.mark.parametrize("table", list(KINDS))
def test_references_are_those_of_the_records(table: str, migrated: sqlite3.Connection) -> None:
    rows = migrated.execute(f"PRAGMA foreign_key_list('{table}')")
    found = {(row[3], row[2]) for row in rows}
    assert found == {(name, m.refers) for name, m in meanings(KINDS[table]).items() if m.refers}


@pytest.mark.parametrize("table", list(KINDS))
def test_unique_groups_are_those_of_the_records(table: str, migrated: sqlite3.Connection) -> None:
    record = KINDS[table]
    indexes = [r[1] for r in migrated.execute(f"PRAGMA index_list('{table}')") if r[2] and r[3] == "u"]
    found = {tuple(r[2] for r in migrated.execute(f"PRAGMA index_info('{name}')")) for name in indexes}
    alone = {(name,) for name, meaning in meanings(record).items() if meaning.unique}
    assert found == alone | set(record.GROUPS_UNIQUE)


@pytest.mark.parametrize("table", list(KINDS))
def test_indexes_are_those_planned(table: str, migrated: sqlite3.Connection) -> None:
    rows = migrated.execute(f"PRAGMA index_list('{table}')")
    found = {r[1] for r in rows if r[3] == "c"}
    assert found == {str(index.name) for index in TABLES[table].indexes}


def test_book_holds_no_other_tables(migrated: sqlite3.Connection) -> None:
    rows = migrated.execute("SELECT name FROM sqlite_master WHERE type = 'table'")
    ours = {name for (name,) in rows if not name.startswith(("gpkg_", "rtree_", "sqlite_"))}
    assert ours == {*KINDS, "alembic_version"}


def test_every_field_with_a_standard_exists() -> None:
    named = {row["field"] for row in glossary_page.read_table(glossary_page.STANDARDS)}
    assert named <= set(glossary_page.fields())


def test_no_term_stands_twice_in_the_glossary() -> None:
    terms = [row["term"].casefold() for row in glossary_page.read_table(glossary_page.TERMS)]
    assert len(terms) == len(set(terms))
