"""Tests that no command writes over what is not its own, and that a day too far off is told in one line."""

from __future__ import annotations

import hashlib
import shutil
from pathlib import Path

import pytest

from tests.commands.running import run
from tests.conftest import Island

DAY = ("plan", "--on", "2025-10-04", "--from=-19.4,48.6", "--start", "09:00", "--end", "12:00")
PAGES = (("weather",), ("outlook",), ("revisit",), ("calendar",), ("map",), ("contamination", "--all"))


@pytest.fixture(scope="module")
def book(island: Island, tmp_path_factory: pytest.TempPathFactory) -> Path:
    return Path(shutil.copy(island.book, tmp_path_factory.mktemp("places") / "sitebook.gpkg"))


@pytest.mark.parametrize(
    "words", [*((*page, "--to") for page in PAGES), ("outlook", "--ics"), (*DAY, "--gpx")]
)
def test_neither_the_book_nor_a_table_is_written_over(book: Path, words: tuple[str, ...]) -> None:
    table = book.with_name("sites.csv")
    table.write_text("name,lon,lat\n")
    before = hashlib.sha256(book.read_bytes()).hexdigest()
    for place in (book, table):
        ran = run("--book", book, *words, place)
        assert ran.status == 2
        assert str(place) in ran.told
        assert "Name another place" in ran.told
    assert hashlib.sha256(book.read_bytes()).hexdigest() == before
    assert table.read_text() == "name,lon,lat\n"


@pytest.mark.parametrize("words", PAGES)
@pytest.mark.parametrize("day", ["0001-01-01", "1899-12-31", "2101-01-01", "9999-12-31"])
def test_a_day_too_far_off_is_one_line(book: Path, words: tuple[str, ...], day: str) -> None:
    ran = run("--book", book, *words, "--on", day)
    assert ran.status == 2
    assert f"'{day}' is too far off; name a day from 1900 to 2100." in ran.told


def test_a_folder_that_was_made_is_told(book: Path) -> None:
    place = book.with_name("new folder") / "weather.html"
    ran = run("--book", book, "weather", "--on", "2100-12-31", "--to", place)
    assert ran.status == 0, ran.err
    assert f"Made the folder {place.parent}." in ran.out
    assert "Made the folder" not in run("--book", book, "weather", "--on", "1900-01-01", "--to", place).out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("outlook", "--days", "x"), "'x' is no whole number."),
        (("calendar", "--site", "Oak wood", "--tree", "B1"), "--site and --tree exclude each other"),
        (("calendar", "--baseline", "--held-out"), "--baseline and --held-out exclude each other"),
        (
            ("calendar", "--taxon", "Pleurotus ostreatus", "--site", "School lawn"),
            "Pleurotus ostreatus was never found or looked for at School lawn.",
        ),
    ],
)
def test_what_was_typed_is_named(book: Path, words: tuple[str, ...], said: str) -> None:
    ran = run("--book", book, *words)
    assert ran.status == 2
    assert said in ran.told


def test_an_empty_book_says_that_it_is_empty(tmp_path: Path) -> None:
    book = tmp_path / "new.gpkg"
    run("--book", book, "new", "--owner", "Orm Tolvane", "--initials", "OT", "--zone", "UTC")
    assert "the book holds no finds yet. Bring in visits" in run("--book", book, "calendar").told
