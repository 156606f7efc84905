"""Lets a visit of a table take the place of one that was made for a find or a track of that day."""

from __future__ import annotations

import dataclasses
import datetime
from collections.abc import Mapping

from sitebook.records.outing import Visit
from sitebook.store import history, rows
from sitebook.store.book import Book
from sitebook.work.bring_in.names import folded
from sitebook.work.identity_keys import uuid_of

SAID_BY_HER = {"reason", "looked_for_all", "effort_assumed"}
"""What a made visit only assumes, so that a table's line stands in its place."""


def identity_of_made(visit_name: str) -> str:
    """Give what a visit made for a find is called, however the name was written."""
    return f"made for a find:{folded(visit_name)}"


def made_before(book: Book, site_name: str | None, values: Mapping[str, object]) -> Visit | None:
    """Find the visit of the same site and day that was made for a find, or of a track.

    Of several made of tracks the one that began nearest is meant.
    """
    day = values.get("local_date")
    if values.get("site_id") is None or not isinstance(day, datetime.date):
        return None
    table = rows.table_for(Visit)
    same_day = (table.c.site_id == values["site_id"], table.c.local_date == day)
    for_find = uuid_of("visit", identity_of_made(f"{site_name}@{day.isoformat()}"))
    for_finds = rows.records(book, Visit, *same_day, table.c.uuid == for_find)
    of_tracks = rows.records(book, Visit, *same_day, table.c.effort_assumed.is_(True))
    began = values.get("started_at")

    def away_s(visit: Visit) -> float:
        if visit.started_at is None or not isinstance(began, datetime.datetime):
            return 0.0
        return abs((visit.started_at - began).total_seconds())

    return min([*for_finds, *of_tracks], key=away_s, default=None)


def adopt(
    book: Book, site_name: str | None, uuid: str, values: Mapping[str, object], *, batch_id: int | None = None
) -> int | None:
    """Let a table's visit stand in place of a made one; gives the made one's id, None where there is none.

    The made visit gets the UUID and the values of the line; what the line leaves empty stays.
    """
    made = made_before(book, site_name, values) if values.get("reason") != "seen first" else None
    if made is None or made.id is None:
        return None
    history.amend(book, made, {"uuid": uuid}, batch_id=batch_id)
    assumed = {f.name: f.default for f in dataclasses.fields(Visit) if f.name in SAID_BY_HER}
    said = {name: value for name, value in assumed.items() if value is not dataclasses.MISSING}
    said |= {name: value for name, value in values.items() if name != "uuid"} | {"batch_id": batch_id}
    history.amend(book, dataclasses.replace(made, uuid=uuid), said, batch_id=batch_id)
    return made.id
