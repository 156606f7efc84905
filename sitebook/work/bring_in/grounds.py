"""Gives the ground of a site to what was said of the whole of it."""

from __future__ import annotations

from shapely.geometry.base import BaseGeometry

from sitebook.ground.outline import ground_of
from sitebook.records.columns import meanings
from sitebook.records.kinds import KINDS
from sitebook.records.site import Site
from sitebook.store import rows
from sitebook.store.book import Book


def target_of(kind: str, column: str) -> str:
    """Give the table that a name under a column of a draft is looked for in: that of sites for a place."""
    meaning = meanings(KINDS[kind])[column]
    return "site" if meaning.geometry else meaning.refers or ""


def ground_at(book: Book, site_id: int) -> BaseGeometry:
    """Give the ground of a site as it stands now; what was said of it keeps that when the site changes."""
    (site,) = rows.records(book, Site, rows.table_for(Site).c.id == site_id, withdrawn=True)
    return ground_of(site)
