"""Park, golf course, school, churchyard, allotments and the points of the town."""

from __future__ import annotations

import math
import random

from demo_data.making.land import ring
from demo_data.making.lines import Line, Point, between, inside, offset, shrunk, smooth
from demo_data.making.map_file import Drawing
from demo_data.making.places import PARK_PATH_BIRCHES, TREES, place
from demo_data.making.roads import EAST, MILL, TERTIARY
from demo_data.making.streets import PARK_ROAD

PARK: Line = shrunk(
    [
        *between(EAST, (230, 160), (665, 260)),
        *between(MILL, (665, 260), (760, 600))[1:],
        *between(TERTIARY["Tarvenna Road"], (760, 600), (200, 680))[1:],
        *PARK_ROAD[::-1][1:],
    ],
    11.0,
)
PARK_WALKS: tuple[Line, ...] = (
    smooth([(250, 330), (300, 390), (380, 398), (455, 440), (470, 510), (470, 560), (400, 605), (300,
                                                                                                 600),
                                                                                                 (252, 520)]),
    [(450, 562), *PARK_PATH_BIRCHES, (715, 520), (748, 512)],
    smooth([(455, 440), (480, 405), (530, 412), (565, 385), (552, 345), (505, 330), (468, 352), (455, 440)]),
    smooth([(400, 228), (410, 300), (468, 352)]), smooth([(565, 385), (640, 400), (712, 400)]),
    smooth([(300, 390), (330, 320), (410, 300)]), smooth([(470, 560), (500, 600), (520, 630)]),
    smooth([(640, 400), (650, 470), (690, 538)]), smooth([(300, 600), (290, 640), (270, 675)]),
    smooth([(455, 440), (540, 470), (650, 470)]),
)  # fmt: skip


def draw_greens(drawing: Drawing) -> None:
    """Draw the green places and the points."""
    _park(drawing)
    _golf(drawing)
    _school(drawing)
    _small_greens(drawing)
    _walks(drawing)
    _points(drawing)


def _park(drawing: Drawing) -> None:
    drawing.draw(PARK, leisure="park", name="Ulverin Park")
    drawing.draw(place("Park lawn").ring, landuse="grass")
    for walk in PARK_WALKS:
        drawing.draw(walk, highway="footway", surface="gravel")
    drawing.draw(ring((585, 600), (640, 600), (645, 575), (590, 572)), leisure="playground")
    rng = random.Random("park trees")
    genera = ("Betula", "Fagus", "Quercus", "Pinus", "Picea", "Acer", "Tilia")
    for tree in TREES:
        if tree.site in {"Birch row", "Willow pond", "Station green"}:
            at = (tree.at[0] + 2 * rng.random() - 1, tree.at[1] + 2 * rng.random() - 1)
            genus = tree.taxon.split()[0]
            drawing.dot(
                at, natural="tree", genus=genus, species=tree.taxon, circumference=_girth(tree.girth_cm)
            )
    kept: list[Point] = []
    while len(kept) < 74:
        p = (240 + 500 * rng.random(), 190 + 480 * rng.random())
        lawn, pond = place("Park lawn").ring, place("Willow pond").centre
        clear = inside(p, PARK) and not inside(p, lawn) and math.dist(p, pond) > 45
        if clear and all(math.dist(p, q) > 13 for q in kept + [t.at for t in TREES]):
            kept.append(p)
            drawing.dot(p, natural="tree", genus=genera[int(rng.random() ** 1.3 * len(genera))])


def _girth(girth_cm: int | None) -> str:
    return f"{(girth_cm or 100) / 100:.2f}"


def _golf(drawing: Drawing) -> None:
    drawing.draw(ring((868, 450), (1040, 492), (1250, 540), (1490, 552), (1640, 640), (1625, 900), (1490,
                                                                                                    1070),
                      (1210, 1130), (990, 1050), (900, 850), (858, 620)), leisure="golf_course",
                 name="Vennaray Links")  # fmt: skip
    holes: tuple[Line, ...] = (
        [(930, 520), (1010, 640), (990, 800)], [(1040, 830), (1110, 700), (1080, 560)],
        [(1150, 570), (1200, 690), (1320, 740)], [(1370, 700), (1400, 620), (1540, 640)],
        [(1570, 700), (1540, 830), (1440, 880)], [(1400, 930), (1270, 960), (1130, 1060)],
        [(1090, 1030), (1180, 900), (1300, 850)], [(1250, 800), (1150, 800), (1050, 930)],
        [(1040, 990), (980, 900), (1060, 860)],
    )  # fmt: skip
    for number, hole in enumerate(holes, 1):
        line = smooth(hole, 15)
        drawing.draw(_hull(line[2:-2], 17), golf="fairway", landuse="grass")
        drawing.draw(_blob(line[-1], 13), golf="green", sport="golf")
        drawing.draw(_blob(line[0], 6), golf="tee", sport="golf")
        drawing.draw(_blob((line[-1][0] + 19, line[-1][1] - 9), 6), golf="bunker", natural="sand")
        drawing.draw(line, golf="hole", ref=str(number))
    drawing.draw(smooth([(850, 330), (872, 400), (905, 470), (925, 500)]), highway="service")
    drawing.draw(smooth([(925, 500), (1010, 560), (1130, 600), (1240, 640), (1400, 760), (1420, 900),
                         (1200, 1080)]),
                 highway="path", golf="cartpath")  # fmt: skip
    drawing.draw(
        ring((890, 460), (925, 466), (920, 490), (888, 482)), amenity="parking", name="Links Car Park"
    )


def _hull(line: Line, half_m: float) -> Line:
    left, right = offset(line, half_m), offset(line, -half_m)
    return smooth([*left, *right[::-1]], 15, closed=True)


def _blob(centre: Point, radius_m: float) -> Line:
    x, y = centre
    turns = [(k * math.pi / 4, radius_m * (1 + 0.22 * math.sin(3 * k + x))) for k in range(8)]
    return smooth([(x + r * math.cos(a), y + r * 0.8 * math.sin(a)) for a, r in turns], 6, closed=True)


def _school(drawing: Drawing) -> None:
    drawing.draw(ring((385, 690), (480, 668), (620, 650), (705, 650), (712, 780), (700, 890), (540, 905),
                      (375, 905),
                      (378, 800), step_m=60), amenity="school", name="Vennarhaven School")  # fmt: skip
    drawing.draw(place("School lawn").ring, landuse="grass")
    drawing.draw([(590, 700), (690, 690), (697, 760), (597, 770), (590, 700)], leisure="pitch",
                 sport="soccer",
                 surface="grass")  # fmt: skip
    drawing.draw(smooth([(345, 760), (400, 810), (480, 830), (560, 840)]), highway="service")
    drawing.draw(smooth([(560, 840), (600, 800), (742, 790)]), highway="footway")
    drawing.draw([(440, 850), (500, 856), (498, 880), (438, 874), (440, 850)], amenity="parking")


def _small_greens(drawing: Drawing) -> None:
    drawing.draw(place("Churchyard").ring, landuse="cemetery", name="Old Churchyard")
    drawing.dot((-318, 306), amenity="place_of_worship", name="Harbour Church")
    drawing.draw(smooth([(-385, 300), (-318, 300), (-250, 305)]), highway="footway")
    drawing.draw(smooth([(-318, 300), (-316, 372)]), highway="footway")
    drawing.draw(place("Old orchard").ring, landuse="orchard", trees="apple_trees", name="Olverisk Orchard")
    plots = ring((-822, 1018), (-690, 1030), (-545, 1008), (-590, 1105), (-655, 1168), (-800, 1150))
    drawing.draw(plots, landuse="allotments", name="Corrisk Allotments")
    drawing.draw(smooth([(-700, 992), (-695, 1060), (-690, 1140)]), highway="track", surface="wood_chips")
    drawing.draw(smooth([(-790, 1080), (-692, 1085), (-590, 1075), (-524, 1065)]), highway="path")
    drawing.draw([(-560, -420), (-440, -455), (-415, -385), (-530, -350), (-560, -420)], leisure="pitch",
                 sport="soccer", name="Southhaven Field", surface="grass")  # fmt: skip
    drawing.draw(_blob(place("Station green").centre, 19), landuse="grass")
    drawing.draw(place("Skarrow Road verge").ring, landuse="grass")
    drawing.draw(place("Railway bank").ring, landuse="grass")
    for name, box in {
        "Quay": (-440, 96),
        "Strand": (-150, -826),
        "Station": (330, -206),
        "Market": (-130, 330),
    }.items():
        x, y = box
        shape: Line = [
            (x - 22, y - 10),
            (x + 22, y - 10),
            (x + 22, y + 10),
            (x - 22, y + 10),
            (x - 22, y - 10),
        ]
        drawing.draw(shape, amenity="parking", name=f"{name} Car Park")
    drawing.draw(
        ring((-250, 205), (-195, 150), (-140, 160), (-165, 235), (-215, 260)), landuse="retail", name="Market"
    )


def _walks(drawing: Drawing) -> None:
    bank = between(
        offset(between(TERTIARY["Quay Street"], (-560, 122), (-90, 100)), 0), (-560, 122), (-90, 100)
    )
    drawing.draw(offset(bank, -38), highway="footway", name="Quayside")
    paths: tuple[Line, ...] = (
        [(665, 225), (730, 178), (800, 200), (905, 225), (1000, 300), (1050, 380), (1050, 440)],
        [(-1060, 780), (-1110, 800), (-1180, 800)], [(-1180, 800), (-1120, 690), (-1030, 600), (-960, 590)],
        [(-190, -822), (-215, -880), (-255, -960)], [(-190, -822), (-60, -880), (60, -980), (230, -1060)],
        [(230, -1060), (380, -1130), (520, -1220), (650, -1290), (780, -1330)],
        [(520, -1220), (500, -1330), (470, -1440)], [(640, -930), (560, -1010), (533, -1120), (520, -1220)],
        [(765, 1000), (640, 1100), (540, 1200), (400, 1240), (260, 1180), (120, 1120), (60, 975)],
        [(540, 1200), (600, 1300), (585, 1400)], [(1092, -160), (1200, -130), (1320, -60), (1400, 60),
                                                  (1420, 200)],
        [(1320, -60), (1420, -180), (1560, -260), (1700, -300)], [(1030, -60), (1092, -160)],
        [(1420, 200), (1500, 240), (1600, 260)], [(955, 1390), (1100, 1360), (1260, 1350), (1450, 1330),
                                                  (1640, 1340)],
        [(1260, 1350), (1300, 1250), (1310, 1130)], [(-120, 960), (-150, 1060), (-240, 1110), (-350,
                                                                                               1100),
                                                                                               (-500, 1060)],
        [(-640, -640), (-480, -715), (-310, -795), (-215, -880)], [(-566, -552), (-620, -620), (-640, -640)],
    )  # fmt: skip
    for walk in paths:
        drawing.draw(smooth(walk), highway="path")


def _points(drawing: Drawing) -> None:
    drawing.dot((-190, 175), place="town", name="Vennarhaven", population="6140")
    for name, at in {"Shorehead": (-690, 740), "Southhaven": (-60, -510), "Uppertown": (-60, 800)}.items():
        drawing.dot(at, place="suburb", name=name)
    drawing.dot((1330, -780), place="hamlet", name="Skarrow")
    drawing.dot((1690, 230), place="island", name="Vennaray")
    stops = (
        (-95, 118),
        (-330, 552),
        (-405, 820),
        (70, -312),
        (255, -572),
        (760, 588),
        (655, 20),
        (1045, 436),
    )
    for number, at in enumerate(stops, 1):
        drawing.dot(at, highway="bus_stop", name=f"Stop {number}")
    shops = {"Harbour Bakery": "bakery", "Quay Grocer": "convenience", "Skarrow Tyres": "car_repair"}
    for (name, shop), at in zip(shops.items(), ((-215, 190), (-390, 140), (595, -780)), strict=True):
        drawing.dot(at, shop=shop, name=name)
    for name, kind, at in (
        ("Town Library", "library", (-40, 210)), ("Harbour Post", "post_office", (-170, 130)),
        ("Southhaven Clinic", "clinic", (20, -470)), ("Fire Station", "fire_station", (-60, 640)),
    ):  # fmt: skip
        drawing.dot(at, amenity=kind, name=name)
    line = smooth([(1700, -700), (1450, -640), (1200, -560), (1000, -500), (850, -430), (760, -240)], 90)
    drawing.draw(line, power="minor_line")
    for p in line:
        drawing.dot(p, power="pole")
