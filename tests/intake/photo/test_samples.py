"""Tests of the photo reader on pictures of other projects, broken ones among them."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from pathlib import Path

import pytest

from sitebook.errors import FileUnreadable
from sitebook.intake.photo import read_photo
from sitebook.records.incoming import Reading

SAMPLES = "photos"
BARE = "the latitude is one bare number where degrees, minutes and seconds belong"


@pytest.fixture
def read(shared_file: Callable[[str], Path]) -> Callable[[str], Reading]:
    """Give a function from a sample's name to what the reader makes of it."""
    return lambda name: read_photo(shared_file(f"{SAMPLES}/{name}"))


def _lonlat(reading: Reading) -> tuple[float, float]:
    place = reading.drafts[0].values["geom"]
    return place.x, place.y  # type: ignore[attr-defined]


@pytest.mark.source(
    item="",
    what="position of exiftool/GPS.jpg [deg]",
    value="54.989667, -1.914167",
    source="test images of exiftool, figures noted with them",
    mark="confirmed",
)
def test_position_of_exiftool_gps(read: Callable[[str], Reading]) -> None:
    assert _lonlat(read("exiftool/GPS.jpg")) == pytest.approx((-1.914167, 54.989667), abs=1e-6)


@pytest.mark.source(
    item="",
    what="position of exiftool/Apple.jpg [deg]",
    value="53.382847, -1.456678",
    source="test images of exiftool, figures noted with them",
    mark="confirmed",
)
def test_position_error_and_height_of_exiftool_apple(read: Callable[[str], Reading]) -> None:
    reading = read("exiftool/Apple.jpg")
    assert _lonlat(reading) == pytest.approx((-1.456678, 53.382847), abs=1e-6)
    values = reading.drafts[0].values
    assert (values["elevation_m"], values["uncertainty_m"]) == (72.37, 165.0)
    assert values["camera"] == "Apple iPhone 7"
    assert values["position_from"] == "photo"


@pytest.mark.source(
    item="",
    what="position of gpsbabel/IMG_2065.JPG [deg]",
    value="44.31515, 15.26569",
    source="test images of GPSBabel, figures noted with them",
    mark="confirmed",
)
def test_position_of_gpsbabel(read: Callable[[str], Reading]) -> None:
    assert _lonlat(read("gpsbabel/IMG_2065.JPG")) == pytest.approx((15.26569, 44.31515), abs=1e-6)


@pytest.mark.source(
    item="",
    what="latitude written as one bare rational",
    value="no position, one line, the photo comes in",
    source="test images of piexif and Pillow",
    mark="confirmed",
)
@pytest.mark.parametrize("name", ["piexif/01.jpg", "pillow/exif_gps.jpg"])
def test_a_bare_rational_is_left_out_in_one_line(read: Callable[[str], Reading], name: str) -> None:
    reading = read(name)
    assert reading.drafts[0].values["geom"] is None
    assert [line.sorting for line in reading.sorted_lines] == ["left out"]
    assert BARE in reading.sorted_lines[0].reason


@pytest.mark.parametrize(
    ("name", "camera", "local"),
    [
        ("exiftool/Canon.jpg", "Canon EOS DIGITAL REBEL", "2003-12-04T06:46:52"),
        ("exiftool/Nikon.jpg", "NIKON E775", "2001-08-01T12:57:23"),
        ("gpsbabel/ricoh-rdc5300.jpg", "RICOH RDC-5300", "2000-05-31T21:50:40"),
        ("piexif/r_olympus.jpg", "OLYMPUS IMAGING CORP. STYLUS1", "2013-11-12T13:54:29"),
        ("pillow/invalid-exif-without-x-resolution.jpg", None, "2016-12-03T11:17:43"),
    ],
)
def test_camera_and_clock(read: Callable[[str], Reading], name: str, camera: str | None, local: str) -> None:
    values = read(name).drafts[0].values
    assert values["camera"] == camera
    assert values["taken_at"] == datetime.datetime.fromisoformat(local).replace(tzinfo=datetime.UTC)
    assert values["zone_assumed"] is True


def test_no_sample_breaks_the_reader(shared_data: Path) -> None:
    samples = sorted(p for p in (shared_data / SAMPLES).rglob("*") if p.suffix.lower() == ".jpg")
    assert len(samples) >= 25
    for path in samples:
        if path.stat().st_size == 0:
            with pytest.raises(FileUnreadable, match="empty"):
                read_photo(path)
            continue
        reading = read_photo(path)
        assert [draft.kind for draft in reading.drafts] == ["photo", "photo_thumbnail"], path.name
        assert len(reading.sorted_lines) <= 1, path.name
