"""Draws the scale bar and the north mark of a small map."""

from __future__ import annotations

import math

from markupsafe import Markup

from sitebook.pages.contamination_numbers import length
from sitebook.pages.label_room import text_width
from sitebook.pages.svg_shapes import tidy

TEXT = 13
MOST_SHARE = 0.3
"""Longest scale bar as a share of the width of the drawing."""


def round_length_m(most_m: float) -> float:
    """Give the longest of 1, 2 or 5 times a power of ten that is no longer than a length [m]."""
    power = 10.0 ** math.floor(math.log10(most_m))
    return max(step * power for step in (1.0, 2.0, 5.0) if step * power <= most_m * (1.0 + 1e-9))


def scale_bar(wide: float, high: float, units_per_m: float) -> Markup:
    """Draw a scale bar in the lower left corner.

    Parameters
    ----------
    wide, high
        Size of the drawing, in its units.
    units_per_m
        Drawing units to the metre.
    """
    long_m = round_length_m(MOST_SHARE * wide / units_per_m)
    long, said = long_m * units_per_m, length(long_m)
    ground = max(long, text_width(said, TEXT)) + 16.0
    bar = f"M12 {tidy(high - 15)}v6h{tidy(long)}v-6"
    return Markup(  # noqa: S704 (numbers)
        f'<path class="corner" d="M4 {tidy(high - 34)}h{tidy(ground)}v30h-{tidy(ground)}z"/>'
        f'<path class="bar" d="{bar}"/><text x="12" y="{tidy(high - 19)}">{said}</text>'
    )


def north_mark(wide: float) -> Markup:
    """Draw the north mark in the upper right corner."""
    x = wide - 17.0
    return Markup(  # noqa: S704 (numbers)
        f'<path class="corner" d="M{tidy(x - 13)} 4h26v38h-26z"/>'
        f'<path class="arrow" d="M{tidy(x)} 8l7 13h-14z"/>'
        f'<text x="{tidy(x)}" y="37" text-anchor="middle" font-weight="700">N</text>'
    )
