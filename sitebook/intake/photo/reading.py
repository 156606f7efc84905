"""Reads one photo: its place, its instant, its camera, and the picture made small."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import TypeVar

from shapely.geometry import Point

from sitebook.intake.files import name_of
from sitebook.intake.instants import zone_named
from sitebook.intake.photo import clock, position
from sitebook.intake.photo.opening import Picture, open_picture
from sitebook.intake.photo.small_picture import small_picture
from sitebook.intake.photo.tags import Tag, TagError, Tags, tags_of, text
from sitebook.records.incoming import Draft, Reading, SortedLine

T = TypeVar("T")


def read_photo(path: Path, *, zone: str = "UTC") -> Reading:
    """Read a photo in JPEG, PNG, TIFF, WebP, AVIF or, with the extra `heic`, HEIC.

    Parameters
    ----------
    path
        The photo.
    zone
        IANA time zone taken for a camera's clock that does not name its own.

    Returns
    -------
    Reading
        A draft of the photo, its identity the SHA-256 of its bytes, and one of its small picture.
        A place or time that is written and cannot be used is left out, each with one line; the photo
        comes in all the same.

    Raises
    ------
    FileUnreadable, FileTooLarge, FileNotRecognised, FileMissing
        As `opening.open_picture`.
    BadArgument
        When there is no such zone.
    """
    hours = zone_named(zone)
    picture = open_picture(path)
    tags = tags_of(picture)
    sorter = _Sorter()
    if tags.broken:
        sorter.say("some of what the camera wrote beside the picture is broken")
    values = _place(tags, sorter)
    taken = sorter.read("time", lambda: clock.read_taken(tags, hours))
    if taken is not None:
        sorter.say(sorter.read("satellite time", lambda: clock.clocks_differ(taken, tags.gps)))
    values |= {
        "sha256": picture.sha256,
        "file_name": name_of(path),
        "media_type": picture.media_type,
        "camera": camera_of(tags),
        "taken_at": taken.at if taken else None,
        "zone_assumed": taken is not None and taken.zone_assumed,
    }
    drafts = (Draft("photo", picture.sha256, values), *_small(picture, tags, sorter))
    return Reading(f"photo ({picture.called})", drafts, tuple(sorter.lines))


@dataclass
class _Sorter:
    """Notes one line for each thing that cannot be used."""

    lines: list[SortedLine] = field(default_factory=list)

    def say(self, reason: str | None) -> None:
        """Note a reason, if there is one."""
        if reason:
            self.lines.append(SortedLine("left out", reason))

    def read(self, what: str, reader: Callable[[], T]) -> T | None:
        """Give what a reader reads; None, and one line, where it cannot."""
        try:
            return reader()
        except TagError as reason:
            self.say(f"no {what} is taken: {reason}")
            return None


def _place(tags: Tags, sorter: _Sorter) -> dict[str, object]:
    place = sorter.read("position", lambda: position.read_position(tags.gps))
    if place is None:
        return {"geom": None, "position_from": None, "uncertainty_m": None, "elevation_m": None}
    return {
        "geom": Point(place.lon, place.lat),
        "position_from": "photo",
        "uncertainty_m": sorter.read("error", lambda: position.read_error_m(tags.gps)),
        "elevation_m": sorter.read("height", lambda: position.read_elevation_m(tags.gps)),
    }


def camera_of(tags: Tags) -> str | None:
    """Give maker and model, the maker once; None where neither is written."""
    make, model = text(tags.base.get(Tag.MAKE)), text(tags.base.get(Tag.MODEL))
    said = model if make and model.casefold().startswith(make.casefold()) else f"{make} {model}".strip()
    return said or None


def _small(picture: Picture, tags: Tags, sorter: _Sorter) -> tuple[Draft, ...]:
    small = small_picture(picture, tags.base.get(Tag.ORIENTATION))
    if small is None:
        sorter.say("no small picture is made: the picture is cut off or broken")
        return ()
    values: dict[str, object] = {
        "media_type": small.media_type,
        "width_px": small.width_px,
        "height_px": small.height_px,
        "content": small.content,
    }
    return (Draft("photo_thumbnail", picture.sha256, values, {"photo_id": picture.sha256}),)
