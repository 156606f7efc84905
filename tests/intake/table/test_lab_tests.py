"""Tests that a line of a table of laboratory tests gives the test and its results, or one clear refusal."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from sitebook.intake.cells import CellError
from sitebook.intake.table.lab_tests import TAKEN_AS_DRY, read_result
from sitebook.intake.table.typed import read_typed
from sitebook.records.incoming import Draft

SOIL = {
    "site": "Mill Park",
    "report_number": "V-1/2",
    "laboratory": "island laboratory",
    "sampled_on": "2026-09-01",
    "material": "soil",
}
MUSHROOM = {key: text for key, text in SOIL.items() if key != "site"} | {
    "find": "AC 12",
    "material": "mushroom",
}


def _read(cells: Mapping[str, str], **more: str) -> tuple[Draft, ...]:
    reading = read_typed("lab_test", {**cells, **more})
    assert reading.sorted_lines == (), reading.sorted_lines
    return reading.drafts


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("Pb 34 mg/kg dry", {"analyte": "Pb", "value": 34.0, "unit": "mg/kg", "basis": "dry"}),
        ("Cs-137 12 Bq/kg fresh", {"analyte": "Cs-137", "value": 12.0, "unit": "Bq/kg", "basis": "fresh"}),
        ("Hg 80 µg/kg DM", {"analyte": "Hg", "value": 80.0, "unit": "ug/kg", "basis": "dry"}),
        ("Pb 34,5mg/kg dry", {"analyte": "Pb", "value": 34.5, "unit": "mg/kg", "basis": "dry"}),
        (
            "total arsenic 1.2e1 mg/kg",
            {"analyte": "total arsenic", "value": 12.0, "unit": "mg/kg"},
        ),
    ],
)
def test_a_result_is_read(text: str, found: dict[str, object]) -> None:
    assert read_result(text) == found


@pytest.mark.parametrize("text", ["Cd <0.05 mg/kg dry", "Cd < 0.05 mg/kg dry", "Cd<0.05 mg/kg dry"])
def test_below_the_detection_limit_the_limit_is_kept(text: str) -> None:
    found = read_result(text)
    assert (found["analyte"], found["value"], found["below_limit"]) == ("Cd", 0.05, True)
    assert found["detection_limit"] == 0.05


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("Pb 34", "has no unit; write one of mg/kg, ug/kg, Bq/kg, ng/kg"),
        ("Pb 34 dry", "has no unit"),
        ("Pb 34 mg/l dry", "'mg/l' in 'Pb 34 mg/l dry' is not one of: mg/kg"),
        ("Pb 34 mg/kg moist", "'moist' in 'Pb 34 mg/kg moist' is not one of: fresh, dry"),
        ("34 mg/kg dry", "names no analyte"),
        ("mg/kg dry", "has no value before its unit"),
        ("Pb mg/kg dry", "has no value before its unit"),
        ("Pb -3 mg/kg dry", "must be above 0"),
        ("Pb 0 mg/kg dry", "written < its detection limit"),
        ("Pb < mg/kg dry", "needs the detection limit behind it"),
    ],
)
def test_a_result_that_cannot_be_is_refused(text: str, said: str) -> None:
    with pytest.raises(CellError, match="results: ") as refused:
        read_result(text)
    assert said in str(refused.value)


def test_a_line_gives_the_test_and_a_draft_for_each_result() -> None:
    test, *results = _read(SOIL, results="Pb 34 mg/kg dry; Cd <0.05 mg/kg dry; Cs-137 12 Bq/kg fresh")
    assert test.refers == {"site_id": "Mill Park"}
    assert [d.values["analyte"] for d in results] == ["Pb", "Cd", "Cs-137"]
    assert {d.refers["lab_test_id"] for d in results} == {test.identity}
    assert [d.remarks for d in results] == [(), (), ()]


def test_soil_without_a_basis_is_taken_as_dry_and_that_is_said() -> None:
    _, result = _read(SOIL, results="Pb 34 mg/kg")
    assert result.values["basis"] == "dry"
    assert result.remarks == (TAKEN_AS_DRY,)


def test_a_mushroom_without_a_basis_is_refused() -> None:
    (line,) = read_typed("lab_test", {**MUSHROOM, "results": "Cd 2 mg/kg"}).sorted_lines
    assert "does not say of which mass; write fresh or dry" in line.reason


@pytest.mark.parametrize("thing", [{"site": "Mill Park"}, {"host_tree": "Mill Park/B1"}, {"find": "AC 12"}])
def test_a_test_is_of_a_site_a_tree_or_a_find(thing: dict[str, str]) -> None:
    (test,) = _read({**SOIL, "site": "", **thing})
    assert list(test.refers.values()) == list(thing.values())


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"site": ""}, "what was tested? fill one of site, host_tree and find"),
        ({"find": "AC 12"}, "a test is of one thing, and site and find are filled"),
        ({"depth_from_cm": "10", "depth_to_cm": "0"}, "depth_to_cm 0.0 comes before depth_from_cm 10.0"),
        ({"depth_from_cm": "-1"}, "at least 0"),
        ({"increments": "0"}, "at least 1"),
        ({"dry_matter_fraction": "9"}, "at most 1"),
        ({"dry_matter_fraction": "0"}, "leave it empty"),
        ({"material": "plant", "depth_to_cm": "5"}, "are of soil"),
        ({"results": "Pb 3 mg/kg dry; Pb 4 mg/kg dry"}, "stands there twice"),
        ({"sampled_on": "2026-02-30"}, "does not exist"),
    ],
)
def test_what_cannot_be_is_refused_in_one_line(more: dict[str, str], said: str) -> None:
    (line,) = read_typed("lab_test", {**SOIL, **more}).sorted_lines
    assert said in line.reason


def test_a_result_of_a_table_of_its_own_says_its_basis_and_no_zero() -> None:
    cells = {"lab_test": "V-1/2", "analyte": "Pb", "value": "0", "unit": "mg/kg", "basis": "dry"}
    assert "value is 0" in read_typed("lab_result", cells).sorted_lines[0].reason
    cells |= {"value": "3", "basis": ""}
    assert "basis is empty" in read_typed("lab_result", cells).sorted_lines[0].reason
