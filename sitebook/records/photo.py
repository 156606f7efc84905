"""A photo, the tag on it, what it shows, and its small picture."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import ClassVar

from shapely.geometry.base import BaseGeometry

from sitebook.records.columns import column
from sitebook.records.standing import Row, Standing


@dataclass(frozen=True, kw_only=True)
class Photo(Standing):
    """One original picture, kept in the folder beside the book under its SHA-256."""

    sha256: str = column("SHA-256 of the original's bytes, in hex", unique=True)
    file_name: str = column("name it came with")
    media_type: str = column("media type, as image/jpeg")
    camera: str | None = column("maker and model as the camera writes them", null="not written")
    taken_at: datetime.datetime | None = column(
        "instant it was taken, UTC, camera offset applied", null="not known"
    )
    clock_offset_s: float = column("seconds added to the camera's clock", unit="s", default=0.0)
    zone_assumed: bool = column("whether the zone of its clock is assumed, not written", default=False)
    uncertainty_m: float | None = column("error of its position", null="not written", unit="m")
    elevation_m: float | None = column("height above the sea", null="not written", unit="m")
    position_from: str | None = column("photo, or track it was matched to", null="no position")
    tag_number: int | None = column("collection number on the tag it shows", null="shows no tag")
    at_home: bool = column("whether it was taken inside the home area", default=False)
    note: str | None = column("anything else", null="nothing noted")
    geom: BaseGeometry | None = column("where it was taken, WGS 84", null="no position", geometry="POINT")


@dataclass(frozen=True, kw_only=True)
class PhotoTag(Standing):
    """The number on the tag that a picture shows, noted under the picture's file name."""

    file_name: str = column("file name of the picture that shows the tag")
    tag_number: int = column("collection number on the tag")
    photo_id: int | None = column("the picture", null="its picture has not come yet", refers="photo")


@dataclass(frozen=True, kw_only=True)
class PhotoLink(Standing):
    """What a photo shows: exactly one record a row."""

    GROUPS_UNIQUE: ClassVar[tuple[tuple[str, ...], ...]] = (
        ("photo_id", "find_id", "site_id", "host_tree_id", "visit_id", "permission_id"),
    )

    photo_id: int = column("the photo", refers="photo")
    find_id: int | None = column("find it shows", null="another kind of record", refers="find")
    site_id: int | None = column("site it shows", null="another kind of record", refers="site")
    host_tree_id: int | None = column("tree it shows", null="another kind of record", refers="host_tree")
    visit_id: int | None = column("visit it was taken on", null="another kind of record", refers="visit")
    permission_id: int | None = column("paper it shows", null="another kind of record", refers="permission")


@dataclass(frozen=True, kw_only=True)
class PhotoThumbnail(Row):
    """The small picture of a photo, without its position."""

    GROUPS_UNIQUE: ClassVar[tuple[tuple[str, ...], ...]] = (("photo_id",),)

    photo_id: int = column("the photo", refers="photo")
    media_type: str = column("media type of the small picture")
    width_px: int = column("width in pixels")
    height_px: int = column("height in pixels")
    content: bytes = column("the small picture itself")
