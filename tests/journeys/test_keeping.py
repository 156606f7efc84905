"""Walks from a book to its backup and back, as a person keeps a book for twenty years."""

from __future__ import annotations

import json
import os
import shutil
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.work import books

if TYPE_CHECKING:
    from tests.conftest import Island, Sitebook


@pytest.fixture
def home(island: Island, tmp_path: Path) -> Path:
    """Give a folder with the demo's book and an empty stick."""
    shutil.copyfile(island.book, tmp_path / "sitebook.gpkg")
    shutil.copytree(island.folder / "sitebook.gpkg.photos", tmp_path / "sitebook.gpkg.photos")
    (tmp_path / "stick").mkdir()
    return tmp_path


def test_a_book_is_backed_up_to_a_stick_rehearsed_and_looked_over(home: Path, sitebook: Sitebook) -> None:
    told = json.loads(sitebook("backup", "--to", "stick", "--json", folder=home).stdout)
    assert told["photos"] == 9
    assert (home / told["zip"]).stat().st_size == told["size_bytes"]
    (home / "rehearsal").mkdir()
    done = sitebook("restore", told["zip"], "--book", "rehearsal/sitebook.gpkg", "--json", folder=home)
    assert json.loads(done.stdout)["faults"] == []
    assert json.loads(done.stdout)["revision"] == told["revision"]
    assert books.contents(home / "rehearsal" / "sitebook.gpkg") == books.contents(home / "sitebook.gpkg")
    assert "nothing wrong found" in sitebook("check", folder=home / "rehearsal").stdout
    sitebook("map", folder=home / "rehearsal")


def test_in_words_each_step_says_what_it_did(home: Path, sitebook: Sitebook) -> None:
    said = sitebook("backup", folder=home).stdout
    assert "read back and whole" in said
    assert "same disk" in said
    (made,) = home.glob("sitebook-*.zip")
    assert "Restored again.gpkg" in sitebook("restore", made.name, "--book", "again.gpkg", folder=home).stdout


@pytest.mark.parametrize(
    ("words", "slug"),
    [
        (("backup", "--to", "not-in"), "bad-argument"),
        (("backup", "--to", "not-in/a.zip"), "file-not-writable"),
        (("backup", "--to", "mine.zip"), "book-exists"),
        (("restore", "mine.zip", "--book", "new.gpkg"), "file-not-recognised"),
        (("restore", "none.zip", "--book", "new.gpkg"), "file-missing"),
        (("restore", "mine.zip"), "book-exists"),
    ],
)
def test_what_cannot_be_done_is_told_in_one_line(
    words: tuple[str, ...], slug: str, home: Path, sitebook: Sitebook
) -> None:
    (home / "mine.zip").write_bytes(b"mine")
    before = (home / "sitebook.gpkg").read_bytes()
    said = sitebook(*words, folder=home, expect=2).stderr
    assert said.endswith(f"[{slug}]\n")
    assert said.count("\n") == 1
    assert (home / "sitebook.gpkg").read_bytes() == before
    assert {p.name for p in home.iterdir()} == {"sitebook.gpkg", "sitebook.gpkg.photos", "stick", "mine.zip"}


def test_a_fault_is_told_by_check_with_status_2(home: Path, sitebook: Sitebook) -> None:
    with closing(sqlite3.connect(home / "sitebook.gpkg")) as book, book:
        book.execute("UPDATE gpkg_contents SET min_x = 0 WHERE table_name = 'host_tree'")
    said = sitebook("check", folder=home, expect=2).stdout
    assert "GeoPackage bookkeeping: the bounds told of host_tree leave out some of it" in said


def test_a_torn_book_is_told_in_one_line(home: Path, sitebook: Sitebook) -> None:
    path = home / "sitebook.gpkg"
    path.write_bytes(path.read_bytes()[:50_000])
    said = sitebook("list", "find", folder=home, expect=2).stderr
    assert said.endswith("[book-damaged]\n")
    assert said.count("\n") == 1


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full")
def test_an_answer_that_finds_no_room_is_told_in_one_line(home: Path, repository: Path) -> None:
    environment = {**os.environ, "PYTHONPATH": str(repository)}
    with Path("/dev/full").open("wb") as full:
        done = subprocess.run(
            [sys.executable, "-m", "sitebook", "list", "find"],
            cwd=home,
            env=environment,
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
        )
    assert done.returncode == 2
    assert done.stderr.endswith("[file-not-writable]\n")
    assert done.stderr.count("\n") == 1
