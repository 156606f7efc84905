"""Reads a GPX file: waypoints become draft finds or sites, tracks keep their times."""

from __future__ import annotations

import hashlib
import uuid
from collections import Counter
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from shapely import LineString, Point

from sitebook.citations import Cited
from sitebook.intake import gpx_elements
from sitebook.intake.cells import CellError, number, plain_text
from sitebook.intake.instants import clock_was_set, instant_utc, local_day, zone_named
from sitebook.records.incoming import Draft, Reading, SortedLine
from sitebook.records.results.day_plan import PLANNED_STOP

if TYPE_CHECKING:
    import datetime
    from zoneinfo import ZoneInfo

SITE_RADIUS_M = Cited(30.0, "m", "ours", "our choice")
"""Reach of a site made of a waypoint, until she draws its outline."""

METRES_A_DILUTION = Cited(5.0, "m", "ours", "our choice")
"""Error of position for each unit of horizontal dilution (hdop), which is a pure number."""

LARGEST_DILUTION = Cited(50.0, "1", "ours", "our choice")
"""From here on a dilution says that the receiver had no fix, and tells no error in metres."""

LOWEST_M = Cited(-500.0, "m", "ours", "our choice")
HIGHEST_M = Cited(9000.0, "m", "ours", "our choice")
"""Heights beyond these two are a receiver's word for "not known"."""

NO_ZONE = "times without a zone were taken as UTC, as GPX has it"
NO_CLOCK = "times before 1980 were not kept, the receiver's clock was not set; the positions were kept"
NO_HEIGHT = "heights that cannot be were not kept; the positions were kept"
NO_FIX = "dilutions of precision (hdop) that tell no error in metres were not kept; the positions were kept"
KEPT_TRACK = ["sitebook", "track"]
"""What the source of a track begins with where an export of a book wrote it."""

ROUTES = "routes are planned, not walked, and are not kept"
PLANNED = "waypoints of a planned day are no finds, and are not kept"
SAME_WAYPOINT = "the same waypoint stands in the file more than once"
SAME_SEGMENT = "the same piece of track stands in the file more than once"
ONE_POINT = "pieces of track with fewer than two points are no way"
ONE_PLACE = "pieces of track that never leave one point are no way"
NOTHING = "the file holds no waypoint and no track"


@dataclass(frozen=True)
class _Fix:
    """One point whose every part is possible."""

    lon: float
    lat: float
    at: datetime.datetime | None
    elevation_m: float | None
    uncertainty_m: float | None


@dataclass
class _Sorter:
    """Sorts points into possible and refused, and counts what was left out on the way."""

    left_out: Counter[str] = field(default_factory=Counter)
    refused: list[SortedLine] = field(default_factory=list)

    def fix(self, point: gpx_elements.Point) -> _Fix | None:
        """Give the point's values, or None after refusing it."""
        try:
            for part, text in point.texts.items():
                _require_plain(part, text)
            lon, lat = _position(point)
            at = self._instant(point.texts.get("time", ""))
        except CellError as reason:
            self.refused.append(SortedLine("refused", str(reason), point.line_number, point.as_written))
            return None
        return _Fix(lon, lat, at, self._elevation_m(point), self._uncertainty_m(point))

    def _instant(self, text: str) -> datetime.datetime | None:
        at, zone_given = instant_utc(text)
        if at is not None and not clock_was_set(at):
            self.left_out[NO_CLOCK] += 1
            return None
        self.left_out[NO_ZONE] += not zone_given
        return at

    def _elevation_m(self, point: gpx_elements.Point) -> float | None:
        text = point.texts.get("ele", "")
        elevation_m = _number_or_none(text)
        if elevation_m is not None and LOWEST_M.value <= elevation_m <= HIGHEST_M.value:
            return elevation_m
        self.left_out[NO_HEIGHT] += bool(text)
        return None

    def _uncertainty_m(self, point: gpx_elements.Point) -> float | None:
        text = point.texts.get("hdop", "")
        dilution = _number_or_none(text)
        if dilution is not None and 0.0 < dilution < LARGEST_DILUTION.value:
            return dilution * METRES_A_DILUTION.value
        self.left_out[NO_FIX] += bool(text)
        return None

    @property
    def sorted_lines(self) -> tuple[SortedLine, ...]:
        """Refused points, then what was left out, with counts."""
        left = (SortedLine("left out", why, how_many=n) for why, n in self.left_out.items() if n)
        return (*self.refused, *left)


def read_gpx(path: Path, *, zone: str = "UTC", waypoints: Literal["finds", "sites"] = "finds") -> Reading:
    """Read waypoints and tracks of a GPX 1.0 or 1.1 file.

    A waypoint becomes a draft find without a collection number, or a site. Each segment of a track
    becomes one track. A point at 0/0 or beyond the poles is refused, as is one whose time cannot be read
    or lies after 2200. A time before 1980 is dropped and its point kept: the receiver's clock was not set.
    A time without a zone is UTC.

    Parameters
    ----------
    path
        The file.
    zone
        IANA name of the zone in which a find's local date is told.
    waypoints
        What the waypoints are.

    Returns
    -------
    Reading
        Drafts of kind find or site, then of kind track.

    Raises
    ------
    FileNotRecognised, FileUnreadable, FileTooLarge, FileMissing
        As `gpx_elements.read_elements`.
    BadArgument
        When no zone is called so.

    References
    ----------
    GPX 1.1 schema: time is UTC, ele is in metres, hdop is a pure number.
    """
    local = zone_named(zone)
    elements = gpx_elements.read_elements(path)
    sorter = _Sorter()
    drafts: dict[str, Draft] = {}
    for point in elements.waypoints:
        if point.texts.get("type") == PLANNED_STOP:
            sorter.left_out[PLANNED] += 1
            continue
        fix = sorter.fix(point)
        if fix is not None:
            draft = _site(point, fix) if waypoints == "sites" else _find(point, fix, local)
            _keep(drafts, draft, sorter, SAME_WAYPOINT)
    for segment in elements.segments:
        name = elements.track_names[segment.track_number]
        own_uuid = _own_uuid(elements.track_sources.get(segment.track_number, ""), segment.piece)
        track = _track(segment, name, own_uuid, sorter)
        if track is not None:
            _keep(drafts, track, sorter, SAME_SEGMENT)
    sorter.left_out[ROUTES] += elements.route_count
    sorter.left_out[NOTHING] += not (elements.waypoints or elements.segments or elements.route_count)
    return Reading(f"GPX {elements.version}".strip(), tuple(drafts.values()), sorter.sorted_lines)


def _keep(drafts: dict[str, Draft], draft: Draft, sorter: _Sorter, why_not: str) -> None:
    """Keep a draft once; one that shares its identity but says something else is kept under both."""
    same = drafts.get(draft.identity)
    if same is not None and same.values != draft.values:
        draft = replace(draft, identity=f"{draft.identity}|{_apart(draft)}")
        same = drafts.get(draft.identity)
    if same is not None:
        sorter.left_out[why_not] += 1
    else:
        drafts[draft.identity] = draft


def _apart(draft: Draft) -> str:
    """Tell one draft from another of the same instant and place: a track by its way, others by the note."""
    way = draft.values["geom"]
    if isinstance(way, LineString):
        return hashlib.sha256(way.wkb).hexdigest()[:16]
    return str(draft.values["note"] or "")


def _position(point: gpx_elements.Point) -> tuple[float, float]:
    lon, lat = (_degrees(point, name) for name in ("lon", "lat"))
    if lon == 0.0 and lat == 0.0:
        raise CellError("the position is 0/0, which receivers write when they have none")
    if not -90.0 <= lat <= 90.0:
        raise CellError(f"the latitude {lat:g} lies beyond a pole: it must be from -90 to 90")
    if not -180.0 <= lon <= 180.0:
        raise CellError(f"the longitude {lon:g} is impossible: it must be from -180 to 180")
    return lon, lat


def _degrees(point: gpx_elements.Point, name: Literal["lon", "lat"]) -> float:
    written = point.lon if name == "lon" else point.lat
    degrees = number(written or "")
    if degrees is None:
        raise CellError(f"the point has no {'longitude' if name == 'lon' else 'latitude'}")
    return degrees


def _number_or_none(text: str) -> float | None:
    try:
        return number(text)
    except CellError:
        return None


def _identity(fix: _Fix, name: str, *, dated: bool) -> str:
    at = fix.at.isoformat() if fix.at and dated else ""
    return f"gpx-waypoint:{at}|{fix.lon:.6f}|{fix.lat:.6f}|{name}"


def _find(point: gpx_elements.Point, fix: _Fix, zone: ZoneInfo) -> Draft:
    name = point.texts.get("name", "")
    values: dict[str, object] = {
        "collection_number": None,
        "found_on": local_day(fix.at, zone) if fix.at else None,
        "found_at": fix.at,
        "uncertainty_m": fix.uncertainty_m,
        "position_source": "gpx",
        "elevation_m": fix.elevation_m,
        "note": _note(point, "name", "cmt", "desc"),
        "geom": Point(fix.lon, fix.lat),
    }
    return Draft("find", _identity(fix, name, dated=True), values, line_number=point.line_number)


def _site(point: gpx_elements.Point, fix: _Fix) -> Draft:
    name = point.texts.get("name", "")
    values: dict[str, object] = {
        "name": name or _name_of_position(fix),
        "radius_m": SITE_RADIUS_M.value,
        "elevation_m": fix.elevation_m,
        "note": _note(point, "cmt", "desc", besides=name),
        "geom": Point(fix.lon, fix.lat),
    }
    return Draft("site", _identity(fix, name, dated=False), values, line_number=point.line_number)


def _name_of_position(fix: _Fix) -> str:
    north = f"{abs(fix.lat):.5f} {'N' if fix.lat >= 0 else 'S'}"
    east = f"{abs(fix.lon):.5f} {'E' if fix.lon >= 0 else 'W'}"
    return f"{north} {east}"


def _note(point: gpx_elements.Point, *parts: str, besides: str = "") -> str | None:
    texts = dict.fromkeys(point.texts.get(part, "") for part in parts)
    return "; ".join(text for text in texts if text and text != besides) or None


def _own_uuid(source: str, piece: int) -> str | None:
    """Give the UUID that a piece bears where an export wrote the file: the source lists one a piece."""
    words = source.split()
    if words[:2] != KEPT_TRACK or len(words) < 2 + piece:
        return None
    try:
        return str(uuid.UUID(words[1 + piece]))
    except ValueError:
        return None


def _require_plain(part: str, text: str) -> None:
    try:
        plain_text(text)
    except CellError as reason:
        raise CellError(f"its {part} {reason}") from reason


def _track(segment: gpx_elements.Segment, name: str, own_uuid: str | None, sorter: _Sorter) -> Draft | None:
    try:
        _require_plain("name", name)
    except CellError as reason:
        sorter.refused.append(SortedLine("refused", f"the track: {reason}", segment.line_number))
        return None
    fixes = [fix for fix in map(sorter.fix, segment.points) if fix is not None]
    places = {(fix.lon, fix.lat) for fix in fixes}
    if len(places) < 2:
        sorter.left_out[ONE_POINT if len(fixes) < 2 else ONE_PLACE] += 1
        return None
    instants = [fix.at for fix in fixes if fix.at is not None]
    first = min(instants, default=None)
    values: dict[str, object] = {
        "name": name or None,
        "piece": segment.piece,
        "started_at": first,
        "ended_at": max(instants, default=None),
        "point_seconds": _seconds(fixes, first) if first else None,
        "point_elevations_m": _joined([fix.elevation_m for fix in fixes]),
        "geom": LineString([(fix.lon, fix.lat) for fix in fixes]),
    }
    if own_uuid is not None:
        return Draft(
            "track", f"uuid:{own_uuid}", values | {"uuid": own_uuid}, line_number=segment.line_number
        )
    begins = instants[0].isoformat() if instants else ""
    identity = f"gpx-track:{begins}|{fixes[0].lon:.6f}|{fixes[0].lat:.6f}|{len(fixes)}"
    return Draft("track", identity, values, line_number=segment.line_number)


def _seconds(fixes: list[_Fix], first: datetime.datetime) -> str | None:
    return _joined([(fix.at - first).total_seconds() if fix.at else None for fix in fixes])


def _joined(values: list[float | None]) -> str | None:
    """Write numbers to the thousandth, parted by commas, empty where missing; None where all are."""
    if all(value is None for value in values):
        return None
    return ",".join("" if value is None else f"{value:.3f}".rstrip("0").rstrip(".") for value in values)
