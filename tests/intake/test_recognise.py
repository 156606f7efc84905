"""Checks that files are told apart by what they hold, whatever they are called."""

from __future__ import annotations

import bz2
import gzip
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitebook.errors import FileMissing, FileNotRecognised, FileUnreadable, SitebookError
from sitebook.intake.recognise import Format, recognise

GPX = b'<?xml version="1.0"?>\n<!-- <osm> -->\n<gpx version="1.1" xmlns="http://www.topografix.com/GPX/1/1"/>'
OSM = b"<?xml version='1.0' encoding='UTF-8'?>\n<osm version='0.6'/>"


@pytest.fixture
def named(tmp_path: Path) -> Callable[[str, bytes], Path]:
    """Give a function from a name and bytes to a file."""

    def write(name: str, content: bytes) -> Path:
        path = tmp_path / name
        path.write_bytes(content)
        return path

    return write


@pytest.mark.parametrize(
    ("content", "kind"),
    [
        (GPX, "gpx"),
        (b"\xef\xbb\xbf" + GPX, "gpx"),
        (GPX.decode().encode("utf-16"), "gpx"),
        (b"<!DOCTYPE gpx [<!ENTITY a 'b'>]><gpx/>", "gpx"),
        (b"<x:gpx xmlns:x='http://www.topografix.com/GPX/1/0'/>", "gpx"),
        (OSM, "osm"),
        (gzip.compress(OSM, mtime=0), "osm"),
        (b"\x00\x00\x00\x0e\x0a\x09OSMHeader\x18\x7b", "osm"),
        (b"\xff\xd8\xff\xe1....", "photo"),
        (b"\x89PNG\r\n\x1a\n....", "photo"),
        (b"II*\x00....", "photo"),
        (b"RIFF....WEBPVP8 ", "photo"),
        (b"\x00\x00\x00\x18ftypheic....", "photo"),
        (b"\x00\x00\x00\x18ftypmif1....", "photo"),
        (b"station,local_date,rain_mm\nA,2024-01-01,1\n", "weather"),
        (b"\xef\xbb\xbf# own: yes\nlocal_date;temp_min_degc\n2024-01-01;2,5\n", "weather"),
        (b"# sitebook table: weather\nlocal_date,rain_mm\n", "weather"),
        (b"# zone: UTC\nUSC00368449200001PRCP    0  0    0  0\n", "weather"),
        (b"USW00094728,20140101,PRCP,0,,,W,2400\n", "weather"),
        (b"date,attr,value,a,b,c,d\n20140101,PRCP,0,,,W,2400\n", "weather"),
        (b'"STATION","DATE","LATITUDE","PRCP","PRCP_ATTRIBUTES"\n', "weather"),
        (b"STATION,DATE,MAX,MAX_ATTRIBUTES,PRCP,FRSHTT\n", "weather"),
        (b"gauge,read_on,rain_mm\nGarden,2025-10-03,3\n", "weather"),
        (b"date,precipitation,temp_max,temp_min,wind,weather\n", "weather"),
        (b"site,local_date,search_minutes,reason\nGarden,2024-01-01,30,planned\n", "table"),
        (b"# sitebook table: visit\nsite,local_date,rain_mm\n", "table"),
        (b"scientificName;eventDate\nBoletus edulis;1994\n", "table"),
    ],
)
@pytest.mark.parametrize("name", ["a.gpx", "b.csv", "c.jpg", "d"])
def test_contents_decide_and_the_name_does_not(
    named: Callable[[str, bytes], Path], content: bytes, kind: Format, name: str
) -> None:
    assert recognise(named(name, content)) == kind


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"\x00\x00\x00\x18ftypmp42....", "a video"),
        (b"\x00\x00\x00\x14ftypqt  ....", "a video"),
        (b"\x1aE\xdf\xa3....", "a video"),
        (b"RIFF....AVI LIST", "a video"),
        (b"GIF89a..", "a picture (GIF)"),
        (b"PK\x03\x04.....", "packed file"),
        (b"SQLite format 3\x00", "--book"),
        (b"\x0e\x10\x5e\x05\x00\x00\x00\x00.FIT", "FIT"),
        (b"<kml xmlns='http://www.opengis.net/kml/2.2'/>", "KML"),
        (b"<!DOCTYPE html><html></html>", "a web page"),
        (b"<osmChange/>", "changes"),
        (b"<", "XML that begins with <>"),
        (b'{"type": "FeatureCollection"}', "JSON"),
        (b"just a word\n", "no header"),
        (gzip.compress(GPX, mtime=0), "osm.bz2 alone"),
        (bz2.compress(GPX), "osm.bz2 alone"),
        (bytes(range(256)), "no text"),
    ],
)
def test_other_kinds_are_refused_politely(
    named: Callable[[str, bytes], Path], content: bytes, says: str
) -> None:
    with pytest.raises(FileNotRecognised) as caught:
        recognise(named("a.gpx", content))
    assert says in str(caught.value)
    assert "a.gpx" in str(caught.value)


def test_a_workbook_is_told_from_other_packed_files(named: Callable[[str, bytes], Path]) -> None:
    with pytest.raises(FileNotRecognised, match="workbook"):
        recognise(named("a.xlsx", b"PK\x03\x04...."))


def test_missing_empty_folder_and_broken_packing(named: Callable[[str, bytes], Path], tmp_path: Path) -> None:
    with pytest.raises(FileMissing, match="no such file"):
        recognise(tmp_path / "none.gpx")
    with pytest.raises(FileNotRecognised, match="folder"):
        recognise(tmp_path)
    with pytest.raises(FileUnreadable, match="empty"):
        recognise(named("a.gpx", b""))
    with pytest.raises(FileUnreadable, match="packing is broken"):
        recognise(named("a.osm.gz", gzip.compress(OSM, mtime=0)[:10] + b"\x07\xff\xff"))


def test_many_comments_before_the_root_are_passed_over(named: Callable[[str, bytes], Path]) -> None:
    with pytest.raises(FileNotRecognised):
        recognise(named("a.gpx", b"<!---->" * 9000 + b"<!-- never closed"))


@given(st.binary(min_size=1, max_size=300))
def test_any_bytes_are_recognised_or_refused_in_words(
    tmp_path_factory: pytest.TempPathFactory, content: bytes
) -> None:
    path = tmp_path_factory.mktemp("any") / "file.csv"
    path.write_bytes(content)
    try:
        answer: str = recognise(path)
    except SitebookError as refused:
        answer = refused.remedy
    assert answer
