"""Says what tells one record of a table from another, the same each time the table is read."""

from __future__ import annotations

import datetime
from collections.abc import Iterable

from sitebook.intake.table.dates import Interval
from sitebook.intake.table.entry import Entry
from sitebook.intake.table.kinds import Layout
from sitebook.intake.table.making import Making


def identity(kind: str, parts: Iterable[object]) -> str:
    """Join what tells a record from another of its kind, as in `taxon:Betula pendula|Roth`.

    A part that tells alone, as a person's initials or a site's name, stands alone.
    """
    texts = [said(part) for part in parts]
    return texts[0] if len(texts) == 1 else f"{kind}:{'|'.join(texts)}"


def said(value: object) -> str:
    """Give a value as it stands in an identity; None is the empty text."""
    if value is None:
        return ""
    if isinstance(value, Interval):
        return "/".join(said(day) for day in sorted({value.first, value.last}))
    if isinstance(value, datetime.date):
        return value.isoformat()
    return " ".join(str(value).split()).replace("|", r"\|")


def identity_of(layout: Layout, making: Making, entry: Entry) -> str:
    """Give the identity of the record of a line: its own UUID, or the natural key of its kind."""
    own = entry.text("uuid")
    if own is not None:
        return f"uuid:{own}"
    parts = {header: _part(layout, making, entry, header) for header in layout.key}
    if layout.kind == "visit" and parts["site"] is not None:
        parts["lon"] = parts["lat"] = None
    more = {header: _part(layout, making, entry, header) for header in layout.also_key}
    parts |= {header: part for header, part in more.items() if part is not None}
    return identity(layout.kind, parts.values())


def visit_name(site: str, day: datetime.date, started_at: datetime.datetime | None) -> str:
    """Give the name by which finds and looks refer to a visit, its hour in UTC where it has one."""
    hour = f"@{started_at.astimezone(datetime.UTC):%H:%M}" if started_at else ""
    return f"{site}@{day.isoformat()}{hour}"


def _part(layout: Layout, making: Making, entry: Entry, header: str) -> object:
    name = layout.by_header[header].record_field or header
    if name in making.refers:
        return making.refers[name]
    return making.values.get(name, entry.values.get(header))
