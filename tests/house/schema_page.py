"""Makes docs/schema.md from the records and their tables."""

from __future__ import annotations

import inspect
from collections.abc import Iterator

from sqlalchemy import Table, UniqueConstraint

from sitebook.records.columns import Meaning, meanings
from sitebook.records.kinds import KINDS
from sitebook.records.standing import Row, Standing
from sitebook.store.geometry_blob import SRS_ID
from sitebook.store.tables import SCHEMA_HEAD, TABLES
from tests.house.source_files import REPOSITORY

PAGE = REPOSITORY / "docs" / "schema.md"

OPENING = f"""# The tables of the book

This page is made from the records by `.venv/bin/python -m tests.house.write_docs`; do not edit it.
Tables are at revision {SCHEMA_HEAD}. The book is one GeoPackage (OGC 12-128), which is an SQLite file.

- Every number carries its unit in its name, or has it beside it here.
- Coordinates are longitude, latitude in WGS 84 (EPSG {SRS_ID}).
- Instants are UTC; a date is the local calendar date.
- "Empty means" says what a missing value tells; a column without it is never empty.
- A table with a geometry is a feature table: it is listed in `gpkg_contents` and has a spatial index.
- Rows are never deleted: a record that no longer stands has `withdrawn_at`.
- The view `find_named` gives each find's standing name: the latest determination that was not withdrawn.
"""


def _summary(record: type[Row]) -> str:
    return (inspect.getdoc(record) or "").split("\n\n")[0].replace("\n", " ")


def _told(name: str, meaning: Meaning) -> str:
    parts = [meaning.doc]
    if meaning.unit:
        parts.append(f"[{meaning.unit}]")
    if meaning.words:
        parts.append("one of: " + ", ".join(f"`{word}`" for word in meaning.words.all))
    if meaning.refers and name != "entered_by":
        parts.append(f"-> `{meaning.refers}`")
    if meaning.unique:
        parts.append("no two alike")
    return "; ".join(parts).replace("; [", " [").replace("|", "\\|")


def _column_rows(table: Table, said: dict[str, Meaning]) -> Iterator[str]:
    yield "| column | type | what it holds | empty means |"
    yield "|---|---|---|---|"
    for name, meaning in said.items():
        spelled = str(table.c[name].type.compile())
        yield f"| `{name}` | {spelled} | {_told(name, meaning)} | {meaning.null or ''} |"


def _keys(table: Table) -> Iterator[str]:
    groups = sorted(
        tuple(column.name for column in constraint.columns)
        for constraint in table.constraints
        if isinstance(constraint, UniqueConstraint) and len(constraint.columns) > 1
    )
    for group in groups:
        yield "No two rows share " + ", ".join(f"`{name}`" for name in group) + "."
    indexed = sorted(", ".join(f"`{c.name}`" for c in index.columns) for index in table.indexes)
    if indexed:
        yield f"Indexed: {'; '.join(indexed)}."


def _section(name: str, record: type[Row]) -> Iterator[str]:
    said = meanings(record)
    shared = meanings(Standing) if issubclass(record, Standing) else {}
    own = {column: meaning for column, meaning in said.items() if column not in shared}
    yield f"\n## {name}\n"
    yield _summary(record) + (" Has the standing columns." if shared else "") + "\n"
    yield from _column_rows(TABLES[name], own)
    keys = list(_keys(TABLES[name]))
    if keys:
        yield "\n" + " ".join(keys)


def drawn() -> str:
    """Draw the page."""
    lines = [OPENING.rstrip(), "\n## The standing columns\n", _summary(Standing) + "\n"]
    lines += _column_rows(TABLES["person"], meanings(Standing))
    for name, record in KINDS.items():
        lines += _section(name, record)
    return "\n".join(lines) + "\n"
