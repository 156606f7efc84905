"""Draws how the traffic index falls on either side of the nearest road, with its band."""

from __future__ import annotations

import math
from collections.abc import Sequence

from markupsafe import Markup, escape

from sitebook.pages.contamination_numbers import metres
from sitebook.pages.label_room import text_width
from sitebook.pages.svg_shapes import tidy
from sitebook.records.results.contamination import index_words as index
from sitebook.records.results.road_index import Profile
from sitebook.reference import reader

WIDTH, HEIGHT = 380.0, 300.0
LEFT, RIGHT, TOP, BOTTOM = 44.0, 364.0, 30.0, 252.0
TEXT = 13
LOWEST = 0.001
"""Index at the foot of the drawing; what is lower is drawn there."""

LEAST_TOP = 3.0
"""Index at the head of the drawing, unless the band reaches higher."""


def profile_svg(profile: Profile) -> Markup:
    """Draw the index across a road on a scale of powers of ten.

    Parameters
    ----------
    profile
        The index along a line across the road.
    """
    axes = _Axes(profile)
    parts = [
        _kerb(profile, axes),
        _step_lines(axes),
        _band(profile, axes),
        _central(profile, axes),
        _place(profile, axes),
        _step_names(axes),
        _scales(axes),
    ]
    return Markup(  # noqa: S704 (numbers, and names that were escaped)
        f'<svg class="profile" viewBox="0 0 {WIDTH:g} {HEIGHT:g}" role="img" '
        f'aria-label="{escape(_heard(profile))}">{"".join(parts)}</svg>'
    )


def place_index(profile: Profile) -> float:
    """Give the central index where the place lies, between the two nearest points of the line."""
    at, values = profile.distance_m, profile.central
    if profile.place_m <= at[0]:
        return values[0]
    for i in range(1, len(at)):
        if profile.place_m <= at[i]:
            share = (profile.place_m - at[i - 1]) / (at[i] - at[i - 1])
            return values[i - 1] + share * (values[i] - values[i - 1])
    return values[-1]


class _Axes:
    """Where distances and indices stand on the drawing."""

    def __init__(self, profile: Profile) -> None:
        self.first_m = min(profile.distance_m[0], profile.place_m)
        self.last_m = max(profile.distance_m[-1], profile.place_m)
        top = max(LEAST_TOP, *profile.high)
        self._span = math.log10(top / LOWEST)
        self.top = top

    def x(self, distance_m: float) -> float:
        """Give where a distance stands, kept within the drawing."""
        share = (distance_m - self.first_m) / max(self.last_m - self.first_m, 1e-9)
        return LEFT + (RIGHT - LEFT) * min(max(share, 0.0), 1.0)

    def y(self, value: float) -> float:
        """Give how high an index stands; the foot takes what is lower."""
        share = math.log10(max(value, LOWEST) / LOWEST) / self._span
        return BOTTOM - (BOTTOM - TOP) * min(share, 1.0)


def _heard(profile: Profile) -> str:
    here = index(place_index(profile))
    return (
        f"Traffic index across {profile.road}: {index(max(profile.central))} at most, {here} at the place, "
        f"{metres(abs(profile.place_m))} from the centre line."
    )


def _kerb(profile: Profile, axes: _Axes) -> str:
    """Shade the road from kerb to kerb."""
    left, right = axes.x(-profile.half_width_m), axes.x(profile.half_width_m)
    wide = max(right - left, 1.5)
    return f'<rect class="kerb" x="{tidy(left)}" y="{TOP:g}" width="{tidy(wide)}" height="{BOTTOM - TOP:g}"/>'


def _class_steps() -> list[tuple[int, float]]:
    """Give each class with the index from which it holds."""
    model = reader.parameters("roads_model")
    return [(number, model[f"class_{number}"].value) for number in (1, 2, 3, 4)]


def _step_lines(axes: _Axes) -> str:
    """Draw the index steps of the classes."""
    lines = "".join(f"M{LEFT:g} {tidy(axes.y(value))}H{RIGHT:g}" for _, value in _class_steps())
    return f'<path class="step" d="{lines}"/>'


def _step_names(axes: _Axes) -> str:
    """Write what the steps are: the index at the left edge, the class at the right."""
    texts = []
    for number, value in _class_steps():
        y = axes.y(value)
        texts.append(f'<text class="name" x="{RIGHT - 3:g}" y="{tidy(y - 4)}">class {number}</text>')
        texts.append(f'<text x="{LEFT - 5:g}" y="{tidy(y + 4.5)}">{value:g}</text>')
    return f'<g text-anchor="end">{"".join(texts)}</g>'


def _points(distances: Sequence[float], values: Sequence[float], axes: _Axes) -> list[str]:
    pairs = zip(distances, values, strict=True)
    return [f"{tidy(axes.x(distance))} {tidy(axes.y(value))}" for distance, value in pairs]


def _band(profile: Profile, axes: _Axes) -> str:
    """Fill the band between its ends."""
    there = _points(profile.distance_m, profile.high, axes)
    back = _points(profile.distance_m, profile.low, axes)[::-1]
    return f'<path class="band" d="M{"L".join([*there, *back])}z"/>'


def _central(profile: Profile, axes: _Axes) -> str:
    return f'<path class="central" d="M{"L".join(_points(profile.distance_m, profile.central, axes))}"/>'


def _place(profile: Profile, axes: _Axes) -> str:
    """Mark the place, its label leaning inwards at either end."""
    x, y = axes.x(profile.place_m), axes.y(place_index(profile))
    half = text_width("this place", TEXT) / 2.0
    middle = min(max(x, LEFT + half), RIGHT - half)
    return (
        f'<path class="here" d="M{tidy(x)} {TOP:g}V{BOTTOM:g}"/>'
        f'<circle class="here-dot" cx="{tidy(x)}" cy="{tidy(y)}" r="4.5"/>'
        f'<text x="{tidy(middle)}" y="{TOP - 6:g}" text-anchor="middle" font-weight="700">this place</text>'
    )


def _scales(axes: _Axes) -> str:
    """Write the scale of distances and what the axes are."""
    ticks = _round_ticks(axes.first_m, axes.last_m)
    marks = "".join(f"M{tidy(axes.x(tick))} {BOTTOM:g}v5" for tick in ticks)
    texts = "".join(
        f'<text x="{tidy(axes.x(tick))}" y="{BOTTOM + 19:g}" text-anchor="middle">{abs(tick):g}</text>'
        for tick in ticks
    )
    frame = f"M{LEFT:g} {TOP:g}V{BOTTOM:g}H{RIGHT:g}"
    middle = (LEFT + RIGHT) / 2.0
    return (
        f'<path class="axis" d="{frame}{marks}"/>{texts}'
        f'<text x="{middle:g}" y="{HEIGHT - 6:g}" text-anchor="middle">metres from the centre line</text>'
        f'<text x="2" y="{TOP - 16:g}">index</text>'
    )


def _round_ticks(first_m: float, last_m: float) -> list[float]:
    """Give four to eight round distances within a span."""
    rough = max(last_m - first_m, 1.0) / 6.0
    power = 10.0 ** math.floor(math.log10(rough))
    step = next(s * power for s in (1.0, 2.0, 5.0, 10.0) if s * power >= rough)
    return [n * step for n in range(math.ceil(first_m / step), math.floor(last_m / step) + 1)]
