"""Makes small pictures with what a camera writes beside them, for tests."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from pathlib import Path

from PIL import Image
from PIL.TiffImagePlugin import IFDRational

GPS_IFD, EXIF_IFD = 34853, 34665
Angle = tuple[IFDRational, IFDRational, IFDRational]


def angle(degrees: float) -> Angle:
    """Write an angle as degrees, minutes and seconds, these to the ten-thousandth."""
    ten_thousandths = round(abs(degrees) * 3600 * 10_000)
    whole, rest = divmod(ten_thousandths, 3600 * 10_000)
    minutes, seconds = divmod(rest, 60 * 10_000)
    return IFDRational(whole, 1), IFDRational(minutes, 1), IFDRational(seconds, 10_000)


def exif(
    at: datetime.datetime | str | None = None,
    lonlat: tuple[float, float] | None = None,
    *,
    camera: tuple[str, str] = ("Vennar", "Box 2"),
    error_m: float | None = None,
    orientation: int | None = None,
    offset: str | None = None,
    gps: Mapping[int, object] | None = None,
) -> Image.Exif:
    """Give the tags of a picture; `at` is the camera's own clock."""
    tags = Image.Exif()
    tags[271], tags[272] = camera
    if orientation is not None:
        tags[274] = orientation
    shot = tags.get_ifd(EXIF_IFD)
    if at is not None:
        shot[36867] = at if isinstance(at, str) else f"{at:%Y:%m:%d %H:%M:%S}"
    if offset is not None:
        shot[36881] = offset
    place = tags.get_ifd(GPS_IFD)
    if lonlat is not None:
        lon, lat = lonlat
        place[1], place[2] = ("N" if lat >= 0 else "S"), angle(lat)
        place[3], place[4] = ("E" if lon >= 0 else "W"), angle(lon)
    if error_m is not None:
        place[31] = IFDRational(round(error_m * 10), 10)
    place.update(gps or {})
    return tags


def picture(path: Path, tags: Image.Exif | None = None, *, size: tuple[int, int] = (64, 48)) -> Path:
    """Write a JPEG with tags; its pixels are made of its name, so that no two files are alike."""
    colour = tuple(sum(map(ord, path.name)) * factor % 256 for factor in (7, 13, 29))
    image = Image.new("RGB", size, colour)
    image.putpixel((0, 0), tuple(255 - part for part in colour))
    path.parent.mkdir(parents=True, exist_ok=True)
    image.save(path, "JPEG", exif=tags or Image.Exif(), comment=path.name.encode())
    return path
