"""An invented island town as the ground of a map, for tests."""

from __future__ import annotations

import math

import shapely
from shapely.geometry.base import BaseGeometry

from sitebook.records.results.map_view import GroundMap, GroundShape

LON, LAT = -19.4, 48.6
METRES_PER_DEGREE = 111_195.0


def at(east_m: float, north_m: float) -> tuple[float, float]:
    """Give longitude and latitude of a spot counted from the market place."""
    lon = LON + east_m / (METRES_PER_DEGREE * math.cos(math.radians(LAT)))
    return lon, LAT + north_m / METRES_PER_DEGREE


def line(*spots: tuple[float, float]) -> BaseGeometry:
    """Draw a line through spots."""
    return shapely.LineString([at(*spot) for spot in spots])


def area(*spots: tuple[float, float]) -> BaseGeometry:
    """Draw an area round spots."""
    return shapely.Polygon([at(*spot) for spot in spots])


def blob(east_m: float, north_m: float, wide_m: float, high_m: float, wave: float = 0.12) -> BaseGeometry:
    """Draw a rounded area that is a little uneven."""
    turns = [2 * math.pi * i / 48 for i in range(48)]
    reach = [1 + wave * math.sin(3 * turn + east_m) + wave / 2 * math.cos(5 * turn) for turn in turns]
    return area(
        *(
            (east_m + wide_m * r * math.cos(turn), north_m + high_m * r * math.sin(turn))
            for turn, r in zip(turns, reach, strict=True)
        )
    )


def town() -> GroundMap:
    """Build the ground of Vennarhaven."""
    return GroundMap(
        ways=tuple(_main_roads() + _lanes() + _paths()),
        land=tuple(_land()),
        hazards=tuple(_hazards()),
        covered=area((-2600, -1700), (2600, -1700), (2600, 1700), (-2600, 1700)),
        attributions=("drawn by hand for this book",),
        data_date=None,
    )


def _main_roads() -> list[GroundShape]:
    through = line((-2300, -420), (-1500, -260), (-700, -120), (0, 0), (800, 60), (1600, 260), (2300, 480))
    north = line((0, 0), (60, 400), (20, 800), (-80, 1250))
    ring = line((-700, -120), (-640, 300), (-300, 620), (20, 800), (520, 640), (840, 320), (800, 60))
    return [
        GroundShape("primary", "Through Road", through),
        GroundShape("secondary", "North Road", north),
        GroundShape("tertiary", "Rampart Ring", ring),
    ]


def _lanes() -> list[GroundShape]:
    names = (
        "Net Lane",
        "Cooper Lane",
        "Rope Walk",
        "Gull Lane",
        "Kiln Lane",
        "Well Lane",
        "Bell Lane",
        "Hop Lane",
    )
    lanes = []
    for i, name in enumerate(names):
        east = -560 + 170 * i
        lanes.append(
            GroundShape(
                "residential", name, line((east, -80 + 0.08 * east), (east + 30, 480 - abs(east) / 3))
            )
        )
    for i in range(4):
        north = 110 + 105 * i
        lanes.append(
            GroundShape(
                "residential",
                f"{('First', 'Second', 'Third', 'Fourth')[i]} Row",
                line((-560, north), (720, north + 30)),
            )
        )
    lanes.append(GroundShape("service", "Quay", line((-480, -420), (0, -330), (560, -350))))
    lanes.append(
        GroundShape("unclassified", "Mill Lane", line((800, 60), (1100, -260), (1500, -520), (1950, -600)))
    )
    return lanes


def _paths() -> list[GroundShape]:
    spots = [(-1900, 300), (-1650, 520), (-1400, 610), (-1150, 540), (-950, 700)]
    return [
        GroundShape("path", "Ridge Path", line(*spots)),
        GroundShape("footway", "", line((1000, 420), (1180, 560), (1420, 540), (1500, 700))),
        GroundShape("track", "Charcoal Track", line((-80, 1250), (-420, 1180), (-900, 1230), (-1300, 1100))),
        GroundShape("footway", "", line((-300, 620), (-420, 820), (-260, 960), (20, 800))),
    ]


def _land() -> list[GroundShape]:
    island = blob(0, 250, 2350, 1250, 0.05)
    river = line((-300, 1500), (-250, 1000), (-760, 560), (-860, 100), (-640, -220), (-520, -700))
    return [
        GroundShape(
            "water", "", area((-2600, -1700), (2600, -1700), (2600, 1700), (-2600, 1700)).difference(island)
        ),
        GroundShape("land", "Vennaray", island),
        GroundShape("water", "Harbour", blob(-80, -760, 900, 300, 0.08)),
        GroundShape("water", "Venna", shapely.LineString(river.coords).buffer(0.00022)),
        GroundShape("built ground", "", blob(50, 210, 820, 430, 0.04)),
        GroundShape("wood", "Ridge Wood", blob(-1450, 560, 560, 300)),
        GroundShape("wood", "Charcoal Wood", blob(-700, 1150, 520, 170)),
        GroundShape("park", "Bell Park", blob(1250, 560, 330, 190)),
        GroundShape("wood", "", blob(1350, 600, 120, 80)),
        GroundShape("cemetery", "Old Yard", area((560, 420), (700, 430), (690, 560), (550, 545))),
        GroundShape("golf", "Links", blob(1500, -150, 330, 150)),
        GroundShape("allotments", "Kiln Plots", area((-520, 560), (-380, 660), (-450, 760), (-600, 650))),
        GroundShape("school ground", "", area((330, 250), (480, 255), (475, 350), (325, 345))),
    ]


def _hazards() -> list[GroundShape]:
    return [
        GroundShape(
            "railway",
            "",
            line(
                (-2300, -600),
                (-1300, -480),
                (-760, -330),
                (-200, -200),
                (420, -190),
                (1300, -90),
                (2300, 120),
            ),
        ),
        GroundShape("golf course", "Links", blob(1500, -150, 330, 150)),
        GroundShape("industry", "Boat yard", area((160, -330), (420, -340), (430, -230), (150, -215))),
        GroundShape("old orchard", "", area((-60, 640), (-180, 720), (-120, 800), (-20, 740))),
        GroundShape("managed turf", "", area((330, 250), (480, 255), (475, 350), (325, 345))),
        GroundShape("fuel station", "", shapely.Point(at(300, 12))),
    ]
