"""The recorded walk of one Saturday, as GPX 1.1."""

from __future__ import annotations

import datetime
import math
import random
from xml.sax.saxutils import escape

from demo_data.making.lines import Line, Point, length, lon_lat, point_at, smooth
from demo_data.making.outings import WALK_DAY

START = datetime.datetime.combine(WALK_DAY, datetime.time(10, 4), datetime.UTC)
EVERY_S = 10

LEGS: tuple[tuple[str, float, Line], ...] = (
    ("by bicycle", 15.5, [(330, -190), (480, -202), (632, -190), (640, -60), (652, 140), (665, 260), (720,
                                                                                                      420),
                          (748, 512), (715, 520)]),
    ("on foot", 2.1, [(715, 520), (690, 540), (668, 528), (655, 537), (630, 552), (612, 540), (592, 530),
                      (566, 550),
                      (548, 558), (528, 540), (515, 552), (495, 569), (480, 562)]),
    ("on foot", 4.4, [(480, 562), (452, 572), (430, 560)]),
    ("on foot", 1.9, [(430, 560), (400, 540), (350, 545), (308, 530), (300, 480), (335, 445), (390, 440),
                      (405, 490),
                      (360, 505), (330, 490), (350, 460), (425, 470)]),
    ("on foot", 4.6, [(425, 470), (470, 510), (540, 470), (650, 470), (712, 470), (735, 470)]),
    ("by bicycle", 14.0, [(735, 470), (720, 420), (680, 310), (666, 262), (668, 225), (700, 192)]),
    ("on foot", 2.0, [(700, 192), (742, 150), (765, 152), (775, 165), (800, 158), (822, 168), (820, 182),
                      (848, 180),
                      (868, 190), (890, 195), (860, 200), (820, 188), (780, 175), (745, 165), (700, 192)]),
    ("by bicycle", 16.0, [(700, 192), (664, 200), (652, 140), (640, -60), (632, -190), (480, -202), (330,
                                                                                                     -190)]),
)  # fmt: skip
"""How she moved, at how many kilometres an hour, and where."""

WAYPOINTS: tuple[tuple[str, str, Point], ...] = (
    ("birch bolete", "two under the third birch, one old", (560.5, 552.0)),
    ("fairy ring", "half a ring, twenty or so", (352.0, 508.0)),
    ("ink caps", "four, two gone black already", (398.0, 488.0)),
    ("oyster?", "on the leaning poplar, out of reach", (819.0, 174.0)),
)  # fmt: skip


def track_points() -> list[tuple[Point, datetime.datetime]]:
    """Give the track, a point every few seconds with its instant."""
    rng = random.Random("walk")
    points: list[tuple[Point, datetime.datetime]] = []
    now = START
    for _, km_per_hour, leg in LEGS:
        line = smooth(leg, 6)
        gone, end = 0.0, length(line)
        while gone < end:
            points.append((_shaken(rng, point_at(line, gone)), now))
            gone += km_per_hour / 3.6 * EVERY_S * (0.75 + 0.5 * rng.random())
            now += datetime.timedelta(seconds=EVERY_S)
    return points


def walk() -> str:
    """Write the track, and four waypoints."""
    points = track_points()
    body = [_waypoint(name, note, at, points) for name, note, at in WAYPOINTS]
    body.append(" <trk>\n  <name>Saturday walk</name>\n  <trkseg>")
    body.extend(_track_point(at, when) for at, when in points)
    body.append("  </trkseg>\n </trk>")
    head = (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        '<gpx version="1.1" creator="invented for the demo" xmlns="http://www.topografix.com/GPX/1/1">\n'
        f" <metadata><name>Saturday walk</name><time>{START:%Y-%m-%dT%H:%M:%SZ}</time></metadata>"
    )
    return "\n".join([head, *body, "</gpx>"]) + "\n"


def _shaken(rng: random.Random, at: Point) -> Point:
    return at[0] + 2.4 * (rng.random() - 0.5), at[1] + 2.4 * (rng.random() - 0.5)


def _height_m(at: Point) -> float:
    return round(6 + max(0.0, at[1]) * 0.021 + 1.2 * math.sin(at[0] / 90), 1)


def _waypoint(name: str, note: str, at: Point, points: list[tuple[Point, datetime.datetime]]) -> str:
    when = min(points, key=lambda p: math.dist(p[0], at))[1]
    lon, lat = lon_lat(at)
    return (
        f' <wpt lat="{lat:.6f}" lon="{lon:.6f}"><ele>{_height_m(at)}</ele>'
        f"<time>{when:%Y-%m-%dT%H:%M:%SZ}</time>"
        f"<name>{escape(name)}</name><desc>{escape(note)}</desc></wpt>"
    )


def _track_point(at: Point, when: datetime.datetime) -> str:
    lon, lat = lon_lat(at)
    head = f'   <trkpt lat="{lat:.6f}" lon="{lon:.6f}">'
    return f"{head}<ele>{_height_m(at)}</ele><time>{when:%Y-%m-%dT%H:%M:%SZ}</time></trkpt>"
