"""Tests of the map's layer of the road index: its words, its budget, and the page with and without it."""

from __future__ import annotations

import dataclasses
import json

import numpy as np
import pytest
import shapely

from sitebook.pages import map_surface
from sitebook.pages.map import draw_map
from sitebook.pages.map_surface import missing_words, surface_layer
from sitebook.pages.packing import unpacked
from sitebook.records.results.surface import Level
from tests.pages.sample_map import sample_map
from tests.pages.sample_surface import sample_part, sample_surface


def test_the_key_names_every_step_and_the_error() -> None:
    layer = surface_layer(sample_surface(left_out_km2=12.5))
    assert [said for *_, said in layer.steps] == [
        "0.005 to 0.05, the step of class 1",
        "0.05 to 0.3, the step of class 2",
        "0.3 to 1, the step of class 3",
        "1 and above, the step of class 4",
    ]
    assert len({path for _, path, _, _ in layer.steps}) == 4
    words = " ".join(layer.words)
    assert "traffic alone" in words
    assert "no other source" in words
    assert "near that edge the index may be too low" in words
    assert "0.002 % in the median and by 0.034 % or less in 99 of 100 cells (3,000 compared)" in words
    assert "cells of 5 m" in words
    assert "12.5 km²" in words


def test_lines_lie_where_the_levels_are() -> None:
    layer = surface_layer(sample_surface())
    lines = json.loads(json.dumps(layer.data["lines"]))
    assert [line["level"] for line in lines] == [0.005, 0.05, 0.3, 1.0]
    for line, level in zip(lines, sample_part().levels, strict=True):
        (runs,) = unpacked({key: line[key] for key in ("parts", "counts", "xy")})
        assert level.outline is not None
        drawn = shapely.Polygon(runs[0])
        assert drawn.symmetric_difference(level.outline).area < 0.01 * level.outline.area


def test_lines_keep_to_their_budget(monkeypatch: pytest.MonkeyPatch) -> None:
    angle = np.linspace(0, 2 * np.pi, 4000)
    radius = 0.01 + 0.002 * np.sin(200 * angle)
    ragged = shapely.MultiPolygon(
        [shapely.Polygon(np.column_stack([radius * np.cos(angle) - 19.4, radius * np.sin(angle) + 48.6]))]
    )
    part = sample_part()
    levels = tuple(Level(level.level, level.share, ragged) for level in part.levels)
    view = dataclasses.replace(sample_surface(), parts=(dataclasses.replace(part, levels=levels),))
    monkeypatch.setattr(map_surface, "LINES_BYTES", 9_000)
    layer = surface_layer(view)
    assert len(json.dumps(layer.data["lines"], separators=(",", ":"))) <= 9_000
    assert any("left away: 0.005" in sentence for sentence in layer.words)


def test_a_level_that_nothing_reaches_has_no_line() -> None:
    part = sample_part()
    levels = (*part.levels[:3], Level(1.0, 0.0, None))
    view = dataclasses.replace(sample_surface(), parts=(dataclasses.replace(part, levels=levels),))
    assert json.loads(json.dumps(surface_layer(view).data["lines"]))[3]["xy"] == []


def test_the_page_grows_by_little() -> None:
    view = sample_map()
    plain = draw_map(view)
    shown = draw_map(dataclasses.replace(view, surface=sample_surface()))
    assert 'id="surface-switch"' in shown
    assert 'id="surface-switch"' not in plain
    assert len(shown) - len(plain) < 400_000


def test_the_page_says_how_to_come_by_one() -> None:
    stale = dataclasses.replace(sample_map(), surface=sample_surface(current=False))
    for view, said in ((sample_map(), "Not reckoned yet"), (stale, "have changed since")):
        page = draw_map(view)
        assert said in page
        assert "contamination --surface" in page
        assert '"surface":null' in page
    assert missing_words(None).endswith("then draw the map again.")
