"""Says what the road index over a whole ground holds: cells, levels, error, and what it does not speak of."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from sitebook.commands.options import now

if TYPE_CHECKING:
    from sitebook.records.results.surface import SurfacePart, SurfaceView

SPEAKS_OF = "roads alone: the traffic of maps, counts and old main roads told with their vehicles"


def answer(book_path: Path, *, on: datetime.date | None, as_json: bool) -> None:
    """Reckon the road index over all covered ground where it is not kept already, and print what it holds."""
    from sitebook.commands import as_json as json_form
    from sitebook.commands import telling
    from sitebook.work import opened, surface
    from sitebook.work.adding import local_today

    instant = now()
    with opened(book_path) as book:
        today = on or local_today(book, instant)
        view = surface.surface_of(book, today=today, now=instant, progress=telling.progress).result
    if as_json:
        json_form.echo(surface_as_documented(view))
        return
    for line in surface_lines(view):
        click.echo(line)


def surface_lines(view: SurfaceView) -> Iterator[str]:
    """Give the answer line by line."""
    for part in view.parts:
        yield f"{part.name[0].upper()}{part.name[1:]}: {part.cells:,} cells of {part.cell_m:g} m."
        yield f"  {'reckoned now' if view.made_anew else 'kept'}, {part.made_at:%Y-%m-%d %H:%M} UTC"
        yield from (f"  {words}" for words in error_words(part))
        for level in part.levels:
            yield f"  index {level.level:g} and above: {share_words(level.share)} of the covered ground"
    if view.left_out_km2 >= 0.1:
        yield f"Left out of the covered ground, which is too large: {view.left_out_km2:,.1f} km²."
    yield f"It speaks of {SPEAKS_OF}. It is no measurement."
    yield "Roads beyond the edge of the map are not known, so near that edge it may be too low."
    yield "The map shows it as a layer: `sitebook map`, then the key."


def error_words(part: SurfacePart) -> tuple[str, ...]:
    """Say how far the cells are from the exact sum."""
    if not part.error_points:
        return ("no cell is strong enough to compare with the exact sum",)
    median, p99 = (f"{100.0 * error:.2g} %" for error in (part.error_median, part.error_p99))
    return (
        f"off the exact sum by {median} in the median, by {p99} or less in 99 of 100 cells",
        f"(from {part.error_points:,} cells drawn by chance; traffic itself is known far less well)",
    )


def share_words(share: float) -> str:
    """Give a share in per cent, small ones not as nothing."""
    if share == 0.0:
        return "none"
    return "less than 0.1 %" if share < 0.001 else f"{100.0 * share:.1f} %"


def surface_as_documented(view: SurfaceView) -> dict[str, object]:
    """Give the answer in the shape docs/formats.md documents."""
    return {
        "speaks_of": SPEAKS_OF,
        "made_anew": view.made_anew,
        "left_out_km2": round(view.left_out_km2, 3),
        "grounds": [
            {
                "name": part.name,
                "made_at": part.made_at,
                "cells": part.cells,
                "cell_m": part.cell_m,
                "error_median": part.error_median,
                "error_p99": part.error_p99,
                "error_points": part.error_points,
                "levels": [{"level": level.level, "share": level.share} for level in part.levels],
            }
            for part in view.parts
        ],
    }
