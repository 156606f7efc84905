"""Tests that a page is written whole or not at all, and over nothing that is not an earlier one."""

from __future__ import annotations

import datetime
import os
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from markupsafe import Markup

from sitebook import errors
from sitebook.outgo.calendar_file import calendar_file
from sitebook.outgo.gpx import gpx
from sitebook.pages.frame import page
from sitebook.work.keep_file import folder_to_make, keep_bytes, keep_file, kind_of, require_free, require_own

PAGE = page(title="One", body=Markup("<p>first</p>"))
OTHER = page(title="Two", body=Markup("<p>second</p>"))
CALENDAR = calendar_file([], now=datetime.datetime(2025, 11, 1, tzinfo=datetime.UTC))
WAYPOINTS = gpx([], [])
OWN = {"page": PAGE.encode(), "calendar file": CALENDAR, "GPX file": WAYPOINTS}
HERS = {
    "book": b"SQLite format 3\x00".ljust(68, b"\x00") + b"GPKG" + bytes(60),
    "page of another hand": b'<!doctype html>\n<html lang="en">\n<head>\n<title>sitebook</title>',
    "calendar of another program": CALENDAR.replace(b"-//sitebook//sitebook//EN", b"-//other//EN"),
    "track of a receiver": WAYPOINTS.replace(b'creator="sitebook"', b'creator="a receiver"'),
    "table": b"site,local_date\n",
    "nothing": b"",
}


def test_a_file_is_written_and_its_place_told(tmp_path: Path) -> None:
    path = keep_file(tmp_path / "deep" / "er" / "page.html", "Pilz: ü – µ\n")
    assert path.read_bytes() == "Pilz: ü – µ\n".encode()
    assert [p.name for p in path.parent.iterdir()] == ["page.html"]


def test_an_earlier_page_is_replaced(tmp_path: Path) -> None:
    keep_file(tmp_path / "page.html", PAGE)
    keep_file(tmp_path / "page.html", OTHER)
    assert (tmp_path / "page.html").read_text() == OTHER


@pytest.mark.parametrize("written", OWN)
@pytest.mark.parametrize("lies", [*OWN, *HERS])
def test_only_an_earlier_one_of_its_kind_is_written_over(tmp_path: Path, lies: str, written: str) -> None:
    there, place = (OWN | HERS)[lies], tmp_path / "any.file"
    place.write_bytes(there)
    assert kind_of(OWN[written]) == written
    if lies == written:
        require_own(written, place, None)
        keep_bytes(place, OWN[written])
        return
    with pytest.raises((errors.BookExists, errors.FileExists), match="no"):
        require_own(written, place)
    with pytest.raises((errors.BookExists, errors.FileExists)):
        keep_bytes(place, OWN[written])
    assert place.read_bytes() == there


def test_a_book_stays_whatever_is_said_and_through_a_link_too(tmp_path: Path) -> None:
    (tmp_path / "sitebook.gpkg").write_bytes(HERS["book"])
    (tmp_path / "link.html").symlink_to(tmp_path / "sitebook.gpkg")
    for name in ("sitebook.gpkg", "link.html"):
        with pytest.raises(errors.BookExists):
            keep_file(tmp_path / name, PAGE, replace=True)
    (tmp_path / "table.csv").write_bytes(HERS["table"])
    assert keep_file(tmp_path / "table.csv", "other", replace=True).read_text() == "other"


def test_the_folder_to_be_made_is_named(tmp_path: Path) -> None:
    assert folder_to_make(tmp_path / "deep" / "er" / "page.html") == tmp_path / "deep"
    assert folder_to_make(tmp_path / "page.html") is None


def test_what_lay_there_stays_when_the_writing_fails(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    keep_file(tmp_path / "page.html", PAGE)

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(errors.FileNotWritable, match="No space left"):
        keep_file(tmp_path / "page.html", OTHER)
    assert (tmp_path / "page.html").read_text() == PAGE
    assert [p.name for p in tmp_path.iterdir()] == ["page.html"]


def test_a_folder_in_the_place_of_a_page_is_told(tmp_path: Path) -> None:
    (tmp_path / "page.html").mkdir()
    with pytest.raises(errors.FileNotWritable):
        keep_file(tmp_path / "page.html", "text")
    assert [p.name for p in tmp_path.iterdir()] == ["page.html"]


def test_a_file_in_the_place_of_a_folder_is_told(tmp_path: Path) -> None:
    (tmp_path / "pages").write_text("no folder")
    with pytest.raises(errors.FileNotWritable):
        keep_file(tmp_path / "pages" / "page.html", "text")


@given(st.text(st.characters(exclude_categories=["Cs"])))
@settings(max_examples=25, deadline=None)
def test_every_text_comes_back(tmp_path_factory: pytest.TempPathFactory, text: str) -> None:
    path = keep_file(tmp_path_factory.getbasetemp() / "any.txt", text, replace=True)
    assert path.read_bytes().decode("utf-8") == text


def test_bytes_are_kept_as_they_are(tmp_path: Path) -> None:
    content = bytes(range(256))
    assert keep_bytes(tmp_path / "any.bin", content).read_bytes() == content


def test_a_place_that_is_taken_is_refused(tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("hers")
    (tmp_path / "dangling").symlink_to(tmp_path / "nowhere")
    require_free([tmp_path / "free"])
    for name in ("taken", "dangling"):
        with pytest.raises(errors.FileExists):
            require_free([tmp_path / "free", tmp_path / name])
