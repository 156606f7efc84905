"""Tells the day of a map extract, the ground it covers, and whom to name for it."""

from __future__ import annotations

import datetime
import io
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import BinaryIO
from xml.etree.ElementTree import ParseError

import osmium
import shapely
from defusedxml.common import DefusedXmlException
from defusedxml.ElementTree import iterparse
from shapely.geometry import Polygon

from sitebook.citations import Cited
from sitebook.intake.osm.packing import Packed

OSM_ATTRIBUTION = "© OpenStreetMap contributors, ODbL 1.0"
"""How OpenStreetMap asks to be named."""

NARROWEST_DEG = Cited(1e-6, "°", "ours", "our choice")
"""Half the width given to ground that has none, as that of a single point."""

HEAD_BYTES = 1 << 20
"""How much of an extract is looked at for its root element."""

FIRST_YEAR = Cited(2004.0, "1", "ours", "our choice")
LAST_YEAR = Cited(2200.0, "1", "ours", "our choice")
"""Years between which map data can have been drawn: OpenStreetMap began in 2004."""

DATE_KEYS = ("osmosis_replication_timestamp", "timestamp", "osm_base")
LONGEST_ATTRIBUTION = 500
ELEMENTS = frozenset({"node", "way", "relation"})
BEGINNING = datetime.datetime(1970, 1, 1, tzinfo=datetime.UTC)
UNITS_A_DEGREE = 10_000_000


@dataclass
class Bounds:
    """The box round all points seen so far, in osmium's whole units."""

    low: tuple[int, int] | None = None
    high: tuple[int, int] | None = None

    def take(self, x: int, y: int) -> None:
        """Widen the box to a point."""
        west, south = self.low or (x, y)
        east, north = self.high or (x, y)
        self.low = (min(west, x), min(south, y))
        self.high = (max(east, x), max(north, y))


@dataclass
class Seen:
    """What was learnt on the way that the head of the file may lack."""

    bounds: Bounds = field(default_factory=Bounds)
    newest: datetime.datetime = BEGINNING
    elements: int = 0


def head_of(packed: Packed, header: osmium.io.Header) -> dict[str, str]:
    """Gather what the head of an extract says of itself, as key and text; nothing that is empty."""
    said = {key: header.get(key, "") for key in ("generator", *DATE_KEYS)}
    if packed.written_as != "pbf":
        with packed.opened() as stream:
            said |= _root_attributes(io.BytesIO(stream.read(HEAD_BYTES)))
    return {key: text for key, text in said.items() if text}


def _root_attributes(stream: BinaryIO) -> dict[str, str]:
    found: dict[str, str] = {}
    try:
        for _, element in iterparse(stream, events=("start",)):
            if element.tag in ELEMENTS:
                break
            if element.tag in {"osm", "meta"}:
                found |= dict(element.attrib)
    except (ParseError, DefusedXmlException, UnicodeDecodeError, LookupError):
        return found
    return found


def data_date(head: Mapping[str, str], seen: Seen, zone: datetime.tzinfo) -> datetime.date | None:
    """Tell the day of the map data: from the head, else of the newest element, else None."""
    for key in DATE_KEYS:
        instant = _instant(head.get(key, ""))
        if instant is not None:
            return instant.astimezone(zone).date()
    return seen.newest.astimezone(zone).date() if seen.newest > BEGINNING else None


def _instant(text: str) -> datetime.datetime | None:
    try:
        instant = datetime.datetime.fromisoformat(text)
    except ValueError:
        return None
    if not FIRST_YEAR.value <= instant.year <= LAST_YEAR.value:
        return None
    return instant if instant.tzinfo else instant.replace(tzinfo=datetime.UTC)


def attribution(head: Mapping[str, str]) -> str:
    """Tell whom to name on a map.

    The file's own word counts where its root element carries an attribution that is no link to
    OpenStreetMap, or where the program that wrote it calls it invented; else it is OpenStreetMap's.
    """
    own = head.get("attribution", "").strip()[:LONGEST_ATTRIBUTION]
    if own and "openstreetmap" not in own.casefold():
        return own
    generator = head.get("generator", "").strip()[:LONGEST_ATTRIBUTION]
    return generator if "invented" in generator.casefold() else OSM_ATTRIBUTION


def covered(header: osmium.io.Header, seen: Seen) -> Polygon | None:
    """Give the ground the file says it covers, else the box round its points, else None."""
    box = header.box()
    if box.valid():
        low, high = box.bottom_left, box.top_right
        if low.x < high.x and low.y < high.y:
            return shapely.box(low.lon, low.lat, high.lon, high.lat)
    if seen.bounds.low is None or seen.bounds.high is None:
        return None
    half = NARROWEST_DEG.value
    (west, south), (east, north) = (_degrees(seen.bounds.low), _degrees(seen.bounds.high))
    if east - west < half or north - south < half:
        return shapely.box(west - half, south - half, east + half, north + half)
    return shapely.box(west, south, east, north)


def _degrees(corner: tuple[int, int]) -> tuple[float, float]:
    return corner[0] / UNITS_A_DEGREE, corner[1] / UNITS_A_DEGREE
