"""Sets a photo's clock right, and finds its place on a track where it carries none."""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import shapely
from shapely import Point
from shapely.geometry.base import BaseGeometry

from sitebook.analysis.outing.along_track import spot_at
from sitebook.citations import Cited
from sitebook.records.book import Setting
from sitebook.records.outing import Track
from sitebook.store import rows
from sitebook.store.book import Book
from sitebook.work.opening import book_row

OFFSET_KEY = "clock_offset_s:"
"""How the setting of a camera's offset begins; the camera follows."""


MOST_OFFSET_S = Cited(400 * 86_400.0, "s", "ours", "our choice")
"""Largest offset taken: a camera whose year was set wrong by one."""


@dataclass(frozen=True)
class Known:
    """What photos are placed by.

    Parameters
    ----------
    tracks
        Recorded tracks with their times.
    home
        Her home area; None where none is drawn.
    offsets_s
        Seconds to add to the clock of each camera, by its folded name [s].
    """

    tracks: Sequence[Track]
    home: BaseGeometry | None
    offsets_s: Mapping[str, float]

    def offset_s(self, camera: object) -> float:
        """Give the seconds to add to the clock of a camera [s]; zero where she set none."""
        return self.offsets_s.get(folded(camera), 0.0) if isinstance(camera, str) else 0.0


def folded(camera: str) -> str:
    """Give a camera's name as it is compared: without case and doubled blanks."""
    return " ".join(camera.split()).casefold()


def known_in(book: Book) -> Known:
    """Gather what photos are placed by."""
    tracks = [t for t in rows.records(book, Track) if t.point_seconds and t.started_at]
    return Known(tracks, book_row(book).geom, offsets_in(book))


def offsets_in(book: Book) -> dict[str, float]:
    """Give the offset of every camera she set one for, by its folded name [s]."""
    hers = (s for s in rows.records(book, Setting) if s.person_id is None)
    return {
        folded(s.setting_key.removeprefix(OFFSET_KEY)): offset_s
        for s in hers
        if s.setting_key.startswith(OFFSET_KEY) and (offset_s := seconds_in(s.value_text)) is not None
    }


def seconds_in(said: str) -> float | None:
    """Give the seconds a setting says [s]; None where it says no number that can be."""
    try:
        seconds = float(said)
    except ValueError:
        return None
    return seconds if abs(seconds) <= MOST_OFFSET_S.value else None


def on_arrival(known: Known, values: Mapping[str, object]) -> dict[str, object]:
    """Give the columns of a photo as read once its clock is set right and its place is looked for."""
    offset_s, taken_at = known.offset_s(values.get("camera")), values.get("taken_at")
    timed = {**values, "clock_offset_s": offset_s}
    if isinstance(taken_at, datetime.datetime):
        timed["taken_at"] = taken_at + datetime.timedelta(seconds=offset_s)
    return {**timed, **placed(known, timed)}


def placed(known: Known, values: Mapping[str, object]) -> dict[str, object]:
    """Give the columns that say where a photo was taken; a position of its own stays."""
    found: dict[str, object] = {"geom": values.get("geom"), "position_from": values.get("position_from")}
    found["uncertainty_m"] = values.get("uncertainty_m")
    taken_at = values.get("taken_at")
    if found["position_from"] in (None, "track") and isinstance(taken_at, datetime.datetime):
        spot = spot_at(known.tracks, taken_at)
        found["geom"] = Point(spot.lon, spot.lat) if spot else None
        found["position_from"] = "track" if spot else None
        found["uncertainty_m"] = spot.uncertainty_m if spot else None
    found["at_home"] = is_at_home(known.home, found["geom"])
    return found


def is_at_home(home: BaseGeometry | None, geom: object) -> bool:
    """Whether a place lies inside the home area."""
    return home is not None and isinstance(geom, BaseGeometry) and bool(shapely.covers(home, geom))
