"""What was changed, by which command, and what is left for her to decide."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import ClassVar

from sitebook import vocabulary
from sitebook.records.columns import column
from sitebook.records.standing import Row, Standing


@dataclass(frozen=True, kw_only=True)
class Change(Row):
    """One column of one row set by one act; rows are only ever added."""

    GROUPS_INDEXED: ClassVar[tuple[tuple[str, ...], ...]] = (("act",), ("table_name", "row_uuid"))

    act: str = column("all changes of one command share it, UUID")
    made_at: datetime.datetime = column("instant, UTC")
    made_by: int | None = column("who made it", null="the owner", refers="person")
    command_name: str = column("command it was made with")
    table_name: str = column("table of the row")
    row_uuid: str = column("UUID of the row; of a row without one, what tells it from others, as JSON")
    column_name: str = column("column that was set; created_at or id: the row was made")
    old_value: str | None = column("value before, as text", null="was empty")
    new_value: str | None = column("value after, as text", null="is empty")
    undoes: str | None = column("act or import that this one takes back", null="takes nothing back")
    batch_id: int | None = column("import whose file said so", null="typed", refers="import_batch")


@dataclass(frozen=True, kw_only=True)
class Conflict(Standing):
    """Two values for one column, both kept until she decides."""

    table_name: str = column("table of the row")
    row_uuid: str = column("UUID of the row")
    column_name: str = column("column they differ in")
    base_value: str | None = column("value both started from, as text", null="not known, or was empty")
    our_value: str | None = column("value in the book, as text", null="empty in the book")
    their_value: str | None = column("value that came in, as text", null="empty in the file")
    decided: str | None = column("which stands", null="not decided", words=vocabulary.DECISION)
    decided_at: datetime.datetime | None = column("instant of the decision, UTC", null="not decided")


@dataclass(frozen=True, kw_only=True)
class NumberBlock(Standing):
    """Collection numbers set aside, so that two sheets never give out the same one."""

    collector_id: int = column("whose numbers", refers="person")
    first_number: int = column("first number of the block")
    last_number: int = column("last number of the block")
    reserved_for: str = column("sheet, telephone or book of tags they are set aside for")
