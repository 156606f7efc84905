"""Tests of the photo reader on made pictures: place, clock, small picture, and what is mangled."""

from __future__ import annotations

import datetime
import io
import struct
import zlib
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image
from PIL.TiffImagePlugin import IFDRational

from sitebook.errors import FileNotRecognised, FileTooLarge, FileUnreadable, SitebookError
from sitebook.intake.photo import opening, read_photo
from tests.pictures import EXIF_IFD, GPS_IFD, angle, exif, picture

NOON = datetime.datetime(2025, 10, 4, 12, 0)  # noqa: DTZ001 - a clock as cameras keep it
HERE = (-19.401234, 48.598765)
ZERO_OVER_ZERO = IFDRational(0, 0)


def assert_one_line(refused: SitebookError) -> None:
    assert "\n" not in str(refused)


def test_a_whole_photo(tmp_path: Path) -> None:
    path = picture(
        tmp_path / "a.jpg", exif(NOON, HERE, error_m=4.8, offset="+02:00", gps={5: b"\0", 6: 31.5})
    )
    reading = read_photo(path, zone="Etc/GMT+1")
    values = reading.drafts[0].values
    assert reading.recognised_as == "photo (JPEG)"
    assert reading.sorted_lines == ()
    assert (values["geom"].x, values["geom"].y) == pytest.approx(HERE, abs=1e-7)  # type: ignore[attr-defined]
    assert values["taken_at"] == datetime.datetime(2025, 10, 4, 10, 0, tzinfo=datetime.UTC)
    assert values["zone_assumed"] is False
    assert (values["uncertainty_m"], values["elevation_m"]) == (4.8, 31.5)
    assert values["camera"] == "Vennar Box 2"
    assert values["file_name"] == "a.jpg"
    assert reading.drafts[0].identity == values["sha256"]


def test_without_an_offset_the_zone_of_the_book_is_assumed(tmp_path: Path) -> None:
    values = read_photo(picture(tmp_path / "a.jpg", exif(NOON)), zone="Etc/GMT+1").drafts[0].values
    assert values["taken_at"] == datetime.datetime(2025, 10, 4, 13, 0, tzinfo=datetime.UTC)
    assert values["zone_assumed"] is True


def test_satellite_time_checks_the_clock_and_stands_in_for_it(tmp_path: Path) -> None:
    satellite = {29: "2025:10:04", 7: (IFDRational(11), IFDRational(0), IFDRational(0))}
    off = read_photo(picture(tmp_path / "a.jpg", exif(NOON, gps=satellite)))
    assert "3,600 s ahead of the satellite time" in off.sorted_lines[0].reason
    assert off.drafts[0].values["taken_at"] == NOON.replace(tzinfo=datetime.UTC)
    alone = read_photo(picture(tmp_path / "b.jpg", exif(gps=satellite)))
    assert alone.drafts[0].values["taken_at"] == datetime.datetime(2025, 10, 4, 11, tzinfo=datetime.UTC)
    assert alone.drafts[0].values["zone_assumed"] is False


@pytest.mark.parametrize(
    ("gps", "says"),
    [
        ({2: (ZERO_OVER_ZERO,) * 3}, "a fraction over zero"),
        ({2: (IFDRational(91), IFDRational(0), IFDRational(0))}, "above 90"),
        ({4: (IFDRational(180), IFDRational(0), IFDRational(1))}, "above 180"),
        ({2: (IFDRational(48), IFDRational(75), IFDRational(0))}, "is none"),
        ({1: "Q"}, "does not say N or S"),
        ({1: None}, "does not say N or S"),
        ({3: ""}, "does not say E or W"),
        ({2: IFDRational(48)}, "one bare number"),
        ({4: None}, "the longitude is missing"),
        ({18: "TOKYO"}, "in the datum 'TOKYO'"),
        ({2: angle(0), 4: angle(0)}, "both zero"),
    ],
)
def test_a_position_that_cannot_be_is_left_out_in_one_line(
    tmp_path: Path, gps: dict[int, object], says: str
) -> None:
    tags = exif(NOON, HERE)
    block = tags.get_ifd(GPS_IFD)
    for number, value in gps.items():
        if value is None:
            del block[number]
        else:
            block[number] = value
    reading = read_photo(picture(tmp_path / "a.jpg", tags))
    assert [line.sorting for line in reading.sorted_lines] == ["left out"]
    assert says in reading.sorted_lines[0].reason
    values = reading.drafts[0].values
    assert values["geom"] is values["position_from"] is values["uncertainty_m"] is None
    assert values["taken_at"] is not None


@pytest.mark.parametrize("datum", ["WGS-84", "WGS84", "wgs 84"])
def test_the_datum_of_receivers_may_be_named(tmp_path: Path, datum: str) -> None:
    reading = read_photo(picture(tmp_path / "a.jpg", exif(NOON, HERE, gps={18: datum})))
    assert reading.drafts[0].values["position_from"] == "photo"


@pytest.mark.parametrize(
    ("at", "says"),
    [
        ("2201:01:01 00:00:00", "after the year 2200"),
        ("1970:01:01 00:00:00", "was not set"),
        ("2025:13:41 00:00:00", "does not exist"),
        ("yesterday", "is not written as"),
    ],
)
def test_a_time_that_cannot_be_is_left_out_in_one_line(tmp_path: Path, at: str, says: str) -> None:
    reading = read_photo(picture(tmp_path / "a.jpg", exif(at, HERE)))
    assert says in reading.sorted_lines[0].reason
    assert len(reading.sorted_lines) == 1
    assert reading.drafts[0].values["taken_at"] is None
    assert reading.drafts[0].values["geom"] is not None


@pytest.mark.parametrize("at", ["0000:00:00 00:00:00", "    :  :     :  :  ", ""])
def test_a_clock_that_wrote_nothing_is_no_fault(tmp_path: Path, at: str) -> None:
    reading = read_photo(picture(tmp_path / "a.jpg", exif(at)))
    assert reading.sorted_lines == ()
    assert reading.drafts[0].values["taken_at"] is None


@pytest.mark.parametrize(
    ("size", "orientation", "small"),
    [
        ((1280, 960), 1, (320, 240)),
        ((1280, 960), 6, (240, 320)),
        ((1280, 960), 99, (320, 240)),
        ((9, 7), 8, (7, 9)),
    ],
)
def test_the_small_picture_is_upright_and_holds_nothing_but_pixels(
    tmp_path: Path, size: tuple[int, int], orientation: int, small: tuple[int, int]
) -> None:
    tags = exif(NOON, HERE, orientation=orientation)
    values = read_photo(picture(tmp_path / "a.jpg", tags, size=size)).drafts[1].values
    content = values["content"]
    assert isinstance(content, bytes)
    image = Image.open(io.BytesIO(content))
    assert image.size == small == (values["width_px"], values["height_px"])
    assert dict(image.getexif()) == {}
    assert image.getexif().get_ifd(GPS_IFD) == image.getexif().get_ifd(EXIF_IFD) == {}
    assert set(image.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
    assert b"Exif" not in content
    assert b"a.jpg" not in content


def test_orientation_turns_the_pixels(tmp_path: Path) -> None:
    image = Image.new("RGB", (40, 20), "white")
    image.paste("black", (0, 0, 20, 20))
    image.save(tmp_path / "a.png", exif=exif(orientation=6))
    content = read_photo(tmp_path / "a.png").drafts[1].values["content"]
    assert isinstance(content, bytes)
    small = Image.open(io.BytesIO(content)).convert("L")
    assert small.size == (20, 40)
    pixels = small.tobytes()
    assert max(pixels[: 20 * 18]) < 12
    assert min(pixels[20 * 22 :]) > 243


@pytest.mark.parametrize(
    ("name", "mode", "called", "media"),
    [
        ("a.png", "RGBA", "PNG", "image/png"),
        ("a.tif", "L", "TIFF", "image/tiff"),
        ("a.webp", "RGB", "WebP", "image/webp"),
        ("a.png", "P", "PNG", "image/png"),
        ("a.jpg", "CMYK", "JPEG", "image/jpeg"),
    ],
)
def test_other_kinds_of_picture(tmp_path: Path, name: str, mode: str, called: str, media: str) -> None:
    Image.new(mode, (30, 20)).save(tmp_path / name, exif=exif(NOON, HERE))
    reading = read_photo(tmp_path / name)
    assert reading.recognised_as == f"photo ({called})"
    assert reading.drafts[0].values["media_type"] == media
    assert len(reading.drafts) == 2


def test_heic_comes_in_where_it_can_be_read(tmp_path: Path) -> None:
    pytest.importorskip("pillow_heif", reason="the extra heic is not installed")
    path = tmp_path / "a.heic"
    Image.new("RGB", (64, 48), "brown").save(path, "HEIF", exif=exif(NOON, HERE))
    values = read_photo(path).drafts[0].values
    assert values["media_type"] == "image/heic"
    assert (values["geom"].x, values["geom"].y) == pytest.approx(HERE, abs=1e-7)  # type: ignore[attr-defined]


def test_heic_without_its_reader_is_one_clear_line(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(opening, "READS_HEIC", False)
    path = tmp_path / "a.heic"
    path.write_bytes(b"\0\0\0\x18ftypheic" + bytes(50))
    with pytest.raises(FileNotRecognised, match="HEIC") as caught:
        read_photo(path)
    assert "sitebook[heic]" in str(caught.value)


def test_a_picture_cut_off_comes_in_without_its_small_one(tmp_path: Path) -> None:
    path = picture(tmp_path / "a.jpg", exif(NOON, HERE), size=(400, 300))
    path.write_bytes(path.read_bytes()[:-900])
    reading = read_photo(path)
    assert [draft.kind for draft in reading.drafts] == ["photo"]
    assert "cut off" in reading.sorted_lines[0].reason


def test_what_only_begins_as_a_picture_is_refused_in_one_line(tmp_path: Path) -> None:
    path = tmp_path / "a.jpg"
    path.write_bytes(b"\xff\xd8\xff\xe1 nothing behind")
    with pytest.raises(FileUnreadable, match="is none"):
        read_photo(path)


def test_a_packed_giant_is_refused_before_it_is_unpacked(tmp_path: Path) -> None:
    head = struct.pack(">IIBBBBB", 30_000, 30_000, 8, 2, 0, 0, 0)
    chunks = (b"IHDR" + head, b"IDAT" + zlib.compress(bytes(1000)), b"IEND")
    packed = (struct.pack(">I", len(c) - 4) + c + struct.pack(">I", zlib.crc32(c)) for c in chunks)
    path = tmp_path / "giant.png"
    path.write_bytes(b"\x89PNG\r\n\x1a\n" + b"".join(packed))
    with pytest.raises(FileTooLarge, match="million pixels"):
        read_photo(path)


@settings(max_examples=150, deadline=None)
@given(data=st.data())
def test_mangled_tags_never_break_the_reader(
    data: st.DataObject, tmp_path_factory: pytest.TempPathFactory
) -> None:
    folder = tmp_path_factory.getbasetemp()
    path = folder / "mangled.jpg"
    raw = bytearray(picture(path, exif(NOON, HERE, error_m=5, offset="+01:00")).read_bytes())
    begin = raw.index(b"Exif")
    end = begin + struct.unpack(">H", raw[begin - 2 : begin])[0]
    for _ in range(data.draw(st.integers(1, 12))):
        raw[data.draw(st.integers(begin, end - 3))] = data.draw(st.integers(0, 255))
    path.write_bytes(raw)
    try:
        reading = read_photo(path)
    except SitebookError as refused:
        assert_one_line(refused)
        return
    place = reading.drafts[0].values["geom"]
    assert place is None or (abs(place.x) <= 180 and abs(place.y) <= 90)  # type: ignore[attr-defined]
    assert all(len(line.reason) < 400 and "\n" not in line.reason for line in reading.sorted_lines)
