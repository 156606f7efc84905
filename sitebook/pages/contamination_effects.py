"""Draws which parameter widens the range of an index most, one bar a parameter."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from sitebook.pages.svg_shapes import tidy
from sitebook.records.results.contamination import SMALLEST_INDEX
from sitebook.records.results.contamination import index_words as index
from sitebook.records.results.road_index import ParameterEffect
from sitebook.reference import reader

WIDTH, HEIGHT = 200.0, 26.0


@dataclass(frozen=True)
class DrawnEffect:
    """One parameter with its bar.

    Parameters
    ----------
    said
        The parameter in words.
    ends
        Lowest and highest index it makes, in words.
    times
        How many times the high end is the low one, in words.
    bar
        Its drawing.
    """

    said: str
    ends: str
    times: str
    bar: Markup


def drawn_effects(effects: Sequence[ParameterEffect], central: float) -> list[DrawnEffect]:
    """Draw a bar for each parameter, all on one scale of powers of ten.

    Parameters
    ----------
    effects
        What each parameter alone does to the index.
    central
        Index with all of them central [1].
    """
    ends = [end for effect in effects for end in (effect.low, effect.high)]
    first = max(SMALLEST_INDEX, min([central, *ends], default=SMALLEST_INDEX))
    last = max([central, *ends, first * 1.05])
    return [_drawn(effect, central, first, last) for effect in effects]


def _drawn(effect: ParameterEffect, central: float, first: float, last: float) -> DrawnEffect:
    def x(value: float) -> float:
        share = math.log(max(value, first) / first) / math.log(last / first)
        return 4.0 + (WIDTH - 8.0) * min(share, 1.0)

    steps = [reader.parameters("roads_model")[f"class_{n}"].value for n in (1, 2, 3, 4)]
    lines = "".join(f"M{tidy(x(step))} 0V{HEIGHT:g}" for step in steps if first < step < last)
    left, right = x(effect.low), x(effect.high)
    bar = (
        f'<svg class="effect" viewBox="0 0 {WIDTH:g} {HEIGHT:g}" '
        'preserveAspectRatio="none" aria-hidden="true">'
        f'<path class="step" d="{lines}"/>'
        f'<rect class="reach" x="{tidy(left)}" y="8" width="{tidy(max(right - left, 1.0))}" height="10"/>'
        f'<path class="middle" d="M{tidy(x(central))} 3V{HEIGHT - 3:g}"/></svg>'
    )
    return DrawnEffect(
        said=effect.said,
        ends=f"{index(effect.low)} to {index(effect.high)}",
        times=_times(effect.low, effect.high),
        bar=Markup(bar),  # noqa: S704 (numbers)
    )


def _times(low: float, high: float) -> str:
    if low < SMALLEST_INDEX:
        return ""
    ratio = high / low
    return f"{ratio:.1f} times" if ratio < 10.0 else f"{ratio:,.0f} times"
