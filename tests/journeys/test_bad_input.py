"""Gives the command line what it cannot use, and wants one line that says what to do."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from tests.conftest import Sitebook

NEW = ("new", "--owner", "Ane Corvell", "--initials", "AC", "--zone", "Etc/GMT+1")
BOMB = """<?xml version="1.0"?>
<!DOCTYPE gpx [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]>
<gpx version="1.1" xmlns="http://www.topografix.com/GPX/1/1">
<wpt lat="48.6" lon="-19.4"><name>&b;</name></wpt></gpx>
"""
FILES = {
    "empty.gpx": b"",
    "cut.gpx": b'<?xml version="1.0"?><gpx version="1.1"><wpt lat="48.6" lon="-19.4"><na',
    "bomb.gpx": BOMB.encode(),
    "other.xml": b"<?xml version='1.0'?><kml><Placemark/></kml>",
    "words.txt": b"Dear diary, today it rained.\n",
    "noise.bin": bytes(range(256)) * 8,
    "cut.osm.pbf": b"\x00\x00\x00\x0d\x0a\x09OSMHeader\x18\x7c\x10",
    "packed.osm.gz": b"\x1f\x8b\x08\x00 not really packed",
    "latitude.csv": b"# sitebook table: site\nname,lon,lat,radius_m\nHarbour Wood,-19.4,148.6,30\n",
    "date.csv": b"# sitebook table: visit\nsite,local_date,reason\nHarbour Wood,2024-02-30,planned\n",
    "word.csv": b"# sitebook table: visit\nsite,local_date,reason\nHarbour Wood,2024-02-20,because\n",
    "unknown_site.csv": b"# sitebook table: visit\nsite,local_date,reason\nNowhere,2024-02-20,planned\n",
    "infinite.csv": b"# sitebook table: site\nname,lon,lat,radius_m\nHarbour Wood,nan,48.6,inf\n",
    "ragged.csv": b'# sitebook table: site\nname,lon,lat,radius_m\n"Harbour Wood,-19.4\n',
}


def _is_one_told_line(told: str, *, slug: bool = True) -> None:
    lines = told.splitlines()
    assert len([line for line in lines if line.startswith("sitebook: ")]) == 1, told
    assert lines[-1].startswith("sitebook: "), told
    assert not slug or re.search(r"\[[a-z-]+\]$", lines[-1]), told


@pytest.fixture(scope="module")
def book(sitebook: Sitebook, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("bad")
    sitebook(*NEW, folder=folder)
    for name, content in FILES.items():
        (folder / name).write_bytes(content)
    return folder


@pytest.mark.parametrize("name", list(FILES))
def test_a_bad_file_is_refused_in_words(name: str, book: Path, sitebook: Sitebook) -> None:
    before = (book / "sitebook.gpkg").read_bytes()
    done = sitebook("import", name, folder=book, expect=2)
    _is_one_told_line(done.stderr)
    assert name in done.stderr
    assert (book / "sitebook.gpkg").read_bytes() == before


@pytest.mark.parametrize(
    "words",
    [
        ("import", "nowhere.gpx"),
        ("contamination", "--at", "200,48"),
        ("contamination", "--at", "-19.4,148.6"),
        ("contamination", "--at", "nan,nan"),
        ("show", "site", "Nowhere"),
        ("list", "dragons"),
        ("template", "dragons"),
        ("list", "site", "--book", "nowhere.gpkg"),
        ("list", "site", "--book", "words.txt"),
        ("list", "site", "--book", "."),
        NEW,
        ("new", "--owner", "A", "--initials", "A", "--zone", "Middle/Earth", "--book", "other.gpkg"),
        ("calendar",),
    ],
)
def test_a_bad_request_is_refused_in_words(words: tuple[str, ...], book: Path, sitebook: Sitebook) -> None:
    _is_one_told_line(sitebook(*words, folder=book, expect=2).stderr)


@pytest.mark.parametrize(
    "words", [("dance",), ("map", "--upside-down"), ("import",), ("contamination", "--at", "north")]
)
def test_a_word_no_command_knows_is_refused(words: tuple[str, ...], book: Path, sitebook: Sitebook) -> None:
    _is_one_told_line(sitebook(*words, folder=book, expect=2).stderr, slug=False)


def test_a_position_far_from_the_book_is_refused_unless_she_says_so(
    tmp_path: Path, sitebook: Sitebook
) -> None:
    head = "# sitebook table: site\nname,lon,lat,radius_m\n"
    sitebook(*NEW, folder=tmp_path)
    (tmp_path / "near.csv").write_text(head + "Harbour Wood,-19.4,48.6,30\n")
    (tmp_path / "swapped.csv").write_text(head + "Mill Wood,48.61,-19.41,30\n")
    sitebook("import", "near.csv", folder=tmp_path)
    done = sitebook("import", "swapped.csv", folder=tmp_path, expect=2)
    _is_one_told_line(done.stderr)
    assert "km from everything in the book" in done.stderr
    assert "would mend it" in done.stderr
    sitebook("import", "swapped.csv", "--far", folder=tmp_path)


def test_the_rest_of_a_file_comes_in_where_she_accepts_it(tmp_path: Path, sitebook: Sitebook) -> None:
    sitebook(*NEW, folder=tmp_path)
    rows = "Harbour Wood,-19.4,48.6,30\nMill Wood,-19.4,148.6,30\n"
    (tmp_path / "sites.csv").write_text("# sitebook table: site\nname,lon,lat,radius_m\n" + rows)
    assert "[lines-refused]" in sitebook("import", "sites.csv", folder=tmp_path, expect=2).stderr
    sitebook("import", "sites.csv", "--accept-rest", folder=tmp_path)
    listed = sitebook("list", "site", folder=tmp_path).stdout
    assert "Harbour Wood" in listed
    assert "Mill Wood" not in listed
