"""Reads where a photo was taken from the tags of its satellite receiver."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from sitebook.citations import Cited
from sitebook.intake.photo.tags import Gps, TagError, number, numbers, text

DEGREES_MINUTES_SECONDS = "degrees, minutes and seconds"
LOWEST_M = Cited(-500.0, "m", "ours", "our choice")
HIGHEST_M = Cited(9_000.0, "m", "ours", "our choice")
"""Heights outside these are a receiver's slip: no ground lies there."""

DIGITS = 7
"""Digits kept of a degree: a centimetre."""


@dataclass(frozen=True)
class Position:
    """Where a photo was taken, WGS 84 [deg]."""

    lon: float
    lat: float


def read_position(gps: Mapping[int, object]) -> Position | None:
    """Read the position; None where none is written.

    Raises
    ------
    TagError
        When one is written and cannot be used.
    """
    if Gps.LATITUDE not in gps and Gps.LONGITUDE not in gps:
        return None
    lat = _angle(gps, Gps.LATITUDE, "latitude", "NS", 90.0)
    lon = _angle(gps, Gps.LONGITUDE, "longitude", "EW", 180.0)
    if lat == 0.0 and lon == 0.0:
        raise TagError("latitude and longitude are both zero, which a receiver writes that knows no place")
    datum = text(gps.get(Gps.MAP_DATUM))
    if datum and not _is_wgs84(datum):
        raise TagError(f"the position is in the datum {datum!r}, not in WGS 84")
    return Position(round(lon, DIGITS), round(lat, DIGITS))


def _angle(gps: Mapping[int, object], tag: Gps, what: str, sides: str, limit_deg: float) -> float:
    if tag not in gps:
        raise TagError(f"the {what} is missing")
    degrees, minutes, seconds = numbers(gps[tag], 3, f"the {what}", DEGREES_MINUTES_SECONDS)
    side = text(gps.get(tag - 1))[:1].upper()
    if not side or side not in sides:
        raise TagError(f"the {what} does not say {sides[0]} or {sides[1]}")
    if not (degrees >= 0 and 0 <= minutes <= 60 and 0 <= seconds <= 60):
        raise TagError(f"the {what} {degrees:g}° {minutes:g}′ {seconds:g}″ is none")
    angle = degrees + minutes / 60 + seconds / 3600
    if angle > limit_deg:
        raise TagError(f"the {what} {angle:g}° is above {limit_deg:g}°")
    return -angle if side == sides[1] else angle


def _is_wgs84(datum: str) -> bool:
    bare = "".join(sign for sign in datum.upper() if sign.isalnum())
    return bare.startswith("WGS") and bare.endswith("84")


def read_elevation_m(gps: Mapping[int, object]) -> float | None:
    """Read the height above the sea [m]; None where none is written.

    Raises
    ------
    TagError
        When it cannot be.
    """
    if Gps.ALTITUDE not in gps:
        return None
    height_m = number(gps[Gps.ALTITUDE], "the height")
    if gps.get(Gps.ALTITUDE_REF) in (b"\x01", 1):
        height_m = -height_m
    if not LOWEST_M.value <= height_m <= HIGHEST_M.value:
        raise TagError(f"the height {height_m:,.0f} m cannot be")
    return round(height_m, 2)


def read_error_m(gps: Mapping[int, object]) -> float | None:
    """Read the error of the position [m]; None where none is written.

    Raises
    ------
    TagError
        When it cannot be.
    """
    if Gps.H_POSITIONING_ERROR not in gps:
        return None
    error_m = number(gps[Gps.H_POSITIONING_ERROR], "the error of the position")
    if error_m < 0:
        raise TagError(f"the error of the position {error_m:g} m cannot be")
    return round(error_m, 2)
