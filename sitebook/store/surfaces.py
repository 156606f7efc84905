"""Kept surfaces of the road index: rows in, records out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from sitebook.records.surface import Surface, SurfaceCells, SurfaceContour
from sitebook.store import rows
from sitebook.store.book import Book, writing


@dataclass(frozen=True)
class KeptSurface:
    """One surface with its cells and outlines.

    Parameters
    ----------
    surface
        What it is of, and from what it was reckoned.
    cells
        Its cells, packed.
    contours
        Ground at or above each level, lowest first.
    """

    surface: Surface
    cells: SurfaceCells
    contours: tuple[SurfaceContour, ...]


def hashes(book: Book) -> dict[str, str]:
    """Give the input hash of every kept surface by what it is of."""
    return {s.surface_key: s.input_hash for s in rows.records(book, Surface)}


def kept(book: Book) -> dict[str, KeptSurface]:
    """Give every kept surface by what it is of; one without cells is left away."""
    cells = {c.surface_id: c for c in rows.records(book, SurfaceCells)}
    contours: dict[int, list[SurfaceContour]] = {}
    for contour in rows.records(book, SurfaceContour):
        contours.setdefault(contour.surface_id, []).append(contour)
    return {
        s.surface_key: KeptSurface(
            s, cells[s.id or 0], tuple(sorted(contours.get(s.id or 0, ()), key=lambda c: c.level))
        )
        for s in rows.records(book, Surface)
        if s.id in cells
    }


def put_in_place(book: Book, fresh: Sequence[KeptSurface], standing: Sequence[str]) -> None:
    """Keep fresh surfaces, and drop every other one that is not named as standing."""
    with writing(book):
        gone = [s.id or 0 for s in rows.records(book, Surface) if s.surface_key not in standing]
        for kind in (SurfaceContour, SurfaceCells):
            parts = rows.records(book, kind, rows.table_for(kind).c.surface_id.in_(gone))
            rows.delete(book, kind, [part.id or 0 for part in parts])
        rows.delete(book, Surface, gone)
        ids = rows.insert(book, [each.surface for each in fresh])
        of = list(zip(ids, fresh, strict=True))
        rows.insert(book, [replace(each.cells, surface_id=key) for key, each in of])
        rows.insert(book, [replace(one, surface_id=key) for key, each in of for one in each.contours])
