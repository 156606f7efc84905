"""Walks through the XML of a GPX file and gives its points with their line numbers."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING
from xml.etree.ElementTree import ParseError

from defusedxml import DefusedXmlException
from defusedxml.ElementTree import DefusedXMLParser

from sitebook.citations import Cited
from sitebook.errors import FileNotRecognised, FileTooLarge, FileUnreadable
from sitebook.intake.files import read_bytes

if TYPE_CHECKING:
    from collections.abc import Mapping

MOST_MIB = Cited(64.0, "MiB", "ours", "our choice")
"""Largest GPX file that is read."""

MOST_POINTS = Cited(500_000.0, "1", "ours", "our choice")
"""Waypoints and track points of the largest GPX file that is read: a point a second for six days."""

DEEPEST = Cited(100.0, "1", "ours", "our choice")
"""Elements within each other in the deepest GPX file that is read; GPX itself needs six."""

BYTES_A_BITE = 1 << 16
LONGEST_ATTRIBUTE = 40
VERSIONS = {"/GPX/1/0": "1.0", "/GPX/1/1": "1.1"}
TEXTS = frozenset({"name", "cmt", "desc", "type", "time", "ele", "hdop"})

WAYPOINT = ("gpx", "wpt")
ROUTE = ("gpx", "rte")
TRACK = ("gpx", "trk")
TRACK_NAME = ("gpx", "trk", "name")
TRACK_SOURCE = ("gpx", "trk", "src")
SEGMENT = ("gpx", "trk", "trkseg")
TRACK_POINT = ("gpx", "trk", "trkseg", "trkpt")


@dataclass
class Point:
    """One waypoint or track point as written.

    Parameters
    ----------
    line_number
        Line on which its element opens, from 1.
    element
        Name of the element, wpt or trkpt.
    lon, lat
        The two attributes as written; None where one is missing.
    texts
        Text of its children name, cmt, desc, time, ele and hdop, where given.
    """

    line_number: int
    element: str
    lon: str | None
    lat: str | None
    texts: dict[str, str] = field(default_factory=dict)

    @property
    def as_written(self) -> str:
        """The opening of the element, for a person to find it again."""
        given = "".join(
            f' {k}="{v[:LONGEST_ATTRIBUTE]}"'
            for k, v in (("lat", self.lat), ("lon", self.lon))
            if v is not None
        )
        return f"<{self.element}{given}>"


@dataclass
class Segment:
    """One unbroken piece of a track."""

    line_number: int
    track_number: int
    piece: int
    points: list[Point] = field(default_factory=list)


@dataclass
class Elements:
    """All that a GPX file holds and that is looked at.

    Parameters
    ----------
    version
        "1.0" or "1.1", by the namespace, else as the file says; empty where it says nothing.
    waypoints, segments
        In the order of the file.
    track_names, track_sources
        Name and source of each track, by its number from 1; empty where it has none.
    route_count
        How many routes it holds.
    """

    version: str = ""
    waypoints: list[Point] = field(default_factory=list)
    segments: list[Segment] = field(default_factory=list)
    track_names: dict[int, str] = field(default_factory=dict)
    track_sources: dict[int, str] = field(default_factory=dict)
    route_count: int = 0


def read_elements(path: Path) -> Elements:
    """Read the elements of a GPX file of version 1.0 or 1.1, with or without a namespace.

    Raises
    ------
    FileNotRecognised
        When the XML is no GPX.
    FileUnreadable
        When the XML is broken, nests without end, or defines entities of its own.
    FileTooLarge
        When it holds more points than are read, or as `files.read_bytes`.
    FileMissing
        As `files.read_bytes`.
    """
    raw = read_bytes(path, MOST_MIB)
    walk = _Walk(str(path))
    parser = DefusedXMLParser(target=walk)
    walk.expat = parser.parser
    try:
        for start in range(0, len(raw), BYTES_A_BITE):
            parser.feed(raw[start : start + BYTES_A_BITE])
        parser.close()
    except ParseError as reason:
        line_number = reason.position[0]
        raise FileUnreadable(
            f"the XML breaks off or breaks down at line {line_number} ({str(reason).split(':')[0]})",
            remedy="Copy the file from the receiver again.",
            where=str(path),
        ) from reason
    except DefusedXmlException as reason:
        raise FileUnreadable(
            "the file defines XML entities or calls for other files, which no receiver writes",
            remedy="Do not trust it; ask where it came from.",
            where=str(path),
        ) from reason
    except (LookupError, ValueError) as reason:
        raise FileUnreadable(
            "the file is written in an encoding that is not known here",
            remedy="Save it as UTF-8.",
            where=str(path),
        ) from reason
    return walk.elements


class _Walk:
    """The parser's target: keeps the path of open elements and picks what is wanted."""

    def __init__(self, where: str) -> None:
        self.where = where
        self.expat: object = None
        self.elements = Elements()
        self.namespace = ""
        self.open: list[str] = []
        self.point: Point | None = None
        self.text: list[str] | None = None
        self.point_count = 0

    def start(self, tag: str, attributes: Mapping[str, str]) -> None:
        """Open an element."""
        namespace, _, name = tag.rpartition("}")
        if not self.open:
            self._begin(namespace, name, attributes)
        self.open.append(name if namespace == self.namespace else tag)
        self._require_shallow()
        path = tuple(self.open[:5])
        if len(self.open) > 5:
            return
        if path in {WAYPOINT, TRACK_POINT}:
            self._begin_point(path, attributes)
        elif path == SEGMENT:
            self._begin_segment()
        elif path == TRACK:
            self.elements.track_names[len(self.elements.track_names) + 1] = ""
        elif path == ROUTE:
            self.elements.route_count += 1
        elif path in {TRACK_NAME, TRACK_SOURCE} or (
            path[:-1] in {WAYPOINT, TRACK_POINT} and path[-1] in TEXTS
        ):
            self.text = []

    def data(self, text: str) -> None:
        """Take text of the open element."""
        if self.text is not None:
            self.text.append(text)

    def end(self, _tag: str) -> None:
        """Close the open element."""
        path = tuple(self.open[:5])
        if self.text is not None and len(self.open) <= 5:
            self._keep_text(path)
        if path in {WAYPOINT, TRACK_POINT} and len(self.open) == len(path):
            self.point = None
        self.open.pop()

    def close(self) -> None:
        """End the walk."""

    @property
    def _line_number(self) -> int:
        return int(getattr(self.expat, "CurrentLineNumber", 0))

    def _begin(self, namespace: str, name: str, attributes: Mapping[str, str]) -> None:
        if name != "gpx":
            raise FileNotRecognised(
                f"this is XML of another kind, it begins with <{name}>",
                remedy="Save the waypoints and tracks as GPX.",
                where=self.where,
            )
        self.namespace = namespace
        by_namespace = [v for end, v in VERSIONS.items() if namespace.rstrip("/").endswith(end)]
        self.elements.version = by_namespace[0] if by_namespace else attributes.get("version", "")[:8].strip()

    def _require_shallow(self) -> None:
        if len(self.open) > DEEPEST.value:
            raise FileUnreadable(
                f"more than {DEEPEST.value:g} XML elements lie within each other, which no receiver writes",
                remedy="Do not trust it; ask where it came from.",
                where=f"{self.where}, line {self._line_number}",
            )

    def _count_point(self) -> None:
        self.point_count += 1
        if self.point_count > MOST_POINTS.value:
            raise FileTooLarge(
                f"the file holds more than {MOST_POINTS.value:,.0f} points",
                remedy="Save its tracks as several files.",
                where=self.where,
            )

    def _begin_point(self, path: tuple[str, ...], attributes: Mapping[str, str]) -> None:
        self._count_point()
        self.point = Point(self._line_number, path[-1], attributes.get("lon"), attributes.get("lat"))
        if path == WAYPOINT:
            self.elements.waypoints.append(self.point)
        else:
            self.elements.segments[-1].points.append(self.point)

    def _begin_segment(self) -> None:
        track_number = len(self.elements.track_names)
        before = [s for s in self.elements.segments[-1:] if s.track_number == track_number]
        piece = before[0].piece + 1 if before else 1
        self.elements.segments.append(Segment(self._line_number, track_number, piece))

    def _keep_text(self, path: tuple[str, ...]) -> None:
        if path in {TRACK_NAME, TRACK_SOURCE} or (path[:-1] in {WAYPOINT, TRACK_POINT} and path[-1] in TEXTS):
            text = " ".join("".join(self.text or ()).split())
            self.text = None
            if path == TRACK_NAME:
                self.elements.track_names[len(self.elements.track_names)] = text
            elif path == TRACK_SOURCE:
                self.elements.track_sources[len(self.elements.track_names)] = text
            elif self.point is not None:
                self.point.texts[path[-1]] = text
