"""What came in with one file."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from sitebook.records.columns import column
from sitebook.records.standing import Row


@dataclass(frozen=True, kw_only=True)
class ImportBatch(Row):
    """One file that was read into the book."""

    uuid: str = column("key in every book, UUID", unique=True)
    file_name: str = column("name of the file, without its folder")
    sha256: str = column("SHA-256 of its bytes, in hex", unique=True)
    recognised_as: str = column("kind of file it was read as")
    made_by: int | None = column("who brought it in", null="the owner", refers="person")
    made_at: datetime.datetime = column("instant it was brought in, UTC")
    counts_text: str = column("how many rows of which table, as JSON")
    undone_at: datetime.datetime | None = column("instant it was taken back, UTC", null="stands")


@dataclass(frozen=True, kw_only=True)
class RefusedLine(Row):
    """One line of a file that did not come in."""

    batch_id: int = column("import it belongs to", refers="import_batch")
    line_number: int | None = column("line in the file, from 1", null="not a file of lines")
    sorted_as: str = column("left out (well-formed, out of scope) or refused (impossible)")
    reason: str = column("why, in words")
    line_text: str | None = column("the line as it stood", null="not a file of lines")
