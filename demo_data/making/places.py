"""The sites she returns to and the trees that stand in them."""

from __future__ import annotations

from dataclasses import dataclass

from demo_data.making.lines import Line, Point, between, inside, part, smooth, strip
from demo_data.making.roads import PRIMARY, RAIL


@dataclass(frozen=True)
class Place:
    """One site: a ring in metres, or a point with a radius; `cells` is the rest of its row."""

    name: str
    ring: Line
    centre: Point
    radius_m: float | None
    cells: dict[str, str]


@dataclass(frozen=True)
class Tree:
    """One host tree; `yield_factor` is part of the hidden truth and is written nowhere."""

    tag: str
    site: str
    taxon: str
    at: Point
    girth_cm: int | None
    condition: str
    yield_factor: float


def _ring(*points: Point, step_m: float = 30.0) -> Line:
    return smooth(list(points), step_m, closed=True)


def _outline(name: str, ring: Line, **cells: str) -> Place:
    mean = (sum(p[0] for p in ring[:-1]) / (len(ring) - 1), sum(p[1] for p in ring[:-1]) / (len(ring) - 1))
    return Place(name, ring, mean, None, cells)


def _round(name: str, centre: Point, radius_m: float, **cells: str) -> Place:
    return Place(name, [], centre, radius_m, cells)


PARK_PATH_BIRCHES: Line = smooth([(470, 560), (540, 548), (610, 540), (690, 538)], 20)
_verge = strip(between(PRIMARY, (842, -1075), (690, -968)), -7.0, -19.0)
_bank = strip(between(RAIL, (880, -345), (1075, -425)), -6.0, -19.0)
_poplars = _ring(
    (735, 140), (790, 146), (850, 166), (905, 190), (900, 222), (850, 205), (790, 184), (737, 177)
)

PLACES: tuple[Place, ...] = (
    _outline("Park lawn", _ring((300, 430), (365, 415), (420, 450), (430, 520), (380, 575), (310, 560),
             (280, 490)), wooded="no", irrigated="no", elevation_m="14", sensitivity="exact",
             locality="Ulverin Park, the big lawn"),
    _outline("Birch row", strip(part(PARK_PATH_BIRCHES, 5, 215), -13.0, 13.0), wooded="no", irrigated="no",
             elevation_m="17", sensitivity="0.001", locality="Ulverin Park, path to the upper gate"),
    _outline("Beech hanger", _ring((150, 1100), (350, 1062), (560, 1060), (660, 1140), (700, 1280),
             (560, 1360), (320, 1350), (170, 1260)), wooded="yes", irrigated="no", elevation_m="62",
             sensitivity="0.01", review_on="2027-06-01", locality="slope above Hessewick Road"),
    _outline("Old orchard", _ring((-395, 1022), (-270, 1018), (-150, 1040), (-128, 1168), (-290, 1198),
             (-440, 1150)), wooded="no", irrigated="no", elevation_m="31", sensitivity="0.01",
             locality="behind Olverisk ground", note="planted before 1930, owner says"),
    _outline("Golf edge", _ring((872, 590), (905, 580), (925, 700), (945, 840), (985, 985), (960, 1010),
             (915, 900), (885, 740)), wooded="no", irrigated="yes", elevation_m="24", sensitivity="0.001",
             locality="rough along the west side of the links",
             note="sprinklers run in summer; what is sprayed nobody said"),
    _outline("School lawn", _ring((420, 712), (490, 694), (555, 700), (570, 775), (500, 795), (425, 785)),
             wooded="no", irrigated="no", elevation_m="21", sensitivity="0.001",
             locality="Vennarhaven School"),
    _outline("Skarrow Road verge", _verge, wooded="no", irrigated="no", elevation_m="19", sensitivity="exact",
             locality="verge east of the road"),
    _outline("Railway bank", _bank, wooded="no", irrigated="no", elevation_m="16", sensitivity="0.001",
             locality="south bank of the line, east of the works"),
    _outline("Churchyard", _ring((-372, 262), (-318, 245), (-268, 272), (-262, 335), (-318, 362),
             (-370, 330)), wooded="no", irrigated="no", elevation_m="12", sensitivity="0.001",
             locality="old churchyard, grass between the stones"),
    _round("Allotment edge", (-632, 1092), 38, wooded="no", irrigated="", elevation_m="27",
           sensitivity="0.01", locality="hedge and chip path at the allotments"),
    _outline("Riverside poplars", _poplars, wooded="yes", irrigated="no", elevation_m="5",
             sensitivity="0.001", locality="north bank above the upper bridge"),
    _outline("Pine plantation", _ring((270, -1070), (430, -1000), (590, -1010), (740, -1115), (840, -1250),
             (790, -1390), (590, -1430), (330, -1420), (270, -1290)), wooded="yes", irrigated="no",
             elevation_m="11", sensitivity="0.01", locality="behind the dunes"),
    _outline("Spruce wood", _ring((1080, 1265), (1310, 1225), (1580, 1210), (1690, 1260), (1690, 1430),
             (1400, 1450), (1090, 1440)), wooded="yes", irrigated="no", elevation_m="88",
             sensitivity="withheld", rest_until="2027-08-31", locality="top wood, north of the links",
             note="trampled in 2024; left alone"),
    _outline("Oak wood", _ring((1165, -290), (1340, -365), (1500, -350), (1560, -200), (1520, 30),
             (1400, 155), (1260, 150), (1165, 40), (1140, -150)), wooded="yes", irrigated="no",
             elevation_m="29", sensitivity="0.1", locality="old wood south of the river"),
    _outline("Dune grassland", _ring((-630, -690), (-520, -770), (-360, -845), (-185, -925), (-5, -1020),
             (110, -1140), (150, -1090), (60, -985), (-110, -885), (-300, -800), (-460, -725),
             (-600, -650)), wooded="no", irrigated="no", elevation_m="6", sensitivity="exact",
             locality="grey dunes behind the south beach"),
    _round("Willow pond", (520, 375), 42, wooded="no", irrigated="no", elevation_m="12",
           sensitivity="0.001", locality="pond in Ulverin Park"),
    _round("Station green", (255, -196), 17, wooded="no", irrigated="no", elevation_m="8",
           sensitivity="exact", locality="grass before the station"),
    _round("Quarry birches", (1225, -965), 45, wooded="yes", irrigated="no", elevation_m="40",
           sensitivity="county", locality="scrub at the old quarry"),
)  # fmt: skip

BIRCH, BEECH, OAK = "Betula pendula", "Fagus sylvatica", "Quercus robur"
PINE, SPRUCE, APPLE = "Pinus sylvestris", "Picea abies", "Malus domestica"
WILLOW, POPLAR = "Salix alba", "Populus nigra"

_on_path = [(x, y) for x, y in ((492, 565), (525, 544), (558, 554), (592, 534), (626, 547), (660, 531))]
TREES: tuple[Tree, ...] = (
    *(Tree(f"B{i + 1}", "Birch row", BIRCH, at, (118, 96, 131, 74, 109, 88)[i], "sound",
           (2.2, 0.2, 1.6, 0.05, 1.0, 0.4)[i]) for i, at in enumerate(_on_path)),
    Tree("BE1", "Beech hanger", BEECH, (295, 1152), 262, "sound", 1.9),
    Tree("BE2", "Beech hanger", BEECH, (378, 1224), 301, "decayed", 1.3),
    Tree("BE3", "Beech hanger", BEECH, (521, 1187), 188, "sound", 0.3),
    Tree("BE4", "Beech hanger", BEECH, (588, 1268), None, "fallen", 1.0),
    Tree("O1", "Oak wood", OAK, (1262, -105), 344, "sound", 1.8),
    Tree("O2", "Oak wood", OAK, (1336, -28), 410, "dieback", 1.2),
    Tree("O3", "Oak wood", OAK, (1421, -187), 276, "sound", 0.2),
    Tree("O4", "Oak wood", OAK, (1388, 61), 225, "sound", 0.7),
    Tree("P1", "Pine plantation", PINE, (402, -1118), 121, "sound", 1.7),
    Tree("P2", "Pine plantation", PINE, (533, -1212), 97, "sound", 0.6),
    Tree("P3", "Pine plantation", PINE, (655, -1287), 134, "sound", 1.1),
    Tree("P4", "Pine plantation", PINE, (486, -1339), 90, "sound", 0.1),
    Tree("S1", "Spruce wood", SPRUCE, (1236, 1331), 143, "sound", 1.6),
    Tree("S2", "Spruce wood", SPRUCE, (1448, 1302), 155, "sound", 0.5),
    Tree("S3", "Spruce wood", SPRUCE, (1575, 1349), None, "stump", 1.0),
    Tree("A1", "Old orchard", APPLE, (-338, 1075), 112, "decayed", 1.4),
    Tree("A2", "Old orchard", APPLE, (-276, 1092), 98, "sound", 0.4),
    Tree("A3", "Old orchard", APPLE, (-214, 1121), 126, "dead standing", 1.2),
    Tree("PO1", "Riverside poplars", POPLAR, (772, 160), 236, "sound", 0.5),
    Tree("PO2", "Riverside poplars", POPLAR, (818, 172), 251, "decayed", 1.7),
    Tree("PO3", "Riverside poplars", POPLAR, (863, 186), None, "fallen", 1.3),
    Tree("W1", "Willow pond", WILLOW, (497, 392), 290, "decayed", 1.6),
    Tree("W2", "Willow pond", WILLOW, (545, 357), 204, "sound", 0.3),
    Tree("Q1", "Quarry birches", BIRCH, (1212, -951), 52, "sound", 1.2),
    Tree("Q2", "Quarry birches", BIRCH, (1243, -977), 47, "sound", 0.6),
    Tree("SG1", "Station green", BIRCH, (260, -190), 83, "sound", 0.9),
)  # fmt: skip


def place(name: str) -> Place:
    """Give the site of a name."""
    return next(p for p in PLACES if p.name == name)


def within(point: Point, here: Place) -> bool:
    """Whether a point lies in a site."""
    if here.radius_m is None:
        return inside(point, here.ring)
    return (point[0] - here.centre[0]) ** 2 + (point[1] - here.centre[1]) ** 2 < here.radius_m**2
