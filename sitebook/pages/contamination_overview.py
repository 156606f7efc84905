"""Draws where all sites lie, each with the hatch of its class and the number it bears in the table."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from markupsafe import Markup, escape

from sitebook.pages.class_plate import letter
from sitebook.pages.contamination_numbers import count
from sitebook.pages.label_room import Box, Room, text_width
from sitebook.pages.scale_bar import north_mark, scale_bar
from sitebook.pages.svg_shapes import tidy
from sitebook.records.results.review import PlaceReview

WIDTH = 380.0
LEAST_HEIGHT, MOST_HEIGHT = 200.0, 400.0
EDGE = 30.0
TEXT = 13
MARK = 14.0
LEAST_SPAN_M = 100.0
METRES_PER_DEGREE = 111_195.0
"""Metres to the degree on a sphere of 6,371 km; enough for a drawing."""

RINGS = (0.0, 16.0, 26.0, 38.0)
ANGLES = 12


@dataclass(frozen=True)
class NumberedSite:
    """One site with the number it bears on the map and in the table.

    Parameters
    ----------
    number
        The number.
    anchor
        Where its full review stands on the page; "" where it was left out.
    review
        Its review.
    """

    number: int
    anchor: str
    review: PlaceReview


def sites_map(sites: Sequence[NumberedSite]) -> Markup:
    """Draw the sites by their positions on a plane true at the middle of them.

    Parameters
    ----------
    sites
        At least one, the worst first; where marks crowd, the worst keep their numbers.
    """
    metres = _positions_m([(site.review.lon, site.review.lat) for site in sites])
    placed, high, scale = _fitted(metres)
    room = Room(WIDTH, high)
    room.take(Box(64.0, high - 19.0, 128.0, 38.0))
    room.take(Box(WIDTH - 17.0, 23.0, 34.0, 46.0))
    marks = [_mark(site, at) for site, at in reversed(list(zip(sites, placed, strict=True)))]
    for x, y in placed:
        room.take(Box(x, y, MARK, MARK))
    numbers = list(_numbers(room, sites, placed))
    heard = f"Map of {count(len(sites), 'site', 'sites')}, north up; the table holds the same."
    return Markup(  # noqa: S704 (numbers, and names that were escaped)
        f'<svg class="sites-map" viewBox="0 0 {WIDTH:g} {tidy(high)}" role="group" '
        f'aria-label="{escape(heard)}">{"".join(marks)}{"".join(numbers)}{scale_bar(WIDTH, high, scale)}'
        f'{north_mark(WIDTH)}<path class="rim" d="M.5 .5H{WIDTH - 0.5:g}V{tidy(high - 0.5)}H.5z"/></svg>'
    )


def _positions_m(lonlats: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """Give metres east and north of the first site; the shorter way round the globe is taken."""
    first_lon = lonlats[0][0]
    middle_lat = math.radians((min(lat for _, lat in lonlats) + max(lat for _, lat in lonlats)) / 2.0)
    return [
        (
            ((lon - first_lon + 180.0) % 360.0 - 180.0) * METRES_PER_DEGREE * math.cos(middle_lat),
            (lat - lonlats[0][1]) * METRES_PER_DEGREE,
        )
        for lon, lat in lonlats
    ]


def _fitted(metres: Sequence[tuple[float, float]]) -> tuple[list[tuple[float, float]], float, float]:
    """Give places on the drawing, its height, and drawing units to the metre."""
    east, north = [x for x, _ in metres], [y for _, y in metres]
    wide_m = max(max(east) - min(east), LEAST_SPAN_M)
    high_m = max(max(north) - min(north), LEAST_SPAN_M / 2.0)
    scale = min((WIDTH - 2.0 * EDGE) / wide_m, (MOST_HEIGHT - 2.0 * EDGE) / high_m)
    high = max(LEAST_HEIGHT, high_m * scale + 2.0 * EDGE)
    middle = (min(east) + max(east)) / 2.0, (min(north) + max(north)) / 2.0
    placed = [
        (WIDTH / 2.0 + (x - middle[0]) * scale, high / 2.0 - (y - middle[1]) * scale) for x, y in metres
    ]
    return placed, high, scale


def _mark(site: NumberedSite, at: tuple[float, float]) -> str:
    """Draw the hatch of a class; the mark is moved as a whole, so that each cuts its hatch alike."""
    corner = f"{tidy(at[0] - MARK / 2.0)} {tidy(at[1] - MARK / 2.0)}"
    sign, side = letter(site.review.place_class), f'width="{MARK:g}" height="{MARK:g}"'
    return (
        f'<g class="site-mark" transform="translate({corner})"><rect class="under" {side}/>'
        f'<rect class="area area-road-{sign}" {side}/></g>'
    )


def _numbers(
    room: Room, sites: Sequence[NumberedSite], placed: Sequence[tuple[float, float]]
) -> Iterator[str]:
    """Write the number of each site near its mark, with a line where it had to move away."""
    for site, (x, y) in zip(sites, placed, strict=True):
        wide = text_width(str(site.number), TEXT) + 4.0
        box = room.first_free(Box(px, py, wide, 15.0) for px, py in _around(x, y, wide))
        if box is None:
            continue
        if math.hypot(box.x - x, box.y - y) > wide / 2.0 + 20.0:
            yield f'<path class="leader" d="M{tidy(x)} {tidy(y)}L{tidy(box.x)} {tidy(box.y)}"/>'
        text = (
            f'<text class="name" x="{tidy(box.x)}" y="{tidy(box.y + 4.7)}" text-anchor="middle" '
            f'font-weight="700">{site.number}<title>{escape(site.review.name)}</title></text>'
        )
        yield f'<a href="#{escape(site.anchor)}">{text}</a>' if site.anchor else text


def _around(x: float, y: float, wide: float) -> Iterator[tuple[float, float]]:
    """Give places to try, from the right of a mark outward."""
    for ring in RINGS:
        for step in range(ANGLES):
            angle = 2.0 * math.pi * step / ANGLES
            away_x, away_y = wide / 2.0 + MARK / 2.0 + 1.0 + ring, MARK / 2.0 + 8.5 + ring
            yield x + away_x * math.cos(angle), y + away_y * math.sin(angle)
