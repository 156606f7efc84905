"""Tests that the history of a record is told in words, oldest first."""

from __future__ import annotations

from pathlib import Path

import pytest

from sitebook import errors
from tests.work.bring_in import town
from tests.work.corrections import doing


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return town.built(tmp_path)


def test_everything_that_happened_to_a_site_is_told(book: Path) -> None:
    doing.change(book, "site", "Mill Park", radius_m="75", note="by the weir")
    doing.undo(book)
    doing.undo(book, back=True)
    doing.change(book, "site", "Mill Park", name="Weir Park")
    doing.withdraw(book, "site", "Weir Park", with_all=True)
    assert doing.told(book, "site", "Weir Park") == [
        "brought in with site.csv",
        "change site: radius_m 60 → 75; note empty → by the weir",
        "undo of change site: radius_m 75 → 60; note by the weir → empty",
        "undo taken back: radius_m 60 → 75; note empty → by the weir",
        "change site: name Mill Park → Weir Park",
        "withdraw site: withdrawn",
    ]


def test_a_find_tells_of_its_names_too(book: Path) -> None:
    doing.add(book, "determination", find="OV 2", verbatim_name="Cortinarius violaceus")
    doing.change(book, "find", "OV 2", fresh_mass_g="35")
    assert doing.told(book, "find", "OV 2") == [
        "brought in with find.csv",
        "name Cortinarius vennarae of find OV 2: brought in with find.csv",
        "name Cortinarius violaceus of find OV 2: made by add determination",
        "change find: fresh_mass_g empty → 35",
    ]


def test_references_are_told_by_name(book: Path) -> None:
    doing.change(book, "host_tree", "O2", taxon="Fagus sylvatica")
    assert (
        doing.told(book, "host_tree", "O2")[-1]
        == "change host_tree: taxon_id Quercus robur → Fagus sylvatica"
    )


def test_an_import_taken_back_is_told(book: Path) -> None:
    doing.undo(book, batch="host_tree.csv")
    assert doing.told(book, "host_tree", "O2") == [
        "brought in with host_tree.csv",
        "undo of its import: withdrawn",
    ]


def test_a_starter_name_was_there_from_the_beginning(book: Path) -> None:
    assert doing.told(book, "taxon", "Boletus edulis") == ["there from the beginning"]


def test_nothing_is_told_of_what_is_not_there(book: Path) -> None:
    with pytest.raises(errors.RecordMissing):
        doing.told(book, "site", "Nowhere")
