"""Gathers what a camera wrote beside a picture (EXIF), however broken."""

from __future__ import annotations

import math
import warnings
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import IntEnum

from PIL import Image

from sitebook.intake.photo.opening import BROKEN, Picture

LONGEST_TEXT = 120
"""Letters of a text tag that are kept; a camera's name is shorter."""


class Tag(IntEnum):
    """Number of a tag, by its name in EXIF 2.32."""

    MAKE = 271
    MODEL = 272
    ORIENTATION = 274
    EXIF_IFD = 34665
    GPS_IFD = 34853
    DATE_TIME_ORIGINAL = 36867
    DATE_TIME_DIGITIZED = 36868
    OFFSET_TIME = 36880
    OFFSET_TIME_ORIGINAL = 36881
    OFFSET_TIME_DIGITIZED = 36882
    SUBSEC_TIME_ORIGINAL = 37521


class Gps(IntEnum):
    """Number of a tag of the satellite receiver, by its name in EXIF 2.32."""

    LATITUDE_REF = 1
    LATITUDE = 2
    LONGITUDE_REF = 3
    LONGITUDE = 4
    ALTITUDE_REF = 5
    ALTITUDE = 6
    TIME_STAMP = 7
    MAP_DATUM = 18
    DATE_STAMP = 29
    H_POSITIONING_ERROR = 31


class TagError(Exception):
    """A tag that is there and cannot be used; its text says why."""


@dataclass(frozen=True)
class Tags:
    """All tags that are looked at.

    Parameters
    ----------
    base
        Those of the picture: camera and orientation.
    exif
        Those of the exposure: date and time.
    gps
        Those of the satellite receiver.
    broken
        Whether a block of tags could not be read.
    """

    base: Mapping[int, object] = field(default_factory=dict)
    exif: Mapping[int, object] = field(default_factory=dict)
    gps: Mapping[int, object] = field(default_factory=dict)
    broken: bool = False


def tags_of(picture: Picture) -> Tags:
    """Read the tags of a picture; what is broken is left out and said."""
    with warnings.catch_warnings(record=True) as warned:
        warnings.simplefilter("always")
        try:
            exif = picture.image.getexif()
        except BROKEN:
            return Tags(broken=True)
        base, base_broken = _block(exif, None)
        shot, shot_broken = _block(exif, Tag.EXIF_IFD)
        gps, gps_broken = _block(exif, Tag.GPS_IFD)
    return Tags(base, shot, gps, bool(warned) or base_broken or shot_broken or gps_broken)


def _block(exif: Image.Exif, ifd: int | None) -> tuple[dict[int, object], bool]:
    """Read one block tag by tag, so that one broken tag does not take the others with it."""
    try:
        block: Mapping[int, object] = exif if ifd is None else exif.get_ifd(ifd)
        numbers = list(block)
    except BROKEN:
        return {}, True
    read: dict[int, object] = {}
    broken = False
    for number in numbers:
        try:
            read[number] = block[number]
        except BROKEN:
            broken = True
    return read, broken


def text(value: object) -> str:
    """Give a text tag without padding and without signs that no line of text holds; empty for no text."""
    if isinstance(value, bytes):
        value = value.decode("latin-1")
    if not isinstance(value, str):
        return ""
    seen = "".join(sign if sign.isprintable() else " " for sign in value.split("\x00")[0])
    return " ".join(seen.split())[:LONGEST_TEXT]


def number(value: object, what: str) -> float:
    """Give one number.

    Raises
    ------
    TagError
        When it is none, as 0/0 is none.
    """
    try:
        read = float(value)  # type: ignore[arg-type]
    except BROKEN as reason:
        raise TagError(f"{what} is not written as a number") from reason
    if not math.isfinite(read):
        raise TagError(f"{what} is written as a fraction over zero")
    return read


def numbers(value: object, how_many: int, what: str, wanted: str) -> list[float]:
    """Give a row of numbers.

    Raises
    ------
    TagError
        When there are more or fewer, or one of them is none.
    """
    if not isinstance(value, tuple | list):
        raise TagError(f"{what} is one bare number where {wanted} belong")
    if len(value) != how_many:
        raise TagError(f"{what} holds {len(value)} numbers where {wanted} belong")
    return [number(part, what) for part in value]
