"""Lines and rings in the island's own metres, x to the east and y to the north."""

from __future__ import annotations

import itertools
import math

Point = tuple[float, float]
Line = list[Point]

ORIGIN_LON, ORIGIN_LAT = -19.4, 48.6
METRES_PER_DEGREE_LAT = 111_195.0
METRES_PER_DEGREE_LON = METRES_PER_DEGREE_LAT * math.cos(math.radians(ORIGIN_LAT))
EAST_M, NORTH_M = 1750.0, 1500.0
"""Half of the island's extent in each direction."""


def lon_lat(point: Point, decimals: int = 6) -> Point:
    """Give longitude and latitude of a point in metres."""
    lon = ORIGIN_LON + point[0] / METRES_PER_DEGREE_LON
    lat = ORIGIN_LAT + point[1] / METRES_PER_DEGREE_LAT
    return round(lon, decimals), round(lat, decimals)


def metres(lon: float, lat: float) -> Point:
    """Give a position back in metres."""
    return (lon - ORIGIN_LON) * METRES_PER_DEGREE_LON, (lat - ORIGIN_LAT) * METRES_PER_DEGREE_LAT


def smooth(points: Line, step_m: float = 28.0, *, closed: bool = False) -> Line:
    """Lay a Catmull-Rom curve through points; a closed one ends where it began."""
    span = len(points)

    def at(i: int) -> Point:
        return points[i % span if closed else min(max(i, 0), span - 1)]

    curve: Line = []
    for i in range(span if closed else span - 1):
        a, b, c, d = at(i - 1), at(i), at(i + 1), at(i + 2)
        pieces = max(1, math.ceil(math.dist(b, c) / step_m))
        curve.extend(_between(a, b, c, d, k / pieces) for k in range(pieces))
    curve.append(curve[0] if closed else points[-1])
    return curve


def _between(a: Point, b: Point, c: Point, d: Point, t: float) -> Point:
    def along(p: float, q: float, r: float, s: float) -> float:
        return 0.5 * (
            2 * q + (r - p) * t + (2 * p - 5 * q + 4 * r - s) * t * t + (3 * q - p - 3 * r + s) * t**3
        )

    return along(a[0], b[0], c[0], d[0]), along(a[1], b[1], c[1], d[1])


def length(line: Line) -> float:
    """Length of a line in metres."""
    return sum(math.dist(p, q) for p, q in itertools.pairwise(line))


def point_at(line: Line, distance_m: float) -> Point:
    """Give the point so far along a line."""
    left = distance_m
    for p, q in itertools.pairwise(line):
        step = math.dist(p, q)
        if step > 0 and left <= step:
            return p[0] + (q[0] - p[0]) * left / step, p[1] + (q[1] - p[1]) * left / step
        left -= step
    return line[-1]


def share(line: Line, part: float) -> Point:
    """Give the point at a share of a line's length, 0 to 1."""
    if part <= 0:
        return line[0]
    return line[-1] if part >= 1 else point_at(line, part * length(line))


def foot(line: Line, point: Point) -> tuple[float, float]:
    """Give how far along a line its nearest spot to a point lies, with the distance to it."""
    best, gone = (0.0, math.inf), 0.0
    for p, q in itertools.pairwise(line):
        step = math.dist(p, q)
        if step > 0:
            t = ((point[0] - p[0]) * (q[0] - p[0]) + (point[1] - p[1]) * (q[1] - p[1])) / step**2
            t = min(1.0, max(0.0, t))
            off = math.dist(point, (p[0] + t * (q[0] - p[0]), p[1] + t * (q[1] - p[1])))
            if off < best[1]:
                best = gone + t * step, off
        gone += step
    return best


def part(line: Line, start_m: float, end_m: float) -> Line:
    """Cut the piece of a line between two distances along it."""
    kept, gone = [point_at(line, start_m)], 0.0
    for p, q in itertools.pairwise(line):
        gone += math.dist(p, q)
        if start_m + 0.5 < gone < end_m - 0.5:
            kept.append(q)
    return [*kept, point_at(line, end_m)]


def between(line: Line, start: Point, end: Point) -> Line:
    """Cut the piece of a line from near one point to near another, in that direction."""
    a, b = foot(line, start)[0], foot(line, end)[0]
    return part(line, a, b) if a <= b else part(line, b, a)[::-1]


def offset(line: Line, left_m: float) -> Line:
    """Shift a line to its left, or to its right when negative."""
    moved: Line = []
    for i, p in enumerate(line):
        a, b = line[max(i - 1, 0)], line[min(i + 1, len(line) - 1)]
        dx, dy = b[0] - a[0], b[1] - a[1]
        size = math.hypot(dx, dy) or 1.0
        moved.append((p[0] - dy / size * left_m, p[1] + dx / size * left_m))
    return moved


def strip(line: Line, left_m: float, right_m: float) -> Line:
    """Make the closed ring between two lines beside a line."""
    ring = offset(line, left_m) + offset(line, right_m)[::-1]
    return [*ring, ring[0]]


def shrunk(ring: Line, by_m: float) -> Line:
    """Draw a closed ring towards its middle."""
    cx, cy = middle(ring)
    out: Line = []
    for x, y in ring:
        r = math.hypot(x - cx, y - cy) or 1.0
        out.append((cx + (x - cx) * (1 - by_m / r), cy + (y - cy) * (1 - by_m / r)))
    return out


def middle(ring: Line) -> Point:
    """Mean of a closed ring's corners."""
    corners = ring[:-1]
    return sum(p[0] for p in corners) / len(corners), sum(p[1] for p in corners) / len(corners)


def inside(point: Point, ring: Line) -> bool:
    """Whether a point lies in a closed ring."""
    x, y = point
    odd = False
    for (ax, ay), (bx, by) in itertools.pairwise(ring):
        if (ay > y) != (by > y) and x < ax + (y - ay) / (by - ay) * (bx - ax):
            odd = not odd
    return odd


def crossing(a: Point, b: Point, c: Point, d: Point) -> Point | None:
    """Give the point where two segments cross, if they do."""
    rx, ry, sx, sy = b[0] - a[0], b[1] - a[1], d[0] - c[0], d[1] - c[1]
    turn = rx * sy - ry * sx
    if abs(turn) < 1e-9:
        return None
    t = ((c[0] - a[0]) * sy - (c[1] - a[1]) * sx) / turn
    u = ((c[0] - a[0]) * ry - (c[1] - a[1]) * rx) / turn
    return (a[0] + t * rx, a[1] + t * ry) if 0 <= t <= 1 and 0 <= u <= 1 else None


def patch(south: Line, north: Line, west: Line, east: Line, at: Point) -> Point:
    """Give the point (u, v) of the Coons patch that four lines span; south to north, west to east."""
    u, v = at
    s, n, w, e = share(south, u), share(north, u), share(west, v), share(east, v)
    sw, se, nw, ne = south[0], south[-1], north[0], north[-1]

    def mix(i: int) -> float:
        corners = (1 - u) * (1 - v) * sw[i] + u * (1 - v) * se[i] + (1 - u) * v * nw[i] + u * v * ne[i]
        return (1 - v) * s[i] + v * n[i] + (1 - u) * w[i] + u * e[i] - corners

    return mix(0), mix(1)
