"""Tests that a filled table is told as such, and that each value is written as its reader wants it."""

from __future__ import annotations

import csv
import datetime
import io
from pathlib import Path

import pytest

from sitebook.intake.table import read_table
from sitebook.intake.table.kinds import LAYOUTS
from sitebook.outgo.table_rows import cell, filled_table, headers_of

UUID = "6f1f64a2-7a0e-4f8e-9c9b-0f9a3f1c2d3e"


@pytest.mark.parametrize(
    ("value", "written"),
    [
        (None, ""),
        (True, "yes"),
        (False, "no"),
        (4.0, "4"),
        (0.1, "0.1"),
        (-19.4215, "-19.4215"),
        (1e-07, "1e-07"),
        (12, "12"),
        (datetime.date(2024, 10, 3), "2024-10-03"),
        (datetime.datetime(2024, 10, 3, 14, 30, tzinfo=datetime.UTC), "2024-10-03T14:30:00Z"),
        ("=1+1", "'=1+1"),
        ("plain", "plain"),
    ],
)
def test_a_value_is_written(value: object, written: str) -> None:
    assert cell(value) == written


def test_a_table_says_its_kind_and_that_it_is_an_export() -> None:
    lines = filled_table("site", [{"name": "Mill, old", "uuid": UUID}]).splitlines()
    assert lines[0] == "# sitebook table: site"
    assert lines[1].startswith("# sitebook export")
    assert list(csv.reader(io.StringIO("\n".join(lines[2:])))) == [["name", "uuid"], ["Mill, old", UUID]]


def test_columns_stand_as_in_the_template() -> None:
    headers = [column.header for column in LAYOUTS["visit"].columns]
    assert list(headers_of("visit")) == headers


@pytest.mark.parametrize("name", ["=cmd|' /C calc'!A0", "#1 oak", '"', "a\nb", "'=x", "n" * 9999])
def test_a_name_is_never_altered(tmp_path: Path, name: str) -> None:
    path = tmp_path / "site.csv"
    row = {"name": name, "radius_m": 30.0, "lon": -19.4, "lat": 48.6, "uuid": UUID}
    path.write_text(filled_table("site", [row]), "utf-8")
    (draft,) = read_table(path).drafts
    assert draft.values["name"] == name
    assert draft.values["uuid"] == UUID
    path.write_text(
        path.read_text("utf-8").replace("# sitebook table: site", "# sitebook table: site,,,,"), "utf-8"
    )
    assert read_table(path).recognised_as == "table of site"


def test_no_cell_of_text_begins_as_a_formula_does() -> None:
    rows = [{"name": text} for text in ("=1", "+1", "-1", "@x", "\t=1")]
    cells = csv.reader(io.StringIO(filled_table("site", rows).split("\n", 2)[2]))
    assert not [line for line in cells if line[0][:1] in "=+-@\t"]


def test_a_list_of_photos_brings_nothing_in(tmp_path: Path) -> None:
    path = tmp_path / "photo.csv"
    path.write_text(filled_table("photo", [{"file_name": "a.jpg", "sha256": "00"}]), "utf-8")
    reading = read_table(path)
    assert reading.drafts == ()
    assert [line.sorting for line in reading.sorted_lines] == ["left out"]
