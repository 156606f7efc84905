"""Turns a kept surface into the map's layer of the road index, within a budget, with its words."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from sitebook.pages.packing import packed
from sitebook.pages.surface_picture import MOST_BYTES, StepPicture, step_picture
from sitebook.records.results.surface import SurfaceView

HATCHES: Final[tuple[tuple[int, str], ...]] = (
    (14, "M6.5 7H7.5"),
    (12, "M0 12L12 0M-3 3L3 -3M9 15L15 9"),
    (6, "M0 6L6 0M-1.5 1.5L1.5 -1.5M4.5 7.5L7.5 4.5"),
    (6, "M0 0L6 6M0 6L6 0"),
)
"""Hatch of each step: width of one tile [px] and its path; the same marks as the class it stands for."""

STRENGTHS: Final[tuple[float, ...]] = (0.1, 0.2, 0.32, 0.45)
"""How strongly each step is tinted, 0 to 1."""

LINES_BYTES = 150_000
"""Size the level lines may have in the page."""

TOLERANCES_DEG = (1e-5, 3e-5, 1e-4)
"""How far a level line may be drawn off, about 1, 3 and 10 m; the first that fits the budget is taken."""

HOW_TO_MAKE = "`sitebook contamination --surface` makes it; then draw the map again."


@dataclass(frozen=True)
class SurfaceLayer:
    """The layer as the page holds it.

    Parameters
    ----------
    data
        What the scripts read.
    steps
        Each step of the key: hatch, strength of the tint, and the step in words.
    words
        Sentences of the key.
    """

    data: dict[str, object]
    steps: tuple[tuple[int, str, float, str], ...]
    words: tuple[str, ...]


def surface_layer(view: SurfaceView) -> SurfaceLayer:
    """Make the layer of a surface that is current."""
    pictures = [step_picture(part, MOST_BYTES // len(view.parts)) for part in view.parts]
    lines, left_away = _lines(view)
    levels = [level.level for level in view.parts[0].levels]
    hatches = zip(HATCHES, STRENGTHS, _step_words(levels), strict=True)
    steps = tuple((size, path, strength, said) for (size, path), strength, said in hatches)
    data = {
        "pictures": [{"png": p.address, "box": [p.west, p.south, p.east, p.north]} for p in pictures],
        "steps": [[size, path, strength] for size, path, strength, _ in steps],
        "lines": lines,
    }
    return SurfaceLayer(data, steps, tuple(_words(view, pictures, left_away)))


def missing_words(view: SurfaceView | None) -> str:
    """Say why there is no layer, and how to come by it."""
    if view is None:
        return f"Not reckoned yet: {HOW_TO_MAKE}"
    return f"Roads or counts have changed since it was reckoned, so it is not shown: {HOW_TO_MAKE}"


def _step_words(levels: Sequence[float]) -> Iterator[str]:
    for number, level in enumerate(levels, start=1):
        above = f"{level:g} and above" if number == len(levels) else f"{level:g} to {levels[number]:g}"
        yield f"{above}, the step of class {number}"


def _lines(view: SurfaceView) -> tuple[list[dict[str, object]], list[float]]:
    """Pack the level lines as closely as the budget asks; gives the levels that had to stay away too."""
    by_level: dict[float, list[BaseGeometry]] = {}
    for part in view.parts:
        for level in part.levels:
            by_level.setdefault(level.level, []).extend([level.outline] if level.outline is not None else [])
    levels = sorted(by_level)
    for tolerance in TOLERANCES_DEG:
        lines = [_packed(level, by_level[level], tolerance) for level in levels]
        if _size(lines) <= LINES_BYTES:
            return lines, []
    kept = lines
    while kept and _size(kept) > LINES_BYTES:
        kept = kept[1:]
    return kept, levels[: len(levels) - len(kept)]


def _packed(level: float, outlines: Sequence[BaseGeometry], tolerance_deg: float) -> dict[str, object]:
    rings = shapely.get_rings(shapely.get_parts(np.array(outlines, dtype=object)))
    simple = shapely.simplify(rings, tolerance_deg, preserve_topology=True)
    return {"level": level, **packed(list(simple))}


def _size(lines: Sequence[dict[str, object]]) -> int:
    return len(json.dumps(lines, separators=(",", ":")))


def _words(view: SurfaceView, pictures: Sequence[StepPicture], left_away: Sequence[float]) -> Iterator[str]:
    yield (
        "Added up over roads: how much of a busy kerb's load may reach a spot; 1 is the kerb of an endless "
        "straight road with 10,000 vehicles a day. It speaks of traffic alone, as mapped, counted or told: "
        "of no other source, and it measures nothing."
    )
    cell_m, square_m = view.parts[0].cell_m, max(picture.square_m for picture in pictures)
    shown = (
        f"; the picture shows squares of up to {square_m:g} m, each by its highest cell"
        if square_m > cell_m
        else ""
    )
    yield f"Reckoned in cells of {cell_m:g} m{shown}. A line runs round the ground that reaches each level."
    compared = sum(part.error_points for part in view.parts)
    if compared:
        median, p99 = (
            f"{100.0 * max(errors):.2g} %"
            for errors in zip(*((part.error_median, part.error_p99) for part in view.parts), strict=True)
        )
        yield (
            f"Against the exact sum it is off by {median} in the median and by {p99} or less in 99 of 100 "
            f"cells ({compared:,} compared). The traffic behind it is known far less well: a number by class "
            "may be three times too low or too high."
        )
    yield "Roads beyond the edge of the map are not known, so near that edge the index may be too low."
    if left_away:
        levels = ", ".join(f"{level:g}" for level in left_away)
        yield f"To keep the page small, lines of these levels are left away: {levels}."
    if view.left_out_km2 >= 0.1:
        yield f"Not reckoned, because the ground is too large: {view.left_out_km2:,.1f} km² of the map."
