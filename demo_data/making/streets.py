"""The streets of each quarter of the town, laid between its through roads."""

from __future__ import annotations

import random
from dataclasses import dataclass

from demo_data.making.lines import Line, Point, between, inside, length, patch, shrunk, smooth
from demo_data.making.map_file import Drawing
from demo_data.making.names import NameBook
from demo_data.making.places import place
from demo_data.making.roads import EAST, MILL, PRIMARY, TERTIARY


@dataclass(frozen=True)
class Quarter:
    """A part of the town between four lines, with its streets at shares of their lengths."""

    name: str
    south: Line
    north: Line
    west: Line
    east: Line
    columns: tuple[float, ...]
    rows: tuple[float, ...]
    gaps: float
    north_is_street: bool = False
    kind: str = "residential"

    def at(self, u: float, v: float) -> Point:
        """Give the point at shares u to the east and v to the north."""
        return patch(self.south, self.north, self.west, self.east, (u, v))

    def outline(self) -> Line:
        """Give the closed ring round the quarter."""
        return [*self.south, *self.east[1:], *self.north[::-1][1:], *self.west[::-1][1:]]


RIVERSIDE: Line = smooth([(-60, -110), (60, -118), (180, -96), (300, -42), (420, 30), (540, 74), (643, 50)])
STATION_ROAD: Line = smooth([(-25, -180), (120, -168), (300, -182), (480, -202), (632, -190)])
UPPER: Line = smooth([(-440, 930), (-220, 962), (60, 975), (330, 945)])
SCHOOL_LANE: Line = smooth([(360, 668), (342, 800), (330, 945)])
PARK_ROAD: Line = smooth([(230, 160), (258, 330), (252, 520), (200, 680)])
LOWER_END: Line = [(345, -670), (478, -685)]
LOWER: Line = smooth([(75, -320), (250, -302), (450, -322), (612, -345)])
HILL: Line = smooth([(-985, 955), (-700, 992), (-440, 930)])
SOUTH_QUAY: Line = smooth([(-615, -150), (-450, -76), (-300, -48), (-160, -92), (-60, -110)])
_quay, _shore = TERTIARY["Quay Street"], TERTIARY["Ulverin Shore Road"]
_across, _south = TERTIARY["Tarvenna Road"], TERTIARY["Southhaven Road"]
_south_side = between(_south, (-597, -226), (130, -400))

QUARTERS: tuple[Quarter, ...] = (
    Quarter(
        "Old Town",
        _quay,
        between(_across, (-905, 480), (-330, 560)),
        between(_shore, (-560, 122), (-905, 480)),
        between(PRIMARY, (-90, 100), (-330, 560)),
        (0.13, 0.27, 0.38, 0.52, 0.66, 0.85),
        (0.2, 0.36, 0.55, 0.76),
        0.2,
    ),
    Quarter(
        "Shorehead",
        between(_across, (-905, 480), (-330, 560)),
        HILL,
        between(_shore, (-905, 480), (-985, 955)),
        between(PRIMARY, (-330, 560), (-440, 930)),
        (0.17, 0.36, 0.52, 0.72, 0.87),
        (0.2, 0.42, 0.6, 0.82),
        0.27,
        north_is_street=True,
    ),
    Quarter(
        "Southhaven",
        TERTIARY["Feskow Road"],
        between(_south, (-340, -360), (130, -400)),
        between(TERTIARY["Dune Road"], (-310, -660), (-340, -360)),
        between(PRIMARY, (260, -580), (130, -400)),
        (0.16, 0.37, 0.55, 0.78),
        (0.28, 0.52, 0.77),
        0.25,
    ),
    Quarter(
        "Station Quarter",
        STATION_ROAD,
        RIVERSIDE,
        between(PRIMARY, (-25, -180), (-60, -110)),
        between(MILL, (632, -190), (643, 50)),
        (0.3, 0.44, 0.57, 0.71, 0.86),
        (0.5,),
        0.16,
        north_is_street=True,
    ),
    Quarter(
        "Lower Field",
        [*between(PRIMARY, (345, -670), (345.1, -670)), (478, -685)],
        LOWER,
        between(PRIMARY, (345, -670), (75, -320)),
        between(MILL, (478, -685), (612, -345)),
        (0.22, 0.45, 0.64, 0.84),
        (0.3, 0.5, 0.68, 0.85),
        0.24,
        north_is_street=True,
    ),
    Quarter(
        "Parkside",
        between(EAST, (-90, 100), (230, 160)),
        between(_across, (-330, 560), (200, 680)),
        between(PRIMARY, (-90, 100), (-330, 560)),
        PARK_ROAD,
        (0.2, 0.38, 0.6, 0.8),
        (0.17, 0.33, 0.5, 0.67, 0.84),
        0.2,
    ),
    Quarter(
        "Uppertown",
        between(_across, (-330, 560), (360, 668)),
        UPPER,
        between(PRIMARY, (-330, 560), (-440, 930)),
        SCHOOL_LANE,
        (0.12, 0.26, 0.41, 0.55, 0.7, 0.86),
        (0.22, 0.47, 0.73),
        0.26,
        north_is_street=True,
    ),
    Quarter(
        "South Quay",
        _south_side,
        SOUTH_QUAY,
        [_south_side[0], (-615, -150)],
        between(PRIMARY, (130, -400), (-60, -110)),
        (0.2, 0.36, 0.5, 0.66, 0.82),
        (0.42, 0.72),
        0.2,
        north_is_street=True,
    ),
)


def draw_streets(drawing: Drawing) -> None:
    """Draw the quarters: their ground, streets, back lanes and foot passages."""
    names = NameBook("street names")
    for quarter in QUARTERS:
        rng = random.Random(quarter.name)
        drawing.draw(shrunk(quarter.outline(), 2.0), landuse="residential", name=quarter.name)
        if quarter.north_is_street:
            _street(drawing, quarter.north, names)
        for run in _runs(quarter, rng):
            _lay(drawing, run, names, rng)
    for line in (LOWER_END, STATION_ROAD, SCHOOL_LANE, PARK_ROAD):
        _street(drawing, line, names)
    _street(drawing, smooth([(330, 945), (480, 925), (640, 928), (765, 905)]), names)


def _runs(quarter: Quarter, rng: random.Random) -> list[tuple[str, Line]]:
    """List the pieces of street and passage of a quarter, as (kind, line)."""
    runs: list[tuple[str, Line]] = []
    columns = [(share, (rng.random() - 0.5) * 0.15) for share in quarter.columns]
    rows = [(share, (rng.random() - 0.5) * 0.15) for share in quarter.rows]
    for mine, others, upright in ((columns, rows, True), (rows, columns, False)):
        for share, bend in mine:
            kinds = [_kind(rng, quarter.gaps) for _ in range(len(others) + 1)]
            stops = (0.0, *(_meeting(share, bend, *other) for other in others), 1.0)
            runs.extend(_joined(quarter, (share, bend), stops, kinds, upright=upright))
    return runs


def _meeting(share: float, bend: float, other_share: float, other_bend: float) -> float:
    """Give the share along a street at which a bent cross street meets it."""
    along = other_share
    for _ in range(8):
        across = share + bend * 4 * along * (1 - along)
        along = other_share + other_bend * 4 * across * (1 - across)
    return along


def _kind(rng: random.Random, gaps: float) -> str:
    roll = rng.random()
    if roll > gaps:
        return "street"
    return "passage" if roll < gaps * 0.45 else "none"


def _joined(
    quarter: Quarter,
    course: tuple[float, float],
    stops: tuple[float, ...],
    kinds: list[str],
    *,
    upright: bool,
) -> list[tuple[str, Line]]:
    (share, bend), pieces = course, list[tuple[str, Line]]()
    for kind, start, end in zip(kinds, stops, stops[1:], strict=False):
        line = []
        for k in range(5):
            along = start + (end - start) * k / 4
            across = share + bend * 4 * along * (1 - along)
            line.append(quarter.at(across, along) if upright else quarter.at(along, across))
        if pieces and pieces[-1][0] == kind == "street" and len(pieces[-1][1]) < 17:
            pieces[-1][1].extend(line[1:])
        elif kind != "none":
            pieces.append((kind, line))
    return pieces


def _lay(drawing: Drawing, run: tuple[str, Line], names: NameBook, rng: random.Random) -> None:
    kind, line = run
    for piece in _outside_churchyard(line):
        if kind == "passage":
            drawing.draw(piece, highway="footway", surface="paved")
        elif length(piece) > 20:
            _street(drawing, piece, names)
            if rng.random() < 0.5:
                _back_lane(drawing, piece, rng)


def _street(drawing: Drawing, line: Line, names: NameBook) -> None:
    name = names.street(length(line))
    tags = {"name": name} if name else {}
    drawing.draw(list(line), highway="residential" if name else "service", **tags)


def _back_lane(drawing: Drawing, line: Line, rng: random.Random) -> None:
    """Draw a short stub off the middle of a street to yards or garages."""
    i = len(line) // 2 if len(line) < 6 else 3 + int(rng.random() * (len(line) - 5))
    (ax, ay), (bx, by) = line[i - 1], line[i]
    size = ((bx - ax) ** 2 + (by - ay) ** 2) ** 0.5 or 1.0
    side = 1 if rng.random() < 0.5 else -1
    out, along = 16 + 10 * rng.random(), 6 + 10 * rng.random()
    dx, dy = (bx - ax) / size, (by - ay) / size
    elbow = (bx - dy * side * out, by + dx * side * out)
    stub: Line = [(bx, by), elbow]
    if rng.random() < 0.5:
        stub.append((elbow[0] + dx * along, elbow[1] + dy * along))
    drawing.draw(stub, highway="service", service="driveway")


def _outside_churchyard(line: Line) -> list[Line]:
    ring = place("Churchyard").ring
    pieces: list[Line] = [[]]
    for p in line:
        if inside(p, ring):
            pieces.append([])
        else:
            pieces[-1].append(p)
    return [piece for piece in pieces if len(piece) > 1]
