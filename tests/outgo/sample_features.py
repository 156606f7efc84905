"""Features of an invented town, for the tests of written formats."""

from __future__ import annotations

import datetime
import uuid

import shapely

from sitebook.records.results.going_out import Feature, TrackPiece, TrackPoint

NOON = datetime.datetime(2025, 9, 14, 12, 0, tzinfo=datetime.UTC)
CLOCKWISE = shapely.Polygon(
    [(-19.40, 48.60), (-19.40, 48.61), (-19.39, 48.61), (-19.39, 48.60)],
    [[(-19.397, 48.603), (-19.393, 48.603), (-19.393, 48.607), (-19.397, 48.607)]],
)


def key(number: int) -> str:
    """Give a UUID."""
    return str(uuid.UUID(int=number))


SITE = Feature(
    "site", key(1), "Mill & <old>", CLOCKWISE, {"name": "Mill & <old>", "radius_m": None, "wooded": True}
)
ROUND = Feature(
    "site", key(2), "Pond", shapely.Point(-19.41, 48.59), {"name": "Pond", "radius_m": 30.0, "wooded": None}
)
TREE = Feature(
    "host_tree", key(3), "O1 Quercus robur", shapely.Point(-19.395, 48.605), {"site": "Pond", "tag": "O1"}
)
FIND = Feature(
    "find",
    key(4),
    "AC 12 Suillus luteus",
    shapely.Point(-19.3951234567, 48.6051234567),
    {
        "visit": "Pond@2025-09-14",
        "collection_number": 12,
        "found_on": NOON.date(),
        "found_at": NOON,
        "note": "=1",
    },
    found_at=NOON,
    elevation_m=12.5,
)
AT_ITS_SITE = Feature(
    "find", key(5), "AC 13 not named yet", None, {"collection_number": 13, "found_on": None}
)
FEATURES = (SITE, ROUND, TREE, FIND, AT_ITS_SITE)


def track(name: str | None = "walk", piece: int = 1, start: float = -19.4) -> TrackPiece:
    """Give a track of three points, the second without time and height."""
    later = NOON + datetime.timedelta(seconds=90.5)
    points = (
        TrackPoint(start, 48.6, NOON, 3.0),
        TrackPoint(start + 0.001, 48.601, None, None),
        TrackPoint(start + 0.002, 48.602, later, -1.25),
    )
    return TrackPiece(key(100 + piece), name, piece, points)
