"""The standing name of each find: the latest determination that was not withdrawn."""

from __future__ import annotations

from sqlalchemy import column, select, table

from sitebook.records.find import Determination
from sitebook.store import rows
from sitebook.store.book import Book

_VIEW = table("find_named", column("determination_id"))


def standing_determinations(book: Book) -> list[Determination]:
    """Give at most one determination for each find."""
    wanted = select(_VIEW.c.determination_id).scalar_subquery()
    return rows.records(book, Determination, rows.table_for(Determination).c.id.in_(wanted))
