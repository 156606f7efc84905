"""A person of the book: its owner, a companion, somebody who named a find."""

from __future__ import annotations

from dataclasses import dataclass

from sitebook.records.columns import column
from sitebook.records.standing import Standing


@dataclass(frozen=True, kw_only=True)
class Person(Standing):
    """Somebody who collects, looks, names or tells."""

    name: str = column("full name")
    initials: str = column("short form, as on a tag", unique=True)
    body_mass_kg: float | None = column("body mass", null="not told", unit="kg")
    contact: str | None = column("how to reach them", null="not told")
