"""What map extracts hold of the ground in a window, as it stands now."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from typing import TypeVar

from sqlalchemy import func, literal_column, select

from sitebook.records.map_data import Hazard, LandCover, MappedTree, MapPoint, Way
from sitebook.store import rows
from sitebook.store.book import Book
from sitebook.store.rows import Window

OF_TRAVEL = (
    "osm_ref",
    "road_class",
    "oneway",
    "tunnel",
    "bridge",
    "foot_access",
    "bicycle_access",
    "motor_access",
    "raw_tags",
)
"""Columns of a way that say who may use it and how fast, beside its line."""

M = TypeVar("M", Way, LandCover, MapPoint, MappedTree, Hazard)


def standing_in_window(book: Book, kind: type[M], window: Window) -> list[M]:
    """Give the mapped rows that touch a window and have no last day."""
    return rows.in_window(book, kind, window, rows.table_for(kind).c.valid_to.is_(None))


def standing(book: Book, kind: type[M]) -> list[M]:
    """Give all mapped rows of a kind that have no last day."""
    return rows.records(book, kind, rows.table_for(kind).c.valid_to.is_(None))


def ways_of_extracts(book: Book, extract_ids: Sequence[int]) -> list[Way]:
    """Give the standing ways of some extracts."""
    way = rows.table_for(Way)
    return rows.records(book, Way, way.c.valid_to.is_(None), way.c.extract_id.in_(list(extract_ids)))


def hash_of_ways(book: Book, extract_ids: Sequence[int]) -> str:
    """Give a SHA-256 over what the standing ways of some extracts say of travel, without making records."""
    way = rows.table_for(Way)
    columns = [way.c[name] for name in OF_TRAVEL]
    statement = select(*columns, literal_column("geom")).select_from(way).order_by(way.c.id)
    wanted = statement.where(
        way.c.valid_to.is_(None), way.c.extract_id.in_(list(extract_ids)), rows.in_view("way")
    )
    digest = hashlib.sha256()
    for row in book.connection.execute(wanted):
        digest.update(repr(tuple(row)).encode())
    return digest.hexdigest()


def how_many_of_classes(book: Book, road_classes: Sequence[str]) -> int:
    """Count the standing ways of some classes."""
    way = rows.table_for(Way)
    statement = select(func.count()).select_from(way)
    wanted = statement.where(
        way.c.road_class.in_(list(road_classes)), way.c.valid_to.is_(None), rows.in_view("way")
    )
    return book.connection.execute(wanted).scalar_one()


def hazard_kinds_held(book: Book) -> list[str]:
    """Name the kinds of source of which the book holds at least one."""
    hazard = rows.table_for(Hazard)
    statement = select(hazard.c.kind).where(rows.in_view("hazard")).distinct()
    return list(book.connection.execute(statement).scalars())
