"""Loads the ground below the map of a day: no more than the map shows."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar

import shapely

from sitebook.ground.projection import Window
from sitebook.records.map_data import Extract, LandCover, Way
from sitebook.records.results.map_view import GroundMap, GroundShape
from sitebook.store import map_data, rows
from sitebook.store.book import Book

M = TypeVar("M", Way, LandCover)


def ground_in(book: Book, windows: Sequence[Window]) -> GroundMap:
    """Give the ways and land that touch some windows, with what extracts cover of them."""
    extracts = {e.id: e for window in windows for e in rows.in_window(book, Extract, window)}
    dates = [e.data_date for e in extracts.values() if e.data_date and e.superseded_by is None]
    covered = [extract.geom for extract in extracts.values()]
    return GroundMap(
        ways=tuple(GroundShape(w.road_class, w.name or "", w.geom) for w in _standing(book, Way, windows)),
        land=tuple(GroundShape(g.kind, g.name or "", g.geom) for g in _standing(book, LandCover, windows)),
        covered=shapely.union_all(covered) if covered else None,
        attributions=tuple(sorted({extract.attribution for extract in extracts.values()})),
        data_date=min(dates, default=None),
    )


def _standing(book: Book, kind: type[M], windows: Sequence[Window]) -> list[M]:
    """Give each row once, also where it touches both windows at 180 degrees of longitude."""
    found = (row for window in windows for row in map_data.standing_in_window(book, kind, window))
    return list({row.id: row for row in found}.values())
