"""One line of a sheet that came home, as it was written."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from sitebook.records.columns import column
from sitebook.records.standing import Row


@dataclass(frozen=True, kw_only=True)
class EntryLine(Row):
    """A whole line of a returned sheet; which rows stand follows from all of them together."""

    GROUPS_UNIQUE: ClassVar[tuple[tuple[str, ...], ...]] = (("entry_uuid", "seq", "line_sum"),)

    batch_id: int = column("import it came with", refers="import_batch")
    sheet_uuid: str = column("UUID of the sheet, which is that of its block of numbers")
    entry_uuid: str = column("UUID of the entry it tells of")
    entry_kind: str = column("visit, look, find, or end of a save")
    seq: int = column("turn of the entry, from 1; the highest stands")
    line_sum: str = column("checksum of the line")
    line_text: str = column("the line as it stood")
