"""Tests that the demo is made in an empty folder alone, and the same each time."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from sitebook import errors
from sitebook.work.demo import demo_files, make_demo
from tests.work import books

if TYPE_CHECKING:
    from tests.conftest import Island


def test_its_files_are_those_a_person_would_have() -> None:
    kinds = {path.suffix for path in demo_files()}
    assert {".csv", ".gpx", ".osm"} <= kinds


@pytest.mark.parametrize("there", ["file", "folder with something"])
def test_what_lies_there_is_left_alone(there: str, tmp_path: Path) -> None:
    to = tmp_path / "island"
    if there == "file":
        to.write_text("a letter")
    else:
        to.mkdir()
        (to / "letter.txt").write_text("a letter")
    with pytest.raises(errors.BookExists, match="--to"):
        make_demo(to, now=books.NOW)
    assert [p.name for p in tmp_path.rglob("*.gpkg")] == []


def test_a_folder_that_cannot_be_made_is_told(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("no folder")
    with pytest.raises(errors.SitebookError):
        make_demo(tmp_path / "file" / "island", now=books.NOW)


def test_the_files_lie_beside_the_book(island: Island) -> None:
    laid = sorted(path.name for path in (island.folder / "files").iterdir())
    assert laid == sorted(path.name for path in demo_files())
    assert books.only(island.book, "SELECT count(*) FROM import_batch") == (len(laid),)
    assert books.only(island.book, "SELECT count(*) FROM refused_line WHERE sorted_as = 'refused'") == (0,)


def test_what_was_told_of_the_ground_is_in_the_book(island: Island) -> None:
    wanted = {"spraying": 7, "spraying_active": 8, "lab_test": 4, "lab_result": 12, "traffic_count": 3}
    assert {kind: island.counts[kind] for kind in wanted} == wanted
    told = "SELECT count(*) FROM hazard WHERE origin <> 'extract'"
    assert books.only(island.book, told) == (7,)
    closed = "SELECT ground FROM spraying WHERE closed_on IS NOT NULL AND closing_note IS NOT NULL"
    assert books.only(island.book, closed) == ("Station green",)
    below = "SELECT analyte, detection_limit FROM lab_result WHERE below_limit ORDER BY analyte"
    assert books.asked(island.book, below) == [("2,4-D", 0.01), ("Cs-137", 3.0), ("mecoprop", 0.01)]
