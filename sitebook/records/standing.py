"""The columns that every record of hers carries."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import ClassVar

from sitebook.records.columns import column


@dataclass(frozen=True, kw_only=True)
class Row:
    """Anything kept as one row of one table."""

    GROUPS_UNIQUE: ClassVar[tuple[tuple[str, ...], ...]] = ()
    """Groups of columns that no two rows share."""
    GROUPS_INDEXED: ClassVar[tuple[tuple[str, ...], ...]] = ()
    """Groups of columns by which rows are looked up in bulk."""

    id: int | None = column("key inside this book alone", null="not kept yet")


@dataclass(frozen=True, kw_only=True)
class Standing(Row):
    """A record of hers: it has a history and is never deleted."""

    uuid: str = column("key in every book, UUID", unique=True)
    created_at: datetime.datetime = column("instant it was kept, UTC")
    changed_at: datetime.datetime = column("instant of its last change, UTC")
    entered_by: int | None = column("who entered it", null="the owner", refers="person")
    batch_id: int | None = column("import it came with", null="typed", refers="import_batch")
    withdrawn_at: datetime.datetime | None = column("instant it was withdrawn, UTC", null="stands")


@dataclass(frozen=True, kw_only=True)
class Mapped(Row):
    """Something read from a map extract, or put beside what extracts hold."""

    uuid: str = column("key in every book, UUID", unique=True)
    osm_ref: str | None = column("element of the map, as way/123", null="not from an extract")
    extract_id: int | None = column(
        "extract it was last seen in", null="not from an extract", refers="extract"
    )
    valid_from: datetime.date | None = column("date of the first extract that held it", null="not known")
    valid_to: datetime.date | None = column(
        "date of the first extract that no longer held it", null="still there"
    )
    raw_tags: str | None = column("tags of the map, key=value a line", null="not from an extract")
