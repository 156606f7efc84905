"""Something computed that is kept so that it need not be computed again."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import ClassVar

from sitebook.records.columns import column
from sitebook.records.standing import Row


@dataclass(frozen=True, kw_only=True)
class Derived(Row):
    """A kept result; it may be emptied at any time."""

    GROUPS_UNIQUE: ClassVar[tuple[tuple[str, ...], ...]] = (("kind", "derived_key"),)

    kind: str = column("what it is")
    derived_key: str = column("what it is of")
    input_hash: str = column("SHA-256 of everything it was computed from")
    made_at: datetime.datetime = column("instant it was computed, UTC")
    payload: bytes = column("the result itself")
