"""Tests that a filled template is read back, and that the page of tables is as the records are."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest

from sitebook.errors import BadArgument
from sitebook.intake.recognise import recognise
from sitebook.intake.table import read_table
from sitebook.intake.table.columns import TableColumn
from sitebook.intake.table.kinds import LAYOUTS
from sitebook.intake.weather import read_weather
from sitebook.outgo.table import tables_page, template, template_kinds

BY_READING = {
    "text": "some words",
    "reference": "Park",
    "number": "1",
    "whole": "1",
    "yes_no": "yes",
    "day": "2024-10-03",
    "interval": "2024-10-03",
    "instant": "14:30",
    "hour": "08:00",
    "zone": "Atlantic/Azores",
    "country": "pt",
    "language": "en",
    "uuid": "6f1f64a2-7a0e-4f8e-9c9b-0f9a3f1c2d3e",
    "name": "Betula pendula Roth",
    "longitude": "-19.4215",
    "latitude": "48.6031",
    "outline": "",
    "list": "1",
}
BY_HEADER = {
    "scientific_name": "Suillus luteus (L.) Roussel",
    "verbatim_name": "Suillus luteus",
    "name": "Suillus luteus",
    "occurrence_status": "present",
    "closed_dates": "2024-12-24",
    "other": "Salix alba",
    "started_at": "14:30",
}
BY_KIND: dict[str, dict[str, str]] = {
    "traffic_count": {"vehicles_per_day": "", "counted_hour": "8"},
    "hazard": {"site": "", "radius_m": ""},
    "spraying": {"site": "", "closed_on": "2024-10-04", "actives": "glyphosate 1440 g/ha; 2,4-D"},
    "lab_test": {"host_tree": "", "find": "", "results": "Pb 34 mg/kg dry; Cd <0.05 mg/kg dry"},
}
"""What stands in cells of a kind that do not go together when all are filled alike."""


def _row(kind: str, *, required_only: bool) -> list[str]:
    return [
        ""
        if required_only and not column.required and column.header not in _needed(kind)
        else BY_KIND.get(kind, {}).get(column.header, _plain(column))
        for column in LAYOUTS[kind].columns
        if not column.by_export
    ]


def _plain(column: TableColumn) -> str:
    if column.header in BY_HEADER:
        return BY_HEADER[column.header]
    return column.words.all[0] if column.words else BY_READING[column.reads_as]


def _needed(kind: str) -> set[str]:
    """Name the columns of which one or the other must be filled."""
    return {
        "site": {"lon", "lat", "radius_m"},
        "hazard": {"lon", "lat"},
        "spraying": {"lon", "lat", "ground"},
        "lab_test": {"site"},
        "traffic_count": {"counted_vehicles", "counted_minutes", "counted_hour"},
        "visit": {"site"},
        "find": {"site", "found_on"},
        "find_host": {"host_tree"},
    }.get(kind, set())


@pytest.mark.parametrize("required_only", [False, True])
@pytest.mark.parametrize("kind", list(LAYOUTS))
def test_a_filled_template_is_read_back(tmp_path: Path, kind: str, required_only: bool) -> None:
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerow(_row(kind, required_only=required_only))
    path = tmp_path / f"{kind}.csv"
    path.write_text(template(kind) + text.getvalue(), encoding="utf-8")
    reading = read_table(path)
    assert reading.sorted_lines == ()
    assert [d.kind for d in reading.drafts].count(kind) == 1
    assert reading.drafts[0].kind == kind
    assert recognise(path) == "table"


@pytest.mark.parametrize("kind", list(LAYOUTS))
def test_an_empty_template_holds_nothing(tmp_path: Path, kind: str) -> None:
    path = tmp_path / f"{kind}.csv"
    path.write_text(template(kind), encoding="utf-8")
    reading = read_table(path)
    assert (reading.recognised_as, reading.drafts, reading.sorted_lines) == (f"table of {kind}", (), ())


def test_the_weather_template_is_read_by_the_reader_of_weather(tmp_path: Path) -> None:
    path = tmp_path / "weather.csv"
    path.write_text(template("weather") + "HOME,2024-10-03,4.5,12,3.2,no,1,\n", encoding="utf-8")
    assert recognise(path) == "weather"
    assert [d.kind for d in read_weather(path).drafts] == ["weather_station", "weather_day"]


@pytest.mark.parametrize("kind", template_kinds())
def test_a_template_says_what_each_column_means(kind: str) -> None:
    first, *comments, header = template(kind).splitlines()
    assert first == f"# sitebook table: {kind}"
    told = {comment.removeprefix("# ").partition(":")[0] for comment in comments}
    assert set(header.split(",")) <= told
    assert all(comment.startswith("# ") for comment in comments)


def test_a_template_names_the_allowed_words_and_the_unit() -> None:
    text = template("visit")
    assert "one of: planned, passing, seen first, told; must be filled" in text
    assert "minutes spent searching; in min; a number; empty: not timed" in text


def test_there_is_no_template_of_something_else() -> None:
    with pytest.raises(BadArgument, match="no table of dream"):
        template("dream")


def test_the_page_of_tables_is_as_the_records_are(repository: Path) -> None:
    kept = (repository / "docs" / "formats" / "table.md").read_text("utf-8")
    assert kept == tables_page(), "write docs/formats/table.md anew from sitebook.outgo.table.tables_page()"
