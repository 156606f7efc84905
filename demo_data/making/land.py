"""Sea, river, woods, fields and works round the town."""

from __future__ import annotations

import random

from demo_data.making.fields import draw_fields
from demo_data.making.lines import (
    EAST_M,
    NORTH_M,
    Line,
    Point,
    between,
    offset,
    part,
    smooth,
    strip,
)
from demo_data.making.map_file import Drawing
from demo_data.making.places import place
from demo_data.making.roads import COAST, EAST, RAIL, RIVER, river_bank


def ring(*points: Point, step_m: float = 30.0) -> Line:
    """Make a closed smooth ring."""
    return smooth(list(points), step_m, closed=True)


def ragged(*points: Point) -> Line:
    """Make a closed ring with the uneven edge of a wood or a heath."""
    rng = random.Random(repr(points))
    edge = [
        (x + 18 * (rng.random() - 0.5), y + 18 * (rng.random() - 0.5)) for x, y in ring(*points, step_m=42)
    ]
    return [*edge[:-1], edge[0]]


def draw_land(drawing: Drawing) -> None:
    """Draw everything that is ground or water outside the streets and parks."""
    _water(drawing)
    _shore(drawing)
    _woods(drawing)
    _works(drawing)
    draw_fields(drawing)
    _banks(drawing)


def _water(drawing: Drawing) -> None:
    drawing.draw(COAST, natural="coastline")
    sea = [*COAST, (-EAST_M, -NORTH_M), (-EAST_M, NORTH_M), COAST[0]]
    drawing.draw(sea, natural="water", water="sea", name="Sound of Vennaray")
    banks = river_bank(-1) + river_bank(1)[::-1]
    drawing.draw([*banks, banks[0]], natural="water", water="river", name="River Vennar")
    drawing.draw(RIVER, waterway="river", name="River Vennar")
    drawing.draw(ring((498, 350), (530, 346), (548, 372), (535, 398), (505, 392), (490, 372), step_m=12),
                 natural="water", water="pond", name="Willow Pond")  # fmt: skip
    drawing.draw(smooth([(1480, 1090), (1380, 900), (1300, 700), (1270, 512), (1240, 420), (1222, 334)]),
                 waterway="stream")  # fmt: skip
    drawing.draw(smooth([(-860, 165), (-905, 110), (-985, 75), (-1040, 20)]), man_made="breakwater")
    drawing.draw([(-870, -158), (-905, -120), (-960, -98)], man_made="pier")
    drawing.draw([(-662, 48), (-690, 22), (-704, -2)], man_made="pier")
    drawing.dot((-1180, 800), man_made="lighthouse", name="Ulverin Light")


def _shore(drawing: Drawing) -> None:
    beach = between(COAST, (-730, -725), (150, -1330))
    drawing.draw(strip(beach, 0.0, 34.0), natural="beach", surface="sand", name="South Strand")
    drawing.draw(place("Dune grassland").ring, natural="grassland", name="Grey Dunes")
    rocks = between(COAST, (-1060, 1320), (-1020, 520))
    drawing.draw(strip(rocks, -14.0, 0.0), natural="bare_rock")
    head = between(COAST, (-1130, 960), (-1020, 520))
    inner = [(-1035, 620), (-1095, 780), (-1030, 900)]
    drawing.draw([*offset(head, 6), *inner, offset(head, 6)[0]], natural="heath", name="Ulverin Head")


def _woods(drawing: Drawing) -> None:
    drawing.with_hole(
        ragged((1145, -320), (1345, -392), (1525, -380), (1590, -200), (1550, 45), (1412, 185), (1245, 178),
             (1142, 55), (1118, -150)),
        ring((1440, -80), (1490, -100), (1510, -40), (1460, -20), step_m=15), {"landuse": "meadow"},
        natural="wood", leaf_type="broadleaved", name="Orvenholt Wood",
    )  # fmt: skip
    pines = ragged((235, -1060), (430, -968), (600, -980), (775, -1100), (885, -1250), (840, -1412),
                 (600, -1465), (310, -1455), (238, -1300))  # fmt: skip
    drawing.draw(pines, landuse="forest", leaf_type="needleleaved", name="Strand Plantation")
    spruces = ragged((1045, 1255), (1305, 1200), (1600, 1180), (1722, 1235), (1730, 1460), (1400, 1482),
                   (1050, 1472))  # fmt: skip
    drawing.draw(spruces, landuse="forest", leaf_type="needleleaved", name="Top Wood")
    beeches = ragged((115, 1085), (350, 1040), (590, 1035), (690, 1120), (740, 1290), (585, 1392), (305,
                                                                                                    1378),
                   (132, 1270))  # fmt: skip
    drawing.draw(beeches, natural="wood", leaf_type="broadleaved", name="Hessewick Hanger")
    drawing.draw(ragged((1170, -950), (1215, -925), (1275, -945), (1270, -990), (1220, -1015), (1175, -990)),
                 natural="scrub")  # fmt: skip
    drawing.draw(offset(place("Riverside poplars").ring, 0.0), natural="wood", leaf_type="broadleaved")
    drawing.draw(ragged((-720, 1225), (-688, 1222), (-674, 1300), (-688, 1420), (-715, 1430), (-735, 1310)),
                 natural="wood", leaf_type="mixed")  # fmt: skip
    for line in (
        smooth([(600, -470), (700, -380), (840, -372)]), smooth([(-90, 1240), (20, 1290), (130, 1270)]),
        smooth([(1060, 440), (1110, 380), (1080, 310)]), smooth([(-820, 1160), (-760, 1300), (-770, 1480)]),
    ):  # fmt: skip
        drawing.draw(line, natural="tree_row")


def _works(drawing: Drawing) -> None:
    estate = ring((668, -212), (850, -290), (1055, -370), (1092, -160), (1060, 40), (900, 84), (765, 56),
                  (668, 28))  # fmt: skip
    drawing.draw(estate, landuse="industrial", name="Daskwell Works")
    loop = smooth([(638, -110), (720, -118), (880, -150), (1010, -190), (1030, -60), (930, 10), (780, 0),
                   (641, -20)])  # fmt: skip
    drawing.draw(loop, highway="service", name="Works Road")
    yards: tuple[Line, ...] = (
        [(880, -150), (885, -65), (880, 8)],
        [(760, -122), (770, -60), (772, 0)],
        [(1010, -190), (980, -270)],
        [(820, -136), (800, -215)],
        [(930, 10), (935, 55)],
    )
    for line in yards:
        drawing.draw(smooth(line), highway="service")
    drawing.dot((1000, -300), amenity="recycling", recycling_type="centre", name="Works Recycling Yard")
    drawing.draw(_box((712, -60), 22, 16), power="substation", name="Works Substation")
    drawing.dot((958, 40), man_made="storage_tank")
    drawing.dot((975, 32), man_made="storage_tank")
    drawing.draw(_box((560, -812), 20, 14), amenity="fuel", name="Skarrow Filling Station")
    drawing.draw([(511, -826), (548, -796), (592, -806), (565, -868)], highway="service")
    drawing.draw(_box((-612, -560), 45, 34), man_made="wastewater_plant", name="South Treatment Works")
    drawing.draw(smooth([(-357, -510), (-450, -545), (-566, -552)]), highway="service")
    pit = ring((1300, -1060), (1370, -1010), (1460, -1030), (1480, -1110), (1400, -1160), (1315, -1130))
    drawing.draw(pit, landuse="quarry", name="Skarrow Pit")
    drawing.draw(smooth([(1150, -715), (1180, -820), (1290, -920), (1345, -1010)]), highway="track",
                 tracktype="grade2", surface="gravel")  # fmt: skip
    rails = part(RAIL, 120, 1690)
    drawing.draw(strip(rails, 10.0, -10.0), landuse="railway")


def _banks(drawing: Drawing) -> None:
    """Draw the open ground along the river, the rough ground at the edges and the farmyards."""
    north = between(river_bank(1, clear_m=9), (-40, 10), (625, 160))
    green = [*north, *offset(between(EAST, (-70, 104), (640, 262)), -9)[::-1], north[0]]
    drawing.draw(green, landuse="grass", name="Riverside Green")
    drawing.draw(smooth([(-88, 84), (40, 20), (180, 30), (300, 90), (430, 150), (560, 190), (664, 205)]),
                 highway="footway", name="Riverside Walk")  # fmt: skip
    drawing.draw(ragged((1118, -392), (1350, -455), (1600, -505), (1740, -520), (1735, -480), (1560, -425),
                        (1340, -418), (1140, -362)), landuse="meadow")  # fmt: skip
    drawing.draw(ragged((-740, -480), (-640, -420), (-600, -330), (-660, -240), (-820, -270), (-820, -380)),
                 natural="heath", name="Harbour Heath")  # fmt: skip
    drawing.draw(
        ragged((-690, -600), (-560, -618), (-430, -600), (-425, -660), (-560, -668), (-660, -650)),
        natural="scrub",
    )
    drawing.draw(
        ragged((1060, 420), (1105, 330), (1065, 300), (940, 240), (930, 290), (1000, 370)), natural="scrub"
    )
    drawing.draw(ragged((1650, 640), (1740, 680), (1740, 1100), (1660, 1160), (1560, 1120), (1650, 920)),
                 natural="heath", name="Links Common")  # fmt: skip
    drawing.draw(ring((1240, -750), (1330, -745), (1410, -770), (1400, -830), (1300, -800), (1230, -775)),
                 landuse="residential", name="Skarrow")  # fmt: skip
    drawing.draw(smooth([(1290, -762), (1310, -730), (1360, -725), (1390, -786)]), highway="residential",
                 name="Skarrow Green")  # fmt: skip
    yards: tuple[tuple[str, Point, Line], ...] = (
        ("Feskholm Farm", (975, -735), [(985, -612), (980, -680), (975, -735)]),
        ("Top Farm", (1000, 1190), [(870, 1165), (930, 1195), (1000, 1190)]),
        ("Garrisk Farm", (-60, 1385), [(-668, 1440), (-450, 1420), (-250, 1370), (-60, 1385)]),
        ("Eastend Farm", (1655, 492), [(1660, 568), (1652, 530), (1655, 492)]),
    )  # fmt: skip
    for name, at, drive in yards:
        drawing.draw(_box(at, 26, 18), landuse="farmyard", name=name)
        drawing.draw(smooth(drive), highway="track", tracktype="grade1", name=f"{name} Drive")


def _box(centre: Point, half_x: float, half_y: float) -> Line:
    x, y = centre
    corners = [(-1, -1), (1, -1), (1, 1), (-1, 1), (-1, -1)]
    return [(x + i * half_x + j * 0.3 * half_y, y + j * half_y - i * 0.2 * half_x) for i, j in corners]
