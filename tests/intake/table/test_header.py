"""Tests that a table's kind and columns are known by its first line."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from sitebook.intake.table.darwin_core import FIND_NAMES
from sitebook.intake.table.header import folded, kinds_by_header, match_header
from sitebook.intake.table.kinds import LAYOUTS


@pytest.mark.parametrize("kind", list(LAYOUTS))
def test_each_kind_is_known_by_its_own_columns(kind: str) -> None:
    assert kinds_by_header([c.header for c in LAYOUTS[kind].columns]) == (kind,)


@pytest.mark.parametrize("kind", list(LAYOUTS))
def test_no_two_columns_of_a_kind_are_spelled_alike(kind: str) -> None:
    spelled = [folded(c.header) for c in LAYOUTS[kind].columns]
    assert len(spelled) == len(set(spelled))


@pytest.mark.parametrize("kind", list(LAYOUTS))
def test_other_names_and_keys_are_columns(kind: str) -> None:
    layout = LAYOUTS[kind]
    assert {*layout.key, *layout.told_by, *layout.other_names.values()} <= set(layout.by_header)


def test_spelling_does_not_matter_and_a_near_name_is_hinted_at() -> None:
    matched = match_header(LAYOUTS["visit"], ["Site", "LOCAL DATE", "local_date", "serchers", "moon"])
    assert matched.names == {"site": "Site", "local_date": "LOCAL DATE"}
    same, near, none = matched.notes
    assert "'local_date' is left out: 'LOCAL DATE' means the same" in same
    assert "did you mean 'searchers'?" in near
    assert none.endswith("visit has none")


def test_the_fungus_of_a_find_may_stand_below_taxon_as_in_a_table_of_looks() -> None:
    matched = match_header(LAYOUTS["find"], ["site", "found_on", "taxon"])
    assert matched.names["name"] == "taxon"
    assert matched.notes == ()
    assert kinds_by_header(["site", "found_on", "taxon"]) == ("find",)
    twice = match_header(LAYOUTS["find"], ["found_on", "name", "taxon"]).notes
    assert twice == ("the column 'taxon' is left out: 'name' means the same",)


def test_an_unknown_header_fits_no_kind() -> None:
    assert kinds_by_header(["moon", "tide"]) == ()


@pytest.mark.source(
    item="",
    what="names of Darwin Core that a table of finds may have for its columns",
    value="each is a recommended term",
    source="term versions of the Darwin Core standard, state of 2026-08-15",
    mark="confirmed",
)
def test_darwin_core_names_are_terms_of_the_standard(shared_data: Path) -> None:
    with (shared_data / "dwc_terms.csv").open(encoding="utf-8", newline="") as file:
        terms = {row["term"] for row in csv.DictReader(file)}
    assert set(FIND_NAMES) <= terms
