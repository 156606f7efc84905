"""Gives the ground of a site to what was said of the whole of it."""

from __future__ import annotations

from collections.abc import Mapping

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
    return ground_of(_site(book, site_id))


def placed_at(book: Book, site_id: int, values: Mapping[str, object], called: str) -> dict[str, object]:
    """Give what a site tells of a row that was said of the whole of it: its ground, and its own name.

    Parameters
    ----------
    book, site_id
        The site.
    values
        The row so far.
    called
        What the row calls the site; where its ground is called so too, it takes the site's own name.
    """
    site = _site(book, site_id)
    named: dict[str, object] = {"ground": site.name} if values.get("ground") == called else {}
    return {"geom": ground_of(site), **named}


def _site(book: Book, site_id: int) -> Site:
    (site,) = rows.records(book, Site, rows.table_for(Site).c.id == site_id, withdrawn=True)
    return site
