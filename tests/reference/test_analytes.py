"""Tests that an analyte is known however a report writes it, and a form is never taken for its element."""

from __future__ import annotations

import pytest

from sitebook.reference import reader
from sitebook.reference.analytes import analyte, analytes


@pytest.mark.parametrize(
    ("written", "name"),
    [
        ("Pb", "Pb"),
        ("lead", "Pb"),
        ("Lead, total", "Pb"),
        ("Total Pb", "Pb"),
        ("Lead (Pb)", "Pb"),
        ("CADMIUM", "Cd"),
        ("quicksilver", "Hg"),
        ("Hg (total)", "Hg"),
        ("methyl-mercury", "MeHg"),
        ("arsenic (inorganic)", "iAs"),
        ("137Cs", "Cs-137"),
        ("caesium 137", "Cs-137"),
        ("Benzo[a]pyrene", "benzo(a)pyrene"),
    ],
)
def test_one_analyte_under_many_names(written: str, name: str) -> None:
    found = analyte(written)
    assert found is not None
    assert found.name == name


@pytest.mark.parametrize(
    "written", ["organic arsenic", "Hg (methyl)", "Cs", "lead (Cd)", "total", "", "()", "Pb-210"]
)
def test_what_is_not_in_the_table_is_nothing_like_it(written: str) -> None:
    assert analyte(written) is None


def test_each_form_is_of_an_element_in_the_table() -> None:
    names = {one.name for one in analytes()}
    assert {one.form_of for one in analytes() if one.kind == "form"} <= names
    assert all(not one.form_of for one in analytes() if one.kind != "form")


@pytest.mark.parametrize(
    ("table", "column"),
    [("health_values", "analyte"), ("sale_limits", "analyte"), ("soil_values", "analyte")],
)
def test_every_value_is_of_an_analyte_by_its_own_name(table: str, column: str) -> None:
    assert {row[column] for row in reader.rows(table)} <= {one.name for one in analytes()}


def test_words_with_the_name() -> None:
    lead, caesium = analyte("Pb"), analyte("Cs-137")
    assert lead is not None
    assert caesium is not None
    assert (lead.in_full, caesium.in_full) == ("lead (Pb)", "radiocaesium (Cs-137)")
