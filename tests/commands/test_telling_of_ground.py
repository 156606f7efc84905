"""Follows a person from an empty folder through a spraying, a test, a hazard and a count, and back again."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest

from tests.commands.running import Ran, run
from tests.work import books
from tests.work.bring_in import town

SPRAYING = ("site=Mill Park", "state=done", "applied_on=2025-05-12", "told_by=Orm Tolvane, groundskeeper")
LABTEST = (
    "site=Mill Park",
    "report_number=V-1/2",
    "laboratory=island laboratory",
    "sampled_on=2025-09-01",
    "material=soil",
    "results=Pb 34 mg/kg dry; Cd <0.05 mg/kg dry",
)
HAZARD = (
    "kind=old main road",
    "origin=told",
    "source=Mira Dask",
    "line_wkt=LINESTRING (-19.4 48.602, -19.39 48.604)",
    "vehicles_per_day=9000",
)
COUNT = (
    "lon=-19.395",
    "lat=48.6",
    "source=own",
    "counted_vehicles=118",
    "counted_minutes=20",
    "counted_hour=17",
)


def _ran(*words: str) -> Ran:
    ran = run(*words)
    assert ran.status == 0, ran.err
    return ran


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Give an empty folder with a new book, a map of a small town and its sites."""
    monkeypatch.delenv("SITEBOOK_BOOK", raising=False)
    monkeypatch.chdir(tmp_path)
    _ran("new", "--owner", "Orla Vennar", "--initials", "OV", "--zone", "Etc/GMT+1")
    _ran("import", str(town.old_map(tmp_path)), str(town.sites(tmp_path)))
    return tmp_path


def test_each_is_told_shown_corrected_and_taken_back(folder: Path) -> None:
    assert "1 spraying, 1 spraying active" in _ran("add", "spraying", *SPRAYING, "actives=2,4-D").out
    assert "1 lab test, 2 lab result" in _ran("add", "labtest", *LABTEST, "spraying=Mill Park").out
    assert "1 hazard" in _ran("add", "hazard", *HAZARD).out
    assert "1 traffic count" in _ran("add", "count", *COUNT).out

    assert "Orm Tolvane" in _ran("list", "spraying").out
    assert "V-1/2" in _ran("list", "labtest").out
    assert re.search(r"old main road .* 9000 .*linestring", _ran("list", "hazard").out)
    assert "118" in _ran("list", "count").out
    shown = _ran("show", "spraying", "Mill Park").out
    assert "spraying active (1)" in shown
    assert "lab test (1)" in shown
    assert re.search(r"Cd +0.05 +mg/kg +yes +0.05 +dry", _ran("show", "labtest", "V-1/2").out)
    assert "lab test (1)" in _ran("show", "site", "Mill Park").out

    closed = ("closed_on=2025-09-20", "closed_by=Orm Tolvane", "closing_note=turf and soil renewed")
    assert "closing_note: empty → turf" in _ran("change", "spraying", "Mill Park@2025-05-12", *closed).out
    assert run("change", "spraying", "Mill Park", "closed_by=").told.startswith(
        "sitebook: closed_by is empty"
    )
    assert "closed_by" in _ran("history", "spraying", "Mill Park").out
    _ran("undo")
    book = folder / "sitebook.gpkg"
    assert books.only(book, "SELECT closed_on, closing_note FROM spraying") == (None, None)
    assert "lab test" in _ran("undo", "--last", "3").out
    assert books.asked(book, "SELECT id FROM lab_test WHERE withdrawn_at IS NULL") == []
    assert "1 of kind spraying" in _ran("list", "spraying").out
    assert _ran("check").status == 0


def test_a_spraying_that_a_test_speaks_of_is_not_withdrawn_unasked(folder: Path) -> None:
    _ran("add", "spraying", *SPRAYING, "actives=2,4-D")
    _ran("add", "labtest", *LABTEST, "spraying=Mill Park@2025-05-12")
    assert "1 lab test rest on it" in run("withdraw", "spraying", "Mill Park").told
    assert "1 spraying active" in _ran("withdraw", "spraying", "Mill Park", "--with-all").out
    assert "brought back" in _ran("withdraw", "spraying", "Mill Park", "--back").out
    assert folder.is_dir()


def test_parts_are_corrected_as_records_of_their_own(folder: Path) -> None:
    _ran("add", "spraying", *SPRAYING, "actives=2,4-D")
    _ran("add", "labtest", *LABTEST)
    assert "sitebook add spraying_active" in run("change", "spraying", "Mill Park", "actives=MCPP").told
    assert "sitebook add lab_result" in run("change", "labtest", "V-1/2", "results=Pb 3 mg/kg dry").told
    _ran("change", "spraying_active", "1", "rate=900", "rate_unit=g/ha")
    _ran("add", "spraying_active", "spraying=Mill Park", "active=MCPP")
    _ran("withdraw", "lab_result", "2")
    _ran("add", "lab_result", "lab_test=V-1/2", "analyte=As", "value=9", "unit=mg/kg", "basis=dry")
    assert "rate: " not in _ran("show", "spraying", "Mill Park").out
    assert [row["active"] for row in _ran("list", "spraying_active", "--json").json] == ["2,4-D", "MCPP"]
    assert [row["analyte"] for row in _ran("list", "lab_result", "--json").json] == ["Pb", "As"]
    assert folder.is_dir()


def test_a_count_changed_by_hand_is_reckoned_anew_or_no_count_any_more(folder: Path) -> None:
    _ran("add", "count", *COUNT)
    assert "vehicles_per_day: 6069 → 12137" in _ran("change", "count", "1", "counted_minutes=10").out
    _ran("change", "count", "1", "vehicles_per_day=5000")
    told = "SELECT vehicles_per_day, counted_vehicles, counted_minutes, counted_hour FROM traffic_count"
    assert books.only(folder / "sitebook.gpkg", told) == (5000, None, None, None)


def test_the_ground_of_a_spraying_is_changed_like_that_of_a_hazard(folder: Path) -> None:
    _ran("add", "spraying", *SPRAYING)
    assert "polygon" in _ran("change", "spraying", "Mill Park", "site=Quay Wood").out
    assert "linestring" in _ran("change", "spraying", "Mill Park", HAZARD[3]).out
    _ran("change", "spraying", "Mill Park", "lon=-19.4", "lat=48.602", "radius_m=12")
    assert run("change", "spraying", "Mill Park", "radius_m=5").told.startswith(
        "sitebook: radius_m goes with"
    )
    assert "future" in run("change", "spraying", "Mill Park", "applied_on=2090-01-01").told
    assert folder.is_dir()


def test_templates_and_tables_go_by_the_shorter_words_too(folder: Path) -> None:
    assert _ran("template", "count").out.startswith("# sitebook table: traffic_count")
    text = _ran("template", "labtest").out
    assert "Pb 34 mg/kg dry; Cd <0.05 mg/kg dry; Cs-137 12 Bq/kg fresh" in text
    rows = "report_number,site,laboratory,sampled_on,material\nV-3,Mill Park,x,2025-09-01,soil\n"
    (folder / "a.csv").write_text(rows, "utf-8")
    (folder / "b.csv").write_text(f"# sitebook table: labtest\n{rows.replace('V-3', 'V-4')}", "utf-8")
    assert "1 lab test" in _ran("import", "--as", "labtest", "a.csv").out
    assert "1 lab test" in _ran("import", "b.csv").out


def test_the_examples_of_the_page_of_commands_do_what_they_say(folder: Path, repository: Path) -> None:
    text = (repository / "docs" / "commands.md").read_text("utf-8")
    section = text.partition("## `sitebook add`")[2].partition("## `sitebook list`")[0]
    examples = re.findall(r"^sitebook (.*)$", section, flags=re.MULTILINE)
    assert len(examples) == 7
    _ran("add", "find", "site=Mill Park", "found_on=2025-09-20", "collection_number=12")
    for example in examples:
        _ran(*shlex.split(example.replace('"AC 12"', '"OV 12"')))
    assert folder.is_dir()
