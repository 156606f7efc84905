"""Times keeping and reading 100,000 finds against plain sqlite3 in one run."""

from __future__ import annotations

import datetime
import sqlite3
import struct
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pyogrio
import shapely

from sitebook.records.find import Find
from sitebook.store import rows
from sitebook.store.book import opened, writing
from sitebook.work.beginning import new_book
from sitebook.work.identity_keys import uuid_of

HOW_MANY = 100_000
NOW = datetime.datetime(2026, 1, 1, tzinfo=datetime.UTC)


def finds(how_many: int) -> list[Find]:
    """Make finds scattered over a town."""
    generator = np.random.default_rng(1)
    places = generator.normal((-19.4, 48.6), 0.05, (how_many, 2))
    points = list(shapely.points(places))  # type: ignore[arg-type]
    return [
        Find(
            uuid=uuid_of("find", str(number)),
            created_at=NOW,
            changed_at=NOW,
            collector_id=1,
            collection_number=number + 1,
            found_on=datetime.date(2021, 1, 1) + datetime.timedelta(days=number % 1800),
            position_source="gpx",
            individual_count=number % 9,
            fresh_mass_g=float(number % 300),
            geom=point,
        )
        for number, point in enumerate(points)
    ]


def timed(work: Callable[[], object]) -> float:
    """Give the seconds a piece of work takes."""
    began = time.perf_counter()
    work()
    return time.perf_counter() - began


def keep_plainly(path: Path, columns: list[str], prepared: list[list[object]]) -> None:
    """Write the same columns with executemany into a bare table: no index, no bookkeeping."""
    with sqlite3.connect(path) as bare:
        bare.execute(f"CREATE TABLE find ({', '.join(columns)})")
        bare.executemany(f"INSERT INTO find VALUES ({', '.join('?' * len(columns))})", prepared)


def _plain(value: object) -> object:
    if isinstance(value, shapely.Point):
        header = b"GP\0\1" + struct.pack("<i", 4326)
        return header + bytes(shapely.to_wkb(value, byte_order=1, flavor="iso"))
    return value.isoformat() if isinstance(value, datetime.date) else value


def read_plainly(path: Path) -> None:
    """Read every column with a cursor, and the geometries with shapely's from_wkb."""
    with sqlite3.connect(path) as bare:
        read = bare.execute("SELECT * FROM find").fetchall()
    shapely.from_wkb([row[-1][8:] for row in read])


def read_ours(path: Path) -> None:
    """Read the same columns into a GeoDataFrame, through Arrow."""
    frame = pyogrio.read_dataframe(path, layer="find", use_arrow=True)
    if len(frame) != HOW_MANY:
        raise AssertionError("finds are missing")


def main() -> None:
    """Print seconds and ratios."""
    made = finds(HOW_MANY)
    with tempfile.TemporaryDirectory() as folder:
        path, bare = Path(folder) / "book.gpkg", Path(folder) / "bare.db"
        new_book(path, title="b", owner="A B", initials="AB", zone="UTC", now=NOW)
        with opened(path) as book:

            def keep() -> None:
                with writing(book):
                    rows.insert(book, made)

            ours = timed(keep)
        prepared = [[_plain(value) for value in rows.values_of(find).values()] for find in made]
        plain = timed(lambda: keep_plainly(bare, list(rows.values_of(made[0])), prepared))
        print(f"keep with index: {ours:.2f} s; bare executemany: {plain:.2f} s; {ours / plain:.1f}x")
        seconds = min(timed(lambda: read_ours(path)) for _ in range(3))
        read_plain = min(timed(lambda: read_plainly(path)) for _ in range(3))
        print(f"read: {seconds:.2f} s; cursor and from_wkb: {read_plain:.2f} s; {seconds / read_plain:.2f}x")


if __name__ == "__main__":
    main()
