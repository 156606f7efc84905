"""Tests that text can be read in sun: contrasts of the palette, reckoned."""

from __future__ import annotations

import re

import pytest

from sitebook.pages.own_parts import PARTS
from sitebook.pages.palette import COLOURS, TEXT_ON, contrast

LEAST_FOR_TEXT = 7.0
LEAST_FOR_DRAWING = 3.0


@pytest.mark.source(
    item="",
    what="contrast of black and white",
    value="21",
    source="WCAG 2.2, definition of contrast ratio: from 1 to 21",
    mark="memory",
)
def test_black_on_white_has_the_largest_contrast() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#ffffff", "#ffffff") == 1.0


@pytest.mark.source(
    item="",
    what="contrast of #767676 on white",
    value="4.54",
    source="the lightest grey said to reach 4.5 to 1 on white in notes on WCAG 1.4.3",
    mark="memory",
)
def test_the_grey_that_just_passes_on_white() -> None:
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)
    assert contrast("#777777", "#ffffff") < 4.5


@pytest.mark.parametrize(
    ("text", "ground"), [(text, ground) for text, on in TEXT_ON.items() for ground in on]
)
def test_text_stands_out_seven_to_one(text: str, ground: str) -> None:
    assert contrast(COLOURS[text], COLOURS[ground]) >= LEAST_FOR_TEXT


@pytest.mark.parametrize("drawn", ["ink", "plum", "faded", "map-hazard", "map-rail"])
@pytest.mark.parametrize("ground", ["map-ground", "map-wood", "map-grass", "map-built", "map-water"])
def test_marks_stand_out_from_every_ground(drawn: str, ground: str) -> None:
    assert contrast(COLOURS[drawn], COLOURS[ground]) >= LEAST_FOR_DRAWING


def test_no_colour_is_a_traffic_light() -> None:
    for name, value in COLOURS.items():
        red, green, blue = (int(value[i : i + 2], 16) for i in (1, 3, 5))
        strong = max(red, green, blue) - min(red, green, blue) > 110
        assert not (strong and blue == min(red, green, blue)), name


LAYOUT = {"r"}
"""Custom properties that place a part rather than colour it: the row of a grid."""


@pytest.mark.parametrize("sheet", sorted(path.name for path in PARTS.glob("*.css")))
def test_style_sheets_name_colours_of_the_palette_only(sheet: str) -> None:
    text = (PARTS / sheet).read_text(encoding="utf-8")
    assert not re.findall(r"#[0-9a-fA-F]{3,8}\b(?=[;}\s])", text)
    assert set(re.findall(r"var\(--([a-z-]+)\)", text)) - LAYOUT <= COLOURS.keys()
