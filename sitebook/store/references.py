"""A column that refers to another table, as migrations write it."""

from __future__ import annotations

from sqlalchemy import Column, ForeignKey, Integer


def refers(table: str, column: str, target: str, *, nullable: bool) -> Column[int]:
    """Give a column of a table that holds the id of a row of another, its constraint named."""
    key = ForeignKey(f"{target}.id", name=f"fk_{table}_{column}_{target}")
    return Column(column, Integer, key, nullable=nullable)
