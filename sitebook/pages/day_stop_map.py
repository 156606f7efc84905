"""Draws the ground round one stop with the trees to look at."""

from __future__ import annotations

import numpy as np
import shapely
from markupsafe import Markup, escape

from sitebook.pages.contamination_map_labels import road_names, tree_tags
from sitebook.pages.day_words import count
from sitebook.pages.ground_picture import ground_picture
from sitebook.pages.label_room import Box, Room
from sitebook.pages.scale_bar import north_mark, scale_bar
from sitebook.pages.sheet import sheet_round
from sitebook.pages.svg_shapes import path_data, tidy
from sitebook.records.results.day_plan import DayPlace
from sitebook.records.results.map_view import GroundMap
from sitebook.records.results.route import Leg

WIDE = 360.0
HIGH = (220.0, 300.0)
EDGE = 36.0
LEAST_M = 260.0
CROSS = 8.0


def stop_map(place: DayPlace, ground: GroundMap, legs: tuple[Leg, ...]) -> Markup:
    """Draw the ground round a stop; empty where it has no tree to look at.

    Parameters
    ----------
    place
        The stop.
    ground
        Land and ways below; it may reach far beyond.
    legs
        Ways of the day, of which the parts that run here are drawn.
    """
    if not place.trees:
        return Markup()
    spots = [(place.lon, place.lat), *((tree.lon, tree.lat) for tree in place.trees)]
    sheet = sheet_round(spots, wide=WIDE, high=HIGH, edge=EDGE, least_m=LEAST_M)
    room = Room(sheet.wide, sheet.high)
    for corner in (Box(60.0, sheet.high - 19.0, 120.0, 38.0), Box(WIDE - 17.0, 23.0, 34.0, 46.0)):
        room.take(corner)
    x, y = sheet.place(place.lon, place.lat)
    room.take(Box(x, y, 2.0 * CROSS, 2.0 * CROSS))
    below = ground_picture(ground, sheet)
    ways = [shapely.LineString(part.lonlat) for leg in legs for part in leg.parts if len(part.lonlat) > 1]
    lines = path_data(shapely.union_all(sheet.drawn(ways))) if ways else ""
    places = sheet.places(np.array([(tree.lon, tree.lat) for tree in place.trees])).tolist()
    trees = [(tree.spot.tag, east, south) for tree, (east, south) in zip(place.trees, places, strict=True)]
    cross = f"M{tidy(x - CROSS)} {tidy(y)}h{tidy(2 * CROSS)}M{tidy(x)} {tidy(y - CROSS)}v{tidy(2 * CROSS)}"
    parts = [
        str(below.svg),
        f'<path class="route-halo" d="{lines}"/><path class="route foot" d="{lines}"/>' if lines else "",
        f'<path class="here-halo" d="{cross}"/><path class="here" d="{cross}"/>',
        *tree_tags(room, trees),
        *road_names(room, list(below.names)),
        str(scale_bar(WIDE, sheet.high, sheet.units_per_m)),
        str(north_mark(WIDE)),
        f'<path class="rim" d="M.5 .5H{tidy(WIDE - 0.5)}V{tidy(sheet.high - 0.5)}H.5z"/>',
    ]
    name, trees_said = escape(place.spot.site_name), count(len(trees), "tree", "trees")
    return Markup(  # noqa: S704 (numbers, and names that were escaped)
        f'<svg class="day-map stop-map" viewBox="0 0 {WIDE:g} {sheet.high:g}" role="img" '
        f'aria-label="{name}, north up, with {trees_said} to look at">{"".join(parts)}</svg>'
    )
