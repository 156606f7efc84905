"""Tests of what is known of active substances."""

from __future__ import annotations

import pytest

from sitebook.citations import Cited
from sitebook.reference.substances import letters_of, substance, substances


@pytest.mark.source(
    item="",
    what="half-lives in soil, half-lives on leaves and wash-off of seven actives",
    value="2,4-D 10 5 0.45; dicamba 14 9 0.65; glyphosate 47 2.5 0.60; chlorpyrifos 30 3.3 0.65; iprodione "
    "14 5 0.40; propiconazole 110 30 0.70; carbaryl 10 7 0.55",
    source="pesticide.pes of the SWAT+ model repository, columns hl_soil, hl_foliage, frac_wash",
    mark="confirmed",
)
@pytest.mark.parametrize(
    ("name", "soil", "leaves", "washed"),
    [
        ("2,4-D", 10, 5, 0.45),
        ("dicamba", 14, 9, 0.65),
        ("glyphosate", 47, 2.5, 0.60),
        ("chlorpyrifos", 30, 3.3, 0.65),
        ("iprodione", 14, 5, 0.40),
        ("propiconazole", 110, 30, 0.70),
        ("carbaryl", 10, 7, 0.55),
    ],
)
def test_numbers_are_those_read(name: str, soil: float, leaves: float, washed: float) -> None:
    found = substance(name)
    assert found is not None
    numbers = (found.soil_dt50, found.foliage_half_life, found.wash_off)
    assert [number.value for number in numbers if number] == [soil, leaves, washed]
    assert {(n.source_key, n.mark) for n in numbers if n} == {("swatplus_pesticides", "confirmed")}
    assert [number.unit for number in numbers if number] == ["d", "d", "1"]


@pytest.mark.source(
    item="",
    what="shortest and longest half-life of 2,4-D fitted to five soils",
    value="1.63 and 60.95 d",
    source="EU assessment 2014 data as listed in the R package mkin",
    mark="computed",
)
def test_a_reported_range_has_a_source_of_its_own() -> None:
    found = substance("2,4-D")
    assert found is not None
    assert found.soil_dt50_low == Cited(
        1.63, "d", "mkin_d24_2014", "computed", "first-order fits to five soils"
    )
    assert found.soil_dt50_high is not None
    assert found.soil_dt50_high.value == 60.95


@pytest.mark.parametrize(
    ("written", "name"),
    [
        ("2,4-d", "2,4-D"),
        (" 2.4 D ", "2,4-D"),
        ("mcpp", "mecoprop"),
        ("Mecoprop-P", "mecoprop"),
        ("GLYPHOSATE", "glyphosate"),
        ("copper  Oxychloride", "copper"),
        ("Pb", "lead"),
    ],
)
def test_a_name_is_found_however_it_is_written(written: str, name: str) -> None:
    found = substance(written)
    assert found is not None
    assert found.name == name


@pytest.mark.parametrize("written", ["", "2,4-DB", "glyphos", "soap", "2,4"])
def test_what_is_not_in_the_table_is_nothing(written: str) -> None:
    assert substance(written) is None


def test_an_element_has_no_half_life_and_all_else_has_one() -> None:
    for one in substances():
        assert one.element == (one.soil_dt50 is None)
        assert (one.foliage_half_life is None) == (one.wash_off is None)


def test_a_reported_range_holds_the_half_life() -> None:
    for one in substances():
        if one.soil_dt50 is not None:
            low, high = one.soil_dt50_low or one.soil_dt50, one.soil_dt50_high or one.soil_dt50
            assert low.value <= one.soil_dt50.value <= high.value


def test_every_name_belongs_to_one_substance() -> None:
    owners = {(letters_of(name), one.name) for one in substances() for name in (one.name, *one.also_called)}
    assert len({letters for letters, _ in owners}) == len(owners)


def test_what_a_laboratory_measures_stands_in_the_table() -> None:
    arsenate = substance("lead arsenate")
    assert arsenate is not None
    assert arsenate.measured_as == ("lead", "arsenic")
    for one in substances():
        assert all(substance(part) is not None for part in one.measured_as)
