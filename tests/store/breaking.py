"""Breaks a book on purpose, and tells what looking it over found."""

# ruff: noqa: S608

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

from sitebook.store import check
from sitebook.store.book import opened
from sitebook.store.geopackage import register_functions

INSTANT = "2025-10-01T12:00:00.000Z"
STANDING = f"'{INSTANT}', '{INSTANT}'"
POINT = "x'47500001e61000000101000000000000000000f03f0000000000000040'"
"""The blob of a point at 1 degree east, 2 degrees north."""

SITE = f"""INSERT INTO site (uuid, created_at, changed_at, name, sensitivity, geom)
    VALUES ('s', {STANDING}, 'A', 'withheld', {{}})"""
BOUNDS = "UPDATE gpkg_contents SET min_x = 1, max_x = 1, min_y = 2, max_y = 2 WHERE table_name = 'site'"
PHOTO = f"""INSERT INTO photo (uuid, created_at, changed_at, sha256, file_name, media_type, clock_offset_s,
    zone_assumed, at_home) VALUES ('{{0}}', {STANDING}, '{{0}}', 'IMG.JPG', 'image/jpeg', 0, 0, 0)"""


def faults(path: Path) -> dict[str, tuple[str, ...]]:
    """Give what is wrong, by what was looked at."""
    with opened(path) as book:
        return {line.looked_at: line.faults for line in check.look_over(book) if line.faults}


def remarks(path: Path) -> tuple[str, ...]:
    """Give what was remarked and is no fault."""
    with opened(path) as book:
        return tuple(remark for line in check.look_over(book) for remark in line.remarks)


def broken(path: Path, *statements: str) -> Path:
    """Run statements on a book's file as another program would; gives the path."""
    with closing(sqlite3.connect(path)) as book, book:
        register_functions(book)
        for statement in statements:
            book.execute(statement)
    return path
