"""The through roads of the town, its railway and its river, drawn by hand."""

from __future__ import annotations

import itertools

from demo_data.making.lines import Line, Point, crossing, foot, length, offset, part, smooth
from demo_data.making.map_file import Drawing

COAST: Line = smooth(
    [
        (-1000, 1500), (-1060, 1320), (-1015, 1140), (-1130, 960), (-1215, 800), (-1130, 640), (-1020, 520),
        (-1045, 360), (-985, 240), (-860, 160), (-760, 80), (-660, 50), (-600, 5), (-650, -50), (-770, -90),
        (-870, -160), (-905, -260), (-850, -380), (-765, -470), (-800, -600), (-720, -740), (-560, -850),
        (-380, -930), (-200, -1010), (-20, -1120), (115, -1260), (170, -1390), (155, -1500),
    ]
)  # fmt: skip
"""From north to south, so that the land lies on its left."""

RIVER: Line = smooth(
    [
        (-655, 2), (-480, 22), (-330, 62), (-190, 42), (-72, -12), (60, -52), (180, -40), (300, 20),
        (430, 92), (560, 138), (655, 136), (760, 118), (900, 168), (1060, 278), (1220, 332), (1400, 310),
        (1580, 372), (1750, 462),
    ]
)  # fmt: skip

PRIMARY: Line = smooth(
    [
        (1250, -1500), (1080, -1285), (860, -1090), (640, -930), (430, -760), (345, -670), (260, -580),
        (130, -400), (75, -320), (20, -245), (-25, -180), (-60, -110), (-76, -15), (-90, 100), (-150, 240),
        (-250, 400), (-330, 560), (-370, 740), (-440, 930), (-560, 1120), (-640, 1310), (-680, 1500),
    ]
)  # fmt: skip

MILL: Line = smooth(
    [
        (430, -760), (478, -685), (525, -610), (590, -460), (612, -345), (625, -268), (632, -190),
        (640, -60), (643, 50), (652, 140), (665, 260), (720, 420), (760, 600), (742, 770), (765, 905),
        (800, 1030), (900, 1230), (955, 1500),
    ]
)  # fmt: skip

EAST: Line = smooth(
    [
        (-90, 100), (60, 112), (230, 160), (400, 228), (545, 268), (665, 260), (850, 330), (1050, 440),
        (1250, 500), (1500, 512), (1750, 622),
    ]
)  # fmt: skip

RAIL: Line = smooth(
    [(1750, -565), (1400, -522), (1100, -432), (850, -335), (625, -268), (400, -240), (210, -228), (70, -222)]
)
BRANCH: Line = smooth([(70, -222), (0, -214), (-150, -188), (-320, -168), (-480, -163), (-592, -190)])

TERTIARY: dict[str, Line] = {
    "Quay Street": smooth([(-560, 122), (-440, 128), (-320, 140), (-200, 122), (-90, 100)]),
    "Ulverin Shore Road": smooth(
        [
            (-560, 122), (-700, 165), (-830, 270), (-890, 380), (-905, 480), (-975, 620), (-1060, 780),
            (-985, 955), (-900, 1130), (-930, 1310), (-880, 1500),
        ]
    ),
    "Tarvenna Road": smooth([(-905, 480), (-720, 530), (-540, 520), (-330, 560), (-100, 632), (60, 664),
                             (200, 680), (360, 668), (520, 630), (760, 600)]),
    "Southhaven Road": smooth([(130, -400), (-20, -385), (-180, -352), (-340, -360), (-480, -320),
                               (-590, -240), (-615, -150)]),
    "Dune Road": smooth([(-340, -360), (-358, -520), (-310, -660), (-240, -750), (-190, -822)]),
    "Feskow Road": smooth([(-310, -660), (-100, -632), (90, -640), (260, -580)]),
    "Quarry Road": smooth([(590, -460), (760, -510), (960, -600), (1150, -715), (1400, -790), (1750, -850)]),
}  # fmt: skip


def river_width_m(along_m: float) -> float:
    """Width of the river so far up from its mouth."""
    return 11.0 + 40.0 * float(max(0.0, 1.0 - along_m / 1060.0) ** 1.5)


def river_bank(side: float, *, clear_m: float = 0.0) -> Line:
    """Give one bank as a line up the river; side 1 is the north bank, -1 the south bank."""
    bank: Line = []
    for p, away in zip(RIVER, offset(RIVER, side), strict=True):
        half = river_width_m(foot(RIVER, p)[0]) / 2 + clear_m
        bank.append((p[0] + (away[0] - p[0]) * half, p[1] + (away[1] - p[1]) * half))
    return bank


def over_river(line: Line) -> tuple[Line, Line, Line] | None:
    """Cut a road into before, bridge and after, where it crosses the river."""
    for a, b in itertools.pairwise(line):
        for c, d in itertools.pairwise(RIVER):
            spot = crossing(a, b, c, d)
            if spot is not None:
                at, half = foot(line, spot)[0], river_width_m(foot(RIVER, spot)[0]) / 2 + 7
                return (
                    part(line, 0, at - half),
                    part(line, at - half, at + half),
                    part(line, at + half, length(line)),
                )
    return None


def draw_roads(drawing: Drawing) -> None:
    """Draw the through roads with their bridges, the railway and its disused branch."""
    _road(drawing, PRIMARY, highway="primary", name="Skarrow Road", ref="V 1", lanes="2", width="7.5",
          surface="asphalt", maxspeed="50")  # fmt: skip
    _road(drawing, MILL, highway="secondary", name="Hessewick Road", lanes="2", width="6.5",
          surface="asphalt")  # fmt: skip
    _road(drawing, EAST, highway="secondary", name="Orvenholt Road", lanes="2", surface="asphalt")
    for name, line in TERTIARY.items():
        _road(drawing, line, highway="tertiary", name=name, surface="asphalt")
    drawing.draw(RAIL, railway="rail", gauge="1435", name="Vennaray Light Railway")
    siding: Line = [(400, -240), (370, -233), (330, -221), (210, -215), (90, -211)]
    drawing.draw(siding, railway="rail", service="siding")
    drawing.draw(BRANCH, railway="abandoned", highway="path", name="Old Harbour Branch", surface="gravel")
    stop: Point = (130, -224)
    drawing.dot(stop, railway="station", name="Vennarhaven", public_transport="station")
    drawing.draw([(95, -208), (200, -212), (200, -205), (95, -201), (95, -208)], railway="platform")


def _road(drawing: Drawing, line: Line, **tags: str) -> None:
    pieces = over_river(line)
    if pieces is None:
        drawing.draw(line, **tags)
        return
    before, bridge, after = pieces
    drawing.draw(before, **tags)
    drawing.draw(bridge, **tags, bridge="yes", layer="1")
    drawing.draw(after, **tags)
