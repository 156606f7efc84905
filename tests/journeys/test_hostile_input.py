"""Hands the command line files made to do harm, and wants one line each and the book as it was."""

from __future__ import annotations

import bz2
import gzip
import os
import re
import sys
import zlib
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from sitebook.commands import main as command_line
from tests.work.books import fresh

if TYPE_CHECKING:
    from tests.conftest import Sitebook

MEBIBYTE = 1 << 20
GPX_HEAD = '<gpx version="1.1" xmlns="http://www.topografix.com/GPX/1/1">'
LAUGHS = "".join(f'<!ENTITY l{n} "{f"&l{n - 1};" * 10}">' for n in range(1, 10))
BILLION = f'<!DOCTYPE {{0}} [<!ENTITY l0 "ha">{LAUGHS}]>'
OUTSIDE = '<!DOCTYPE {0} [<!ENTITY f SYSTEM "file:///etc/passwd">]>'
NODE = '<node id="1" lat="48.6" lon="-19.4" version="1"><tag k="natural" v="tree"/>{}</node>'
RAIN = "station,local_date,rain_mm\n" + "".join(f"A,2025-10-{day:02d},1\n" for day in range(1, 31))
SITES = "# sitebook table: site\nname,lon,lat,radius_m\n"
GOOD_ROWS = "".join(f"Wood {n},-19.4,48.6,30\n" for n in range(20))


def _gpx(inside: str, before: str = "") -> bytes:
    return f"{before.format('gpx')}{GPX_HEAD}{inside}</gpx>".encode()


def _point(attributes: str = 'lat="48.6" lon="-19.4"', inside: str = "") -> str:
    return f"<wpt {attributes}>{inside}</wpt>"


def _osm(inside: str, before: str = "") -> bytes:
    return f'{before.format("osm")}<osm version="0.6">{inside}</osm>'.encode()


def _field(number: int, kind: int, content: bytes) -> bytes:
    return bytes([number << 3 | kind]) + content


def _varint(value: int) -> bytes:
    found = b""
    while value > 0x7F:
        found += bytes([value & 0x7F | 0x80])
        value >>= 7
    return found + bytes([value])


def _with_length(number: int, content: bytes) -> bytes:
    return _field(number, 2, _varint(len(content)) + content)


def _block(kind: bytes, unpacked: bytes) -> bytes:
    packed = zlib.compress(unpacked, 9)
    body = _field(2, 0, _varint(len(unpacked))) + _with_length(3, packed)
    head = _with_length(1, kind) + _field(3, 0, _varint(len(body)))
    return len(head).to_bytes(4, "big") + head + body


def _pbf_bomb() -> bytes:
    return _block(b"OSMHeader", _with_length(4, b"OsmSchema-V0.6")) + _block(b"OSMData", bytes(30 * MEBIBYTE))


CASES: dict[str, tuple[str, Callable[[], bytes]]] = {
    "laughs.gpx": ("file-unreadable", lambda: _gpx(_point(inside="<name>&l9;</name>"), BILLION)),
    "outside.gpx": ("file-unreadable", lambda: _gpx(_point(inside="<name>&f;</name>"), OUTSIDE)),
    "laughs.osm": ("file-unreadable", lambda: _osm(NODE.format('<tag k="name" v="&l9;"/>'), BILLION)),
    "outside.osm": ("file-unreadable", lambda: _osm(NODE.format('<tag k="name" v="&f;"/>'), OUTSIDE)),
    "deep.gpx": ("file-unreadable", lambda: _gpx("<a>" * 300_000)),
    "deep.osm": ("file-unreadable", lambda: _osm("<a>" * 300_000)),
    "wide.gpx": ("file-too-large", lambda: _gpx("<wpt/>" * 600_000)),
    "name.gpx": ("lines-refused", lambda: _gpx(_point(inside=f"<name>{'x' * MEBIBYTE}</name>"))),
    "control.gpx": ("lines-refused", lambda: _gpx(_point(inside="<name>a&#x9b;2Jb</name>"))),
    "long.osm": ("file-too-large", lambda: _osm(f'<node id="{"1" * 3 * MEBIBYTE}"/>')),
    "bomb.osm.gz": ("file-too-large", lambda: gzip.compress(_osm("<a/>" * (10 * MEBIBYTE)))),
    "bomb.osm.bz2": ("file-too-large", lambda: bz2.compress(_osm("<a/>" * (4 * MEBIBYTE)))),
    "bomb.gpx.gz": ("file-not-recognised", lambda: gzip.compress(bytes(30 * MEBIBYTE))),
    "bomb.osm.pbf": ("file-too-large", _pbf_bomb),
    "cut.osm.pbf": ("file-unreadable", lambda: _pbf_bomb()[:-100]),
    "pole.gpx": ("lines-refused", lambda: _gpx(_point('lat="91" lon="-19.4"'))),
    "pole.osm": ("lines-refused", lambda: _osm(NODE.format("") + '<node id="2" lat="91" lon="1"/>')),
    "pole.csv": ("lines-refused", f"{SITES}A,-19.4,91,30\n".encode),
    "nowhere.gpx": ("lines-refused", lambda: _gpx(_point('lat="0" lon="0.0"'))),
    "nowhere.osm": ("lines-refused", lambda: _osm(NODE.format("") + '<node id="2" lat="0" lon="0"/>')),
    "nowhere.csv": ("lines-refused", f"{SITES}A,0,0,30\n".encode),
    "nowhere_weather.csv": (
        "lines-refused",
        lambda: b"# lon: 0\n# lat: 0\nlocal_date,rain_mm\n2025-10-03,1\n",
    ),
    "later.gpx": ("lines-refused", lambda: _gpx(_point(inside="<time>2201-01-01T00:00:00Z</time>"))),
    "later.csv": (
        "lines-refused",
        lambda: b"# sitebook table: visit\nsite,local_date,reason\nA,2201-01-01,planned\n",
    ),
    "later_find.csv": (
        "lines-refused",
        lambda: (
            b"# sitebook table: find\nlon,lat,found_on,found_at\n-19.4,48.6,2025-10-03,2201-01-01T10:00Z\n"
        ),
    ),
    "later_weather.csv": ("lines-refused", lambda: b"local_date,rain_mm\n2201-01-01,1\n"),
    "later.dly": ("lines-refused", lambda: b"USC00368449220101PRCP    3  0\n"),
    "empty.gpx": ("file-unreadable", lambda: b""),
    "blank.csv": ("file-unreadable", lambda: b"\n \n\n"),
    "utf16_no_mark.csv": ("file-not-recognised", lambda: f"{SITES}A,1,2,3\n".encode("utf-16-le")),
    "utf16_torn.csv": ("file-unreadable", lambda: f"{SITES}A,1,2,3\n".encode("utf-16")[:-1]),
    "latin.gpx": (
        "file-unreadable",
        lambda: _gpx(_point(inside="<name>Vennar\xf6y</name>")).decode().encode("latin-1"),
    ),
    "latin.osm": (
        "file-unreadable",
        lambda: _osm(NODE.format('<tag k="name" v="\xf6"/>')).decode().encode("latin-1"),
    ),
    "encoding.gpx": ("file-unreadable", lambda: b'<?xml version="1.0" encoding="klingon"?>' + _gpx(_point())),
    "neither.csv": ("file-unreadable", lambda: f"{SITES}A\x81,-19.4,48.6,30\n".encode("latin-1")),
    "nul.csv": ("file-not-recognised", f"{SITES}A\0,-19.4,48.6,30\n".encode),
    "late_nul.csv": ("file-unreadable", (SITES + "# \n" * 30_000 + "A\0,-19.4,48.6,30\n").encode),
    "escape.csv": ("lines-refused", f"{SITES}{GOOD_ROWS}A\x1b[2J,-19.4,48.6,30\n".encode),
    "escape_weather.csv": ("lines-refused", f"{RAIN}A\x1b[2J,2025-10-03,1\n".encode),
    "line.csv": ("file-too-large", f"{SITES}{'a' * 2 * MEBIBYTE},-19.4,48.6,30\n".encode),
    "cell.csv": ("lines-refused", f"{SITES}{'a' * 200_000},-19.4,48.6,30\n".encode),
    "columns.csv": ("file-too-large", (",".join(f"c{n}" for n in range(10_000)) + "\n").encode),
    "commas.csv": ("file-too-large", lambda: b"name,lon,lat" + b"," * 900_000 + b"\n"),
    "lines.csv": ("file-too-large", lambda: b"a,b\n" + b"\n" * 600_000),
    "cells.csv": ("file-too-large", (",".join(f"c{n}" for n in range(400)) + "\n" * 20_000).encode),
    "twice.csv": ("file-unreadable", lambda: b"name,lon,lat,radius_m,name\nA,-19.4,48.6,30,B\n"),
    "twice_weather.csv": ("file-unreadable", lambda: b"local_date,rain_mm,Rain mm\n2025-10-03,1,2\n"),
    "whole.csv": (
        "lines-refused",
        lambda: b"# sitebook table: find\nlon,lat,individual_count\n-19.4,48.6,99999999999999999999\n",
    ),
    "quote.csv": ("file-unreadable", lambda: f'{SITES}"A,-19.4,48.6,30\n'.encode() + b"x\n" * 1000),
    "number.csv": ("lines-refused", f"{SITES}A,{'9' * 90_000},48.6,30\n".encode),
    "offset.osm": ("file-unreadable", lambda: _osm(f'<node id="{"9" * 500}" lat="1" lon="1"/>')),
}


Told = tuple[int, str]
Run = Callable[..., Told]


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Run:
    """Give a function that runs a command in this process beside a new book, as `main` does."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("SITEBOOK_BOOK", raising=False)
    fresh(tmp_path)

    def command(*words: str) -> Told:
        monkeypatch.setattr(sys, "argv", ["sitebook", *words])
        status = command_line._run()
        told = capsys.readouterr()
        return status, told.err if status else told.out

    return command


def _is_refused_in_one_line(folder: Path, run: Run, name: str, slug: str) -> None:
    book = folder / "sitebook.gpkg"
    before, there = book.read_bytes(), sorted(folder.iterdir())
    status, told = run("import", name)
    assert status == 2, told[:500]
    lines = told.splitlines()
    assert len(lines) == 1, told[:500]
    assert lines[0].startswith("sitebook: ")
    assert lines[0].endswith(f"[{slug}]"), told[-300:]
    assert re.sub(r"[^\x20-\x7e]", "", name)[:20] in lines[0]
    assert len(lines[0]) < 3000
    assert lines[0].isprintable()
    assert book.read_bytes() == before
    assert sorted(folder.iterdir()) == there


@pytest.mark.parametrize("name", list(CASES))
def test_a_hostile_file_is_refused_in_one_line(name: str, tmp_path: Path, run: Run) -> None:
    slug, content = CASES[name]
    (tmp_path / name).write_bytes(content())
    _is_refused_in_one_line(tmp_path, run, name, slug)


def test_a_line_of_500_megabytes_is_refused_unread(tmp_path: Path, run: Run) -> None:
    with (tmp_path / "line.csv").open("wb") as file:
        file.write(SITES.encode() + b"a" * (1 << 17))
        file.truncate(500_000_000)
    _is_refused_in_one_line(tmp_path, run, "line.csv", "file-too-large")


def test_a_file_larger_than_any_reader_takes_is_not_even_hashed(tmp_path: Path, run: Run) -> None:
    with (tmp_path / "giant.osm").open("wb") as file:
        file.write(b"<osm version='0.6'>")
        file.truncate(1 << 42)
    _is_refused_in_one_line(tmp_path, run, "giant.osm", "file-too-large")


def test_paths_that_are_no_files_are_refused_unopened(tmp_path: Path, run: Run) -> None:
    (tmp_path / "folder.gpx").mkdir()
    os.mkfifo(tmp_path / "pipe.gpx")
    (tmp_path / "one.gpx").symlink_to("other.gpx")
    (tmp_path / "other.gpx").symlink_to("one.gpx")
    (tmp_path / "gone.gpx").symlink_to("nowhere.gpx")
    _is_refused_in_one_line(tmp_path, run, "folder.gpx", "file-not-recognised")
    _is_refused_in_one_line(tmp_path, run, "pipe.gpx", "file-not-recognised")
    _is_refused_in_one_line(tmp_path, run, "/dev/zero", "file-not-recognised")
    _is_refused_in_one_line(tmp_path, run, "one.gpx", "file-missing")
    _is_refused_in_one_line(tmp_path, run, "gone.gpx", "file-missing")
    _is_refused_in_one_line(tmp_path, run, "x" * 5000 + ".gpx", "file-missing")


def test_a_folder_that_holds_itself_does_not_hang(tmp_path: Path, run: Run) -> None:
    (tmp_path / "photos").mkdir()
    (tmp_path / "photos" / "again").symlink_to(tmp_path / "photos")
    os.mkfifo(tmp_path / "photos" / "pipe.jpg")
    _is_refused_in_one_line(tmp_path, run, "photos", "file-not-recognised")


@pytest.mark.skipif(os.geteuid() == 0, reason="the one who runs the tests may read every file")
def test_a_file_she_may_not_read_is_refused(tmp_path: Path, run: Run) -> None:
    (tmp_path / "secret.csv").write_text(SITES)
    (tmp_path / "secret.csv").chmod(0)
    _is_refused_in_one_line(tmp_path, run, "secret.csv", "file-missing")


def test_one_bad_file_keeps_the_good_ones_out_too(tmp_path: Path, run: Run) -> None:
    (tmp_path / "good.csv").write_text(f"{SITES}Harbour Wood,-19.4,48.6,30\n")
    (tmp_path / "bad.gpx").write_bytes(_gpx(_point('lat="91" lon="1"')))
    before = (tmp_path / "sitebook.gpkg").read_bytes()
    status, told = run("import", "good.csv", "bad.gpx")
    assert (status, "bad.gpx" in told) == (2, True)
    assert (tmp_path / "sitebook.gpkg").read_bytes() == before


def test_a_file_whose_name_is_no_text_comes_in_under_a_name_that_is(tmp_path: Path, run: Run) -> None:
    name = os.fsdecode(b"rain\xff\x1b[2J.csv")
    (tmp_path / name).write_text("local_date,rain_mm\n2025-10-03,1\n")
    status, told = run("import", name)
    assert (status, told.splitlines()[0].isprintable()) == (0, True)
    assert run("show", "weather_station", "1")[0] == 0
    assert run("check")[0] == 0


SCRIPT = "<script>alert(1)</script>"
IMAGE = '"><img src=x onerror=alert(2)>'
FORMULA = '=HYPERLINK("http://example.invalid")'


def test_a_name_that_is_a_script_or_a_formula_stays_text(tmp_path: Path, run: Run) -> None:
    quoted = [f'"{name.replace(chr(34), chr(34) * 2)}"' for name in (SCRIPT, IMAGE, FORMULA)]
    rows = "".join(f"{name},-19.4,48.6{n},30\n" for n, name in enumerate(quoted))
    (tmp_path / "sites.csv").write_text(SITES + rows)
    status, _ = run("import", "sites.csv")
    assert status == 0
    _, listed = run("list", "site", "--json")
    assert all(name.replace('"', r"\"") in listed for name in (SCRIPT, IMAGE, FORMULA))
    assert run("map", "--to", "map.html")[0] == 0
    page = next(tmp_path.glob("*.html")).read_text("utf-8")
    assert SCRIPT not in page
    assert "<img src=x" not in page
    assert "alert(1)" in page


def test_the_book_is_whole_after_all_of_them(tmp_path: Path, sitebook: Sitebook) -> None:
    fresh(tmp_path)
    small = [name for name, (_, content) in CASES.items() if name.endswith((".csv", ".dly", ".gpx"))][::9]
    for name in small:
        (tmp_path / name).write_bytes(CASES[name][1]())
        sitebook("import", name, folder=tmp_path, expect=2)
    sitebook("check", folder=tmp_path)
