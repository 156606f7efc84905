"""Answers the road index over all ground that maps cover, and keeps it until what it rests on changes."""

from __future__ import annotations

import contextlib
import datetime
from collections.abc import Iterator, Sequence

import numpy as np

from sitebook import errors
from sitebook.analysis.contamination import parameters
from sitebook.analysis.contamination.surface import Accuracy, accuracy, surface_index
from sitebook.analysis.contamination.surface_cells import (
    Cells,
    ground_at_or_above,
    packed_cells,
    shortened,
    unpacked_cells,
)
from sitebook.ground.grid import middles_inside
from sitebook.records.results.surface import Level, SurfacePart, SurfaceView
from sitebook.records.surface import Surface, SurfaceCells, SurfaceContour
from sitebook.store import surfaces
from sitebook.store.book import Book
from sitebook.store.surfaces import KeptSurface
from sitebook.work.answer import Answer, Progress, silent
from sitebook.work.surface_plan import Plan, plans_of

LEVELS = ("class_1", "class_2", "class_3", "class_4")


def surface_of(
    book: Book, *, today: datetime.date, now: datetime.datetime, progress: Progress = silent
) -> Answer[SurfaceView]:
    """Answer the road index over all covered ground; what is kept and still holds is not reckoned again.

    Parameters
    ----------
    book
        The book.
    today
        Day for which roads and counts are taken.
    now
        Instant noted for what is reckoned, UTC.
    progress
        Hears how far it is.

    Raises
    ------
    NothingToShow
        When no map stands in the book, or it holds no road with motor traffic.
    BookNotWritable, BookBusy
        When a surface must be reckoned and cannot be kept.
    """
    plans, left_out_km2 = plans_of(book, today)
    _refuse_nothing(book, plans)
    known = surfaces.hashes(book)
    standing = [plan.name for plan in plans if known.get(plan.name) == plan.input_hash]
    if len(standing) == len(plans) == len(known):
        return Answer(_view(book, plans, left_out_km2, made_anew=False))
    fresh = [_reckoned(plan, now, progress) for plan in plans if plan.name not in standing]
    surfaces.put_in_place(book, fresh, standing)
    return Answer(_view(book, plans, left_out_km2, made_anew=True))


def kept_surface(book: Book, *, today: datetime.date) -> SurfaceView | None:
    """Give the surface that is kept and say whether it is current; None where none was made."""
    known = surfaces.hashes(book)
    if not known:
        return None
    plans, left_out_km2 = plans_of(book, today)
    current = known == {plan.name: plan.input_hash for plan in plans}
    kept = sorted(surfaces.kept(book).values(), key=lambda each: -each.surface.geom.area)
    parts = tuple(_part(each) for each in kept)
    return SurfaceView(parts, current=current, made_anew=False, left_out_km2=left_out_km2)


def surface_for_map(
    book: Book, *, today: datetime.date, now: datetime.datetime | None, progress: Progress = silent
) -> SurfaceView | None:
    """Give the kept surface, reckoned anew where it no longer holds and that is possible.

    Parameters
    ----------
    book, today, progress
        As in `surface_of`.
    now
        Instant noted for what is reckoned, UTC; None where nothing is to be reckoned.

    Returns
    -------
    SurfaceView or None
        None where none was ever made; one that is not current where it could not be made anew.
    """
    if not surfaces.hashes(book):
        return None
    if now is not None:
        with contextlib.suppress(errors.NothingToShow, errors.BookNotWritable, errors.BookBusy):
            return surface_of(book, today=today, now=now, progress=progress).result
    return kept_surface(book, today=today)


def _refuse_nothing(book: Book, plans: Sequence[Plan]) -> None:
    if not plans:
        raise errors.NothingToShow(
            "the book holds no map yet, and the road index needs one",
            where=str(book.path),
            remedy="Bring a map extract in with `sitebook import`.",
        )
    if not any(plan.roads for plan in plans):
        raise errors.NothingToShow(
            "the maps of the book hold no road with motor traffic",
            where=str(book.path),
            remedy="Bring in an extract that holds the roads round your sites.",
        )


def _view(book: Book, plans: Sequence[Plan], left_out_km2: float, *, made_anew: bool) -> SurfaceView:
    kept = surfaces.kept(book)
    parts = tuple(_part(kept[plan.name]) for plan in plans)
    return SurfaceView(parts, current=True, made_anew=made_anew, left_out_km2=left_out_km2)


def _reckoned(plan: Plan, now: datetime.datetime, progress: Progress) -> KeptSurface:
    """Reckon the index over one ground."""
    roads = (plan.lines_m, plan.vehicles, plan.half_widths_m)
    what = "reckoning the road index"
    index = surface_index(*roads, grid=plan.grid, told=lambda done, every: progress(what, done, every))
    index[~middles_inside(plan.grid, plan.frame.shape_to_metres(plan.ground))] = np.nan
    cells = shortened(index)
    del index
    error = accuracy(cells, *roads, grid=plan.grid) or Accuracy(0.0, 0.0, 0)
    surface = Surface(
        surface_key=plan.name,
        input_hash=plan.input_hash,
        made_at=now,
        cell_m=plan.grid.cell_m,
        reach_m=parameters.value("reach"),
        error_median=error.median,
        error_p99=error.p99,
        error_points=error.points,
        geom=plan.ground,
    )
    return KeptSurface(surface, _packed(plan, cells), tuple(_contours(plan, cells, progress)))


def _packed(plan: Plan, cells: Cells) -> SurfaceCells:
    return SurfaceCells(
        surface_id=0,
        rows_count=plan.grid.rows,
        columns_count=plan.grid.columns,
        centre_lon=plan.frame.lon,
        centre_lat=plan.frame.lat,
        west_m=plan.grid.west_m,
        south_m=plan.grid.south_m,
        content=packed_cells(cells),
    )


def _contours(plan: Plan, cells: Cells, progress: Progress) -> Iterator[SurfaceContour]:
    for number, name in enumerate(LEVELS):
        progress("drawing its levels", number, len(LEVELS))
        outline = ground_at_or_above(cells, plan.grid, parameters.value(name))
        if not outline.is_empty:
            drawn = plan.degrees(outline)
            yield SurfaceContour(surface_id=0, level=parameters.value(name), geom=drawn)
    progress("drawing its levels", len(LEVELS), len(LEVELS))


def _part(kept: KeptSurface) -> SurfacePart:
    surface, cells = kept.surface, kept.cells
    index = unpacked_cells(cells.content, cells.rows_count, cells.columns_count)
    covered = max(int(np.count_nonzero(~np.isnan(index))), 1)
    outlines = {contour.level: contour.geom for contour in kept.contours}
    steps = [parameters.value(name) for name in LEVELS]
    return SurfacePart(
        name=surface.surface_key,
        made_at=surface.made_at,
        ground=surface.geom,
        index=index,
        cell_m=surface.cell_m,
        centre_lon=cells.centre_lon,
        centre_lat=cells.centre_lat,
        west_m=cells.west_m,
        south_m=cells.south_m,
        levels=tuple(
            Level(step, int(np.count_nonzero(index >= step)) / covered, outlines.get(step)) for step in steps
        ),
        error_median=surface.error_median,
        error_p99=surface.error_p99,
        error_points=surface.error_points,
    )
