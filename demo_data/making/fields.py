"""The farmed ground between the roads, divided into fields."""

from __future__ import annotations

import random
from dataclasses import dataclass

from demo_data.making.lines import Line, Point, between, middle, offset, part, patch, shrunk
from demo_data.making.map_file import Drawing
from demo_data.making.roads import EAST, MILL, PRIMARY, RAIL, TERTIARY, river_bank


@dataclass(frozen=True)
class Farm:
    """Ground between two lines, cut at shares of their lengths and of the way between them."""

    name: str
    south: Line
    north: Line
    columns: tuple[float, ...]
    rows: tuple[float, ...]
    use: str

    def at(self, u: float, v: float) -> Point:
        """Give the point at shares u to the east and v to the north."""
        west, east = [self.south[0], self.north[0]], [self.south[-1], self.north[-1]]
        return patch(self.south, self.north, west, east, (u, v))


FARMS: tuple[Farm, ...] = (
    Farm(
        "River meadows",
        between(river_bank(1, clear_m=10), (1070, 285), (1750, 462)),
        offset(between(EAST, (1060, 443), (1750, 622)), -10),
        (0, 0.26, 0.5, 0.78, 1),
        (0, 1),
        "meadow",
    ),
    Farm(
        "South of the line",
        offset(between(TERTIARY["Quarry Road"], (660, -480), (1750, -850)), 12),
        offset(between(RAIL, (680, -285), (1750, -565)), -30),
        (0, 0.16, 0.33, 0.52, 0.7, 0.86, 1),
        (0, 1),
        "farmland",
    ),
    Farm(
        "Below the quarry road",
        [(1300, -1490), (1450, -1490), (1600, -1490), (1745, -1490)],
        [(1500, -850), (1590, -860), (1680, -870), (1745, -885)],
        (0, 0.35, 0.68, 1),
        (0, 0.33, 0.66, 1),
        "farmland",
    ),
    Farm(
        "Skarrow fields",
        offset(between(PRIMARY, (900, -1125), (1235, -1480)), 26),
        [(1150, -1030), (1230, -1090), (1290, -1200), (1290, -1460)],
        (0, 0.34, 0.7, 1),
        (0, 0.5, 1),
        "farmland",
    ),
    Farm(
        "Mill side",
        offset(between(PRIMARY, (500, -815), (700, -970)), 40)[1:],
        offset(between(TERTIARY["Quarry Road"], (640, -475), (1120, -700)), -14),
        (0, 0.3, 0.62, 1),
        (0, 0.5, 1),
        "farmland",
    ),
    Farm(
        "East end",
        [(1625, -460), (1745, -470)],
        [(1500, 270), (1745, 400)],
        (0, 1),
        (0, 0.3, 0.6, 1),
        "meadow",
    ),
    Farm(
        "North road",
        [(-560, 1225), (-400, 1235), (-120, 1240), (80, 1290)],
        [(-625, 1490), (-300, 1495), (0, 1495), (300, 1495)],
        (0, 0.3, 0.62, 1),
        (0, 0.5, 1),
        "farmland",
    ),
    Farm(
        "Shore fields",
        [(-870, 1170), (-760, 1185), (-740, 1195)],
        [(-860, 1490), (-780, 1495), (-755, 1490)],
        (0, 0.5, 1),
        (0, 0.4, 0.7, 1),
        "meadow",
    ),
    Farm(
        "Links side",
        offset(between(MILL, (765, 640), (945, 1470)), -16),
        [(850, 640), (870, 800), (935, 1050), (1020, 1180), (1030, 1470)],
        (0, 0.2, 0.42, 0.66, 1),
        (0, 1),
        "meadow",
    ),
    Farm(
        "Dune fields",
        [(-150, -870), (-20, -925), (90, -1010), (200, -1040)],
        [(-290, -690), (-60, -660), (160, -665), (330, -700)],
        (0, 0.3, 0.62, 1),
        (0, 0.45, 1),
        "farmland",
    ),
    Farm(
        "Plantation side",
        [(240, -1040), (430, -948), (560, -948)],
        [(350, -705), (440, -790), (590, -915)],
        (0, 0.5, 1),
        (0, 1),
        "meadow",
    ),
)


def draw_fields(drawing: Drawing) -> None:
    """Draw the fields of every farm, with hedges, tracks and the name of the ground."""
    for farm in FARMS:
        rng = random.Random(farm.name)
        for u0, u1 in zip(farm.columns, farm.columns[1:], strict=False):
            for v0, v1 in zip(farm.rows, farm.rows[1:], strict=False):
                _field(drawing, farm, _cell(farm, (u0, v0), (u1, v1)), rng)
        for u in farm.columns[1:-1]:
            if rng.random() < 0.55:
                drawing.draw([farm.at(u, k / 5) for k in range(6)], highway="track", tracktype="grade3")
        corners = [farm.south[0], farm.south[-1], farm.north[-1], farm.north[0], farm.south[0]]
        drawing.dot(middle(corners), place="locality", name=farm.name)


def _cell(farm: Farm, low: Point, high: Point) -> Line:
    (u0, v0), (u1, v1) = low, high
    side = [k / 3 for k in range(3)]
    ring = [farm.at(u0 + (u1 - u0) * k, v0) for k in side] + [farm.at(u1, v0 + (v1 - v0) * k) for k in side]
    ring += [farm.at(u1 - (u1 - u0) * k, v1) for k in side] + [farm.at(u0, v1 - (v1 - v0) * k) for k in side]
    return shrunk([*ring, ring[0]], 5.0)


def _field(drawing: Drawing, farm: Farm, cell: Line, rng: random.Random) -> None:
    other = "meadow" if farm.use == "farmland" else "farmland"
    drawing.draw(cell, landuse=farm.use if rng.random() < 0.75 else other)
    if rng.random() < 0.6:
        drawing.draw(part(cell, 0, 80 + 100 * rng.random()), barrier="hedge")
