"""The drawn photos of two days: a telephone's with places, a camera's without, and tags with numbers."""

from __future__ import annotations

import datetime
import io
import math
import random
from dataclasses import dataclass

from PIL import Image, ImageDraw
from PIL.TiffImagePlugin import IFDRational

from demo_data.making.lines import Point, lon_lat
from demo_data.making.walk import WAYPOINTS, track_points

SIZE = (320, 240)
TELEPHONE, CAMERA = ("Hessewick", "Pocket 3"), ("Hessewick", "Field Box")
BEHIND_UTC = datetime.timedelta(hours=1)
"""Local time of the island."""

Colour = tuple[int, int, int]
BROWN, CREAM, BLACK, ORANGE, RED = (124, 78, 44), (226, 206, 170), (52, 46, 48), (222, 132, 44), (150, 60, 48)
MOSS, LITTER, LAWN, BARK = (74, 92, 50), (112, 84, 54), (86, 130, 62), (86, 74, 62)


@dataclass(frozen=True)
class Shot:
    """One photo.

    Parameters
    ----------
    name
        Its file name.
    at
        The instant.
    place
        Longitude and latitude, written in it; None where the camera knows none.
    cap, ground
        Colours of what it shows.
    caps
        How many caps.
    number
        Number on the tag it shows; None for no tag.
    """

    name: str
    at: datetime.datetime
    place: tuple[float, float] | None
    cap: Colour
    ground: Colour
    caps: int = 1
    number: int | None = None


def shots() -> tuple[Shot, ...]:
    """Give all photos: four of the Saturday walk, four of two finds with a tag, one of the kitchen table."""
    bolete, second = _reached(WAYPOINTS[0][2])
    between, _ = _reached((630.0, 552.0))
    lawn, pond = (-19.392733, 48.606717), (-19.392706, 48.603039)
    spring = datetime.datetime(2025, 4, 25, 12, 59, 20, tzinfo=datetime.UTC)
    summer = datetime.datetime(2025, 6, 20, 15, 45, 30, tzinfo=datetime.UTC)
    return (
        Shot("IMG_0101.jpg", spring, lawn, CREAM, LAWN, 3, 253),
        Shot("IMG_0102.jpg", spring + _s(25), lawn, CREAM, LAWN, 4),
        Shot("IMG_0140.jpg", summer, pond, ORANGE, BARK, 2, 258),
        Shot("IMG_0141.jpg", summer + _s(30), pond, ORANGE, BARK, 2),
        Shot("IMG_0142.jpg", summer + _s(4 * 3600), None, ORANGE, CREAM, 1),
        Shot("IMG_0207.jpg", bolete + _s(12), second, BROWN, LITTER, 2),
        Shot("IMG_0208.jpg", bolete + _s(50), second, BROWN, LITTER, 1),
        Shot("FB_0031.jpg", between + _s(4), None, RED, MOSS, 1),
        Shot("FB_0032.jpg", between + _s(26), None, RED, MOSS, 2),
    )


def _s(seconds: float) -> datetime.timedelta:
    return datetime.timedelta(seconds=seconds)


def _reached(at: Point) -> tuple[datetime.datetime, tuple[float, float]]:
    """Give when the walk came nearest to a spot, and the spot in degrees."""
    return min(track_points(), key=lambda p: math.dist(p[0], at))[1], lon_lat(at)


def numbers() -> str:
    """Write the table of the tags that photos show."""
    rows = [f"{shot.name},{shot.number}" for shot in shots() if shot.number is not None]
    return "\n".join(["# sitebook table: photo_tag", "file_name,tag_number", *rows]) + "\n"


def pictures() -> dict[str, bytes]:
    """Draw every photo and write beside it what its camera would."""
    return {shot.name: _photo(shot) for shot in shots()}


def _photo(shot: Shot) -> bytes:
    written = io.BytesIO()
    _drawn(shot).save(written, "JPEG", quality=70, exif=_tags(shot))
    return written.getvalue()


def _tags(shot: Shot) -> Image.Exif:
    tags = Image.Exif()
    tags[271], tags[272] = CAMERA if shot.name.startswith("FB") else TELEPHONE
    of_shot = tags.get_ifd(34665)
    of_shot[36867] = f"{shot.at - BEHIND_UTC:%Y:%m:%d %H:%M:%S}"
    if not shot.name.startswith("FB"):
        of_shot[36881] = "-01:00"
    if shot.place is not None:
        lon, lat = shot.place
        tags.get_ifd(34853).update({1: "N", 2: _angle(lat), 3: "W", 4: _angle(lon), 31: IFDRational(5, 1)})
    return tags


def _angle(degrees: float) -> tuple[IFDRational, IFDRational, IFDRational]:
    minutes, seconds = divmod(round(abs(degrees) * 3_600_000), 60_000)
    return IFDRational(minutes // 60, 1), IFDRational(minutes % 60, 1), IFDRational(seconds, 1000)


def _drawn(shot: Shot) -> Image.Image:
    rng = random.Random(shot.name)
    image = Image.new("RGB", SIZE, shot.ground)
    draw = ImageDraw.Draw(image)
    for _ in range(70):
        x, y = rng.randrange(SIZE[0]), rng.randrange(SIZE[1])
        shade = rng.randrange(-22, 22)
        draw.line(
            (x, y, x + rng.randrange(-14, 15), y - rng.randrange(4, 22)), _shaded(shot.ground, shade), 2
        )
    for number in range(shot.caps):
        middle = SIZE[0] * (number + 1) // (shot.caps + 1)
        _mushroom(draw, middle, 150 + rng.randrange(-12, 30), rng.randrange(34, 52), shot.cap)
    if shot.number is not None:
        draw.rectangle((196, 176, 312, 232), (244, 240, 224), (60, 56, 50), 2)
        draw.text((214, 186), str(shot.number), (40, 36, 32), font_size=34)
    return image


def _mushroom(draw: ImageDraw.ImageDraw, x: int, y: int, reach: int, cap: Colour) -> None:
    foot = reach // 3
    draw.rounded_rectangle((x - foot, y - 4, x + foot, y + reach + 26), foot // 2, _shaded(CREAM, -14))
    draw.pieslice((x - reach, y - reach, x + reach, y + reach), 180, 360, cap)
    draw.arc((x - reach + 6, y - reach + 6, x + reach - 6, y + reach), 205, 265, _shaded(cap, 50), 4)


def _shaded(colour: Colour, by: int) -> Colour:
    red, green, blue = (max(0, min(255, part + by)) for part in colour)
    return red, green, blue
