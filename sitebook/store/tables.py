"""The tables of the book, made from the records so that a field and its column cannot differ."""

from __future__ import annotations

import datetime
from typing import Any

from shapely.geometry.base import BaseGeometry
from sqlalchemy import (
    Boolean,
    Column,
    Date,
    Double,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    Table,
    Text,
    UniqueConstraint,
    types,
)

from sitebook.records.columns import ColumnType, Meaning, column_types, meanings
from sitebook.records.kinds import KINDS
from sitebook.records.standing import Row
from sitebook.store.column_types import Geom, Instant

SCHEMA_HEAD = "0010"
"""Revision of the newest migration: what a book must be at to be opened."""

_PLAIN: dict[type, type[types.TypeEngine[Any]]] = {
    str: Text,
    int: Integer,
    float: Double,
    bool: Boolean,
    bytes: LargeBinary,
    datetime.date: Date,
    datetime.datetime: Instant,
}

METADATA = MetaData(
    naming_convention={
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "fk": "fk_%(table_name)s_%(column_0_name)s_%(referred_table_name)s",
        "pk": "pk_%(table_name)s",
    }
)


def _column(name: str, kind: ColumnType, meaning: Meaning) -> Column[Any]:
    if name == "id":
        return Column(name, Integer, primary_key=True, comment=meaning.doc)
    if kind.python is BaseGeometry:
        value_type: types.TypeEngine[Any] = Geom(meaning.geometry or "GEOMETRY")
    else:
        value_type = _PLAIN[kind.python]()
    refers = [ForeignKey(f"{meaning.refers}.id")] if meaning.refers else []
    empty = f"; null: {meaning.null}" if meaning.null else ""
    return Column(name, value_type, *refers, nullable=kind.nullable, comment=meaning.doc + empty)


def table_of(name: str, record: type[Row], metadata: MetaData) -> Table:
    """Make the table a record kind is kept in, with its keys and indexes."""
    said, kinds = meanings(record), column_types(record)
    columns = [_column(column, kinds[column], said[column]) for column in said]
    unique = [(column,) for column, meaning in said.items() if meaning.unique]
    constraints = [UniqueConstraint(*group) for group in (*unique, *record.GROUPS_UNIQUE)]
    table = Table(name, metadata, *columns, *constraints)
    led = {group[0] for group in record.GROUPS_UNIQUE}
    for column, meaning in said.items():
        if meaning.refers and column not in led and column not in ("entered_by", "batch_id"):
            Index(None, table.c[column])
    for group in record.GROUPS_INDEXED:
        Index(None, *(table.c[name] for name in group))
    if "osm_ref" in said:
        Index(None, table.c.osm_ref)
    return table


TABLES: dict[str, Table] = {name: table_of(name, record, METADATA) for name, record in KINDS.items()}
"""Every table by its name."""
