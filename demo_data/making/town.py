"""The whole map of the island town."""

from __future__ import annotations

from demo_data.making.greens import draw_greens
from demo_data.making.land import draw_land
from demo_data.making.map_file import Drawing, knot, osm_xml, reach_roads
from demo_data.making.roads import draw_roads
from demo_data.making.streets import draw_streets


def town_map() -> str:
    """Draw the town and write it as OSM XML."""
    drawing = Drawing()
    draw_land(drawing)
    draw_greens(drawing)
    draw_roads(drawing)
    draw_streets(drawing)
    reach_roads(drawing)
    knot(drawing)
    return osm_xml(drawing)
