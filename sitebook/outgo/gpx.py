"""Writes GPX 1.1: records as waypoints, tracks with their times and heights."""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterable, Mapping, Sequence
from xml.etree import ElementTree as ET

import shapely

from sitebook.records.results.going_out import Feature, TrackPiece, TrackPoint

NAMESPACE = "http://www.topografix.com/GPX/1/1"
FORBIDDEN = re.compile(r"[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""Signs that XML 1.0 cannot hold."""

KIND_WORDS = {"site": "site", "host_tree": "host tree", "find": "find", "hazard": "hazard"}
DECIMALS = 7
"""Of a degree, for the point inside an outline: about a centimetre."""

OUTLINE = "an outline is drawn; this is one point inside it"
NOT_TOLD = frozenset({"name", "tag", "uuid", "elevation_m", "found_at", "merged_into"})
TRACK_KEYS = "sitebook track"
"""What the source of a track begins with where its pieces bear UUIDs, one a piece, - for a gap."""


def gpx(features: Iterable[Feature], tracks: Sequence[TrackPiece], *, with_keys: bool = False) -> bytes:
    """Give a GPX 1.1 file.

    An outline stands as one point inside it. A record without a place of its own is left out.

    Parameters
    ----------
    features
        Records that become waypoints.
    tracks
        Pieces of tracks; pieces 1, 2, ... of one name that follow each other make one track.
    with_keys
        Whether tracks carry the UUIDs of their pieces, as beside the tables of a book.

    References
    ----------
    GPX 1.1 schema, Topografix: order of elements, time in UTC, ele in metres.
    """
    root = root_element()
    for feature in features:
        if feature.geometry is not None and not feature.geometry.is_empty:
            _waypoint(root, feature)
    for pieces in _grouped(tracks):
        _track(root, pieces, with_keys=with_keys)
    return as_file(root)


def root_element() -> ET.Element:
    """Give the root of a GPX 1.1 file."""
    return ET.Element("gpx", {"version": "1.1", "creator": "sitebook", "xmlns": NAMESPACE})


def as_file(root: ET.Element) -> bytes:
    """Give a root with all it holds as the bytes of a file."""
    ET.indent(root, " ")
    text = f'<?xml version="1.0" encoding="UTF-8"?>\n{ET.tostring(root, encoding="unicode")}\n'
    return text.encode("utf-8")


def _waypoint(root: ET.Element, feature: Feature) -> None:
    shape = feature.geometry
    if shape is None:
        return
    is_outline = shape.geom_type != "Point"
    point = shapely.point_on_surface(shape) if is_outline else shape
    ((lon, lat),) = (
        shapely.get_coordinates(point).round(DECIMALS) if is_outline else shapely.get_coordinates(shape)
    )
    element = ET.SubElement(root, "wpt", {"lat": degrees(lat), "lon": degrees(lon)})
    text_in(element, "ele", _height(feature.elevation_m))
    text_in(element, "time", _instant(feature.found_at))
    text_in(element, "name", feature.called)
    text_in(element, "desc", _description(feature, is_outline=is_outline))
    text_in(element, "type", KIND_WORDS.get(feature.kind, feature.kind))


def _description(feature: Feature, *, is_outline: bool) -> str:
    said = [f"{name}: {_word(value)}" for name, value in _told(feature.values).items()]
    return "; ".join([*said, OUTLINE] if is_outline else said)


def _told(values: Mapping[str, object]) -> dict[str, object]:
    return {n: v for n, v in values.items() if v is not None and n not in NOT_TOLD}


def _word(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:g}" if isinstance(value, float) else str(value)


def _grouped(tracks: Sequence[TrackPiece]) -> list[list[TrackPiece]]:
    groups: list[list[TrackPiece]] = []
    for track in tracks:
        before = groups[-1][-1] if groups else None
        if before is not None and before.name == track.name and track.piece == before.piece + 1:
            groups[-1].append(track)
        else:
            groups.append([track])
    return groups


def _track(root: ET.Element, pieces: Sequence[TrackPiece], *, with_keys: bool) -> None:
    element = ET.SubElement(root, "trk")
    text_in(element, "name", pieces[0].name)
    gap = pieces[0].piece - 1 if with_keys else 0
    if with_keys:
        text_in(element, "src", " ".join([TRACK_KEYS, *["-"] * gap, *(piece.uuid for piece in pieces)]))
    for _ in range(gap):
        ET.SubElement(element, "trkseg")
    for piece in pieces:
        segment = ET.SubElement(element, "trkseg")
        for point in piece.points:
            _track_point(segment, point)


def _track_point(segment: ET.Element, point: TrackPoint) -> None:
    element = ET.SubElement(segment, "trkpt", {"lat": degrees(point.lat), "lon": degrees(point.lon)})
    text_in(element, "ele", _height(point.elevation_m))
    text_in(element, "time", _instant(point.at))


def text_in(parent: ET.Element, name: str, text: str | None) -> None:
    """Put an element with a text into another, where there is a text; signs XML cannot hold become blanks."""
    if text:
        ET.SubElement(parent, name).text = FORBIDDEN.sub(" ", text)


def degrees(value: float) -> str:
    """Write every digit, without an exponent, which the schema's decimal does not know."""
    text = repr(float(value))
    return text.removesuffix(".0") if "e" not in text else f"{value:.17f}".rstrip("0").rstrip(".")


def _height(value_m: float | None) -> str | None:
    return None if value_m is None else degrees(value_m)


def _instant(at: datetime.datetime | None) -> str | None:
    return None if at is None else at.astimezone(datetime.UTC).isoformat().replace("+00:00", "Z")
