"""Gives how long a fruit body stands above ground."""

from __future__ import annotations

from functools import cache

from sitebook.citations import Cited
from sitebook.reference import reader


def life_of(scientific_name: str) -> Cited | None:
    """Give the mean life of a fruit body of a taxon [d], that of its genus where it has none of its own."""
    table = _table()
    return table.get(scientific_name) or table.get(scientific_name.split(" ", 1)[0])


@cache
def _table() -> dict[str, Cited]:
    return {row["taxon"]: reader.cited(row) for row in reader.rows("fruit_body_lives")}
