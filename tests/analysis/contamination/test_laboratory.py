"""Tests what laboratory tests are held against, and that no sentence says more than the numbers."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitebook import vocabulary
from sitebook.analysis.contamination.held_against import relation_of
from sitebook.analysis.contamination.laboratory import eaters_of, readings
from sitebook.analysis.contamination.laboratory_words import preparation_lines
from sitebook.citations import Cited
from sitebook.records.lab_test import LabResult, LabTest
from sitebook.records.results.test_reading import ResultReading, TestReading
from sitebook.records.settings import Settings
from sitebook.reference import reader
from sitebook.reference.limits import authorities
from tests.analysis.contamination.samples import lab_test, result
from tests.house.judging_words import JUDGING

EATERS = eaters_of(Settings())
ANALYTES = ["Pb", "cadmium", "Hg", "As", "iAs", "Cs-137", "PAH", "something"]


def read(
    test: LabTest, *results: LabResult, authority: str = "", taxon_name: str = "Agaricus campestris"
) -> TestReading:
    (found,) = readings(
        [(test, results)], authority=authority, eaters=EATERS, of_what={}, taxon_names={1: taxon_name}
    )
    return found


def one(
    test: LabTest, measured: LabResult, authority: str = "", taxon_name: str = "Agaricus campestris"
) -> ResultReading:
    (found,) = read(test, measured, authority=authority, taxon_name=taxon_name).results
    return found


def texts(reading: TestReading) -> Iterator[str]:
    yield from (reading.words, reading.material, *reading.unknown)
    for each in reading.results:
        yield from (each.written, *each.remarks)
        for comparison in each.comparisons:
            yield from (comparison.words, comparison.against, comparison.caveat, comparison.assumed)
        for intake in each.intakes:
            yield from (intake.words, intake.against)


def test_newest_first_and_named() -> None:
    tests = [(lab_test("soil", number), ()) for number in (1, 3, 2)]
    found = readings(tests, authority="", eaters=(), of_what={3: "the verge"}, taxon_names={})
    assert [(reading.lab_test_id, reading.of_what) for reading in found] == [
        (3, "the verge"),
        (2, ""),
        (1, ""),
    ]
    assert found[0].sampled_on == datetime.date(2026, 1, 3)


@pytest.mark.parametrize(
    ("taxon_name", "maximum"),
    [
        ("Boletus edulis", 0.90),
        ("Boletus edulis var. albus", 0.90),
        ("Boletus pinophilus", 0.90),
        ("Boletus rubellus", 0.50),
        ("Macrolepiota procera", 0.50),
        ("Boletus", 0.50),
        ("", 0.50),
    ],
)
def test_mercury_of_ceps_has_a_maximum_of_its_own(taxon_name: str, maximum: float) -> None:
    found = one(lab_test("mushroom"), result("Hg", 0.7, basis="fresh"), taxon_name=taxon_name)
    assert [comparison.value for comparison in found.comparisons] == [maximum]
    open_name = taxon_name in {"", "Boletus"}
    assert any("For ceps" in remark for remark in found.remarks) == open_name


@pytest.mark.source(
    item="C41",
    what="maxima for sale held against results in dry mass at one tenth dry matter",
    value="Pb 8, Cd 5, Hg 5 and 9 mg/kg dry",
    source="Regulations (EU) 2021/1317, 2023/1510 and 2018/73",
    mark="computed",
)
@pytest.mark.parametrize(
    ("analyte", "mg_per_kg_dry", "taxon_name"),
    [("Pb", 8.0, ""), ("Cd", 5.0, ""), ("Hg", 5.0, ""), ("Hg", 9.0, "Boletus edulis")],
)
def test_at_the_maximum_and_just_above(analyte: str, mg_per_kg_dry: float, taxon_name: str) -> None:
    relations = [
        one(lab_test("mushroom", dry_matter_fraction=0.1), result(analyte, value), taxon_name=taxon_name)
        .comparisons[0]
        .relation
        for value in (mg_per_kg_dry, 1.001 * mg_per_kg_dry)
    ]
    assert relations == ["at or below", "above"]


def test_the_convention_is_said_and_what_else_it_may_come_to() -> None:
    near, far = (
        one(lab_test("mushroom"), result("Cd", value)).comparisons[0].assumed for value in (4.5, 40.0)
    )
    assert near == (
        "dry matter 10 % by convention, not measured; with 6.9 to 14.4 %, as measured in three species, it "
        "may come out otherwise"
    )
    assert far == "dry matter 10 % by convention, not measured"
    assert not one(lab_test("mushroom"), result("Cd", 0.4, basis="fresh")).comparisons[0].assumed
    measured = one(lab_test("mushroom", dry_matter_fraction=0.08), result("Cd", 4.5)).comparisons[0]
    assert measured.result == pytest.approx(0.36)
    assert measured.assumed == "dry matter 8 %, as the report gives it"


def test_at_or_below_a_maximum_brings_its_caveat_in_the_same_sentence() -> None:
    found = one(lab_test("mushroom"), result("Pb", 340.0, "ug/kg", "fresh")).comparisons[0]
    assert found.words == (
        "The result, 0.34 mg/kg fresh, is at or below 0.8 mg/kg fresh, the maximum for wild fungi on sale, "
        "European Union: a limit for sale, which was not set for what a gatherer eats."
    )
    assert found.source == "Regulation (EU) 2021/1317 (eu2021_1317, row 3.1.15)"


def test_a_result_turned_to_another_basis_is_called_computed() -> None:
    told = one(lab_test("mushroom", dry_matter_fraction=0.08), result("Cd", 4.5)).comparisons[0].words
    assert "0.36 mg/kg fresh (computed from dry mass; dry matter 8 %, as the report gives it), is at" in told
    usual = one(lab_test("mushroom"), result("Cd", 40.0)).comparisons[0].words
    assert "4 mg/kg fresh (computed from dry mass; dry matter 10 % by convention, not measured)" in usual
    wet = one(lab_test("mushroom"), result("Cd", 0.36, basis="fresh")).comparisons[0].words
    assert "computed" not in wet
    near = one(lab_test("mushroom"), result("Cd", 4.5)).comparisons[0].words
    assert "computed from dry mass it is 0.31 to 0.65 mg/kg fresh" in near
    soil = one(lab_test("soil", dry_matter_fraction=0.75), result("Pb", 300.0, basis="fresh"), "US EPA")
    shown = "400 mg/kg dry (computed from fresh mass; dry matter 75 %"
    assert all(shown in comparison.words for comparison in soil.comparisons)


def test_that_no_uncertainty_of_the_laboratory_is_in_it_is_said_where_something_is_held() -> None:
    said = "The laboratory's own uncertainty is not in these numbers"
    assert said in read(lab_test("mushroom"), result("Cd", 0.4, basis="fresh")).words
    assert said in read(lab_test("soil"), result("Pb", 300.0), authority="US EPA").words
    assert said not in read(lab_test("soil"), result("Pb", 300.0)).words
    assert said not in read(lab_test("plant"), result("Pb", 300.0)).words


@pytest.mark.parametrize(
    ("limit", "relation"), [(0.4, "at or below"), (0.5, "at or below"), (0.6, "not told")]
)
def test_below_a_detection_limit(limit: float, relation: str) -> None:
    found = one(lab_test("mushroom"), result("Cd", limit, basis="fresh", below=True))
    assert found.written == f"<{limit:g} mg/kg fresh"
    assert [comparison.relation for comparison in found.comparisons] == [relation]
    assert all(line.at_most for line in found.intakes)


def test_below_a_limit_that_is_not_given_is_held_against_nothing() -> None:
    reading = read(lab_test("mushroom"), result("Hg", 0.0))
    (found,) = reading.results
    assert (found.comparisons, found.intakes) == ((), ())
    assert found.written == "below a detection limit not given"
    assert "the detection limit for Hg" in reading.unknown


def test_total_arsenic_is_held_against_nothing() -> None:
    total = one(lab_test("mushroom"), result("arsenic", 5.0))
    assert (total.comparisons, total.intakes) == ((), ())
    assert "Total arsenic is not inorganic arsenic" in total.remarks[0]
    assert one(lab_test("mushroom"), result("iAs", 5.0)).intakes


def test_radiocaesium_is_shown_without_a_comparison() -> None:
    found = one(lab_test("mushroom"), result("caesium-137", 1200.0, "Bq/kg", "fresh"))
    assert (found.analyte, found.written) == ("radiocaesium (Cs-137)", "1200 Bq/kg fresh")
    assert (found.comparisons, found.intakes) == ((), ())
    assert found.remarks == (
        "The book holds no value to hold an activity against, so it is shown as measured.",
    )


@pytest.mark.parametrize(("analyte", "unit"), [("Pb", "Bq/kg"), ("Cs-137", "mg/kg")])
def test_a_unit_that_does_not_fit_is_said_and_held_against_nothing(analyte: str, unit: str) -> None:
    found = one(lab_test("mushroom"), result(analyte, 3.0, unit))
    assert (found.comparisons, found.intakes) == ((), ())
    assert "odd unit" in found.remarks[0]


def test_soil_without_an_authority_names_those_known() -> None:
    reading = read(lab_test("soil"), result("Pb", 300.0))
    assert not reading.results[0].comparisons
    assert all(name in reading.words for name in authorities())
    assert "sitebook settings soil_authority" in reading.words


def test_soil_against_an_authority_says_for_which_use_of_land() -> None:
    found = one(lab_test("soil"), result("lead", 300.0), "German soil ordinance")
    told = [(comparison.value, comparison.relation) for comparison in found.comparisons]
    assert told == [(200.0, "above"), (400.0, "at or below"), (1000.0, "at or below")]
    for comparison, use in zip(found.comparisons, ("playgrounds", "homes", "parks"), strict=True):
        assert use in comparison.against
        assert "not derived for eating what grows on the ground" in comparison.words
        assert "not derived for eating what grows on the ground" in comparison.caveat
        assert "from memory and not confirmed" in comparison.words
    assert not found.intakes


def test_soil_on_fresh_mass_needs_its_dry_matter() -> None:
    wet = result("Pb", 300.0, basis="fresh")
    reading = read(lab_test("soil"), wet, authority="US EPA")
    assert not reading.results[0].comparisons
    assert "the dry matter of the sample" in reading.unknown
    dried = one(lab_test("soil", dry_matter_fraction=0.75), wet, "US EPA").comparisons
    assert [comparison.result for comparison in dried] == pytest.approx([400.0] * 3)


def test_what_a_soil_report_does_not_tell() -> None:
    bare = read(lab_test("soil"), result("Pb", 300.0))
    assert [text.split()[:3] for text in bare.unknown] == [
        ["to", "which", "depth"],
        ["how", "many", "takes"],
        ["how", "it", "was"],
    ]
    told = lab_test("soil", depth_from_cm=0.0, depth_to_cm=10.0, increments=20, extraction="aqua regia")
    full = read(told, result("Pb", 300.0))
    assert full.unknown == ()
    assert full.material == "soil, 0 to 10 cm deep, 20 takes mixed, extracted with aqua regia"


def test_a_weak_extraction_tells_nothing_below_a_value() -> None:
    found = one(lab_test("soil", extraction="DTPA"), result("Pb", 300.0), "US EPA")
    assert [comparison.relation for comparison in found.comparisons] == ["above", "not told", "not told"]
    assert "DTPA" in found.remarks[0]


def test_an_unknown_authority_is_refused() -> None:
    with pytest.raises(ValueError, match="no soil values"):
        read(lab_test("soil"), result("Pb", 1.0), authority="Mordor")


def test_preparations_keep_all_of_it() -> None:
    reading = read(lab_test("mushroom"), result("Cd", 0.4, basis="fresh"))
    for name in ("soup", "syrup", "decoction", "tincture", "poured off"):
        assert name in reading.words
    assert {float(row["counted_share"]) for row in reader.rows("preparation_water")} == {1.0}
    assert len(preparation_lines()) == len(reader.rows("preparation_water"))


def test_eaters_follow_the_settings() -> None:
    changed = replace(
        Settings(),
        child_kg=Cited(20.0, "kg", "ours", "our choice"),
        portion_g_per_week=Cited(100.0, "g a week", "ours", "our choice"),
    )
    found = [(e.name, e.body_mass_kg, e.fresh_g_per_week) for e in eaters_of(changed)]
    assert found == [("adult", 70.0, 100.0), ("child", 20.0, 125.0), ("pregnancy", 70.0, 100.0)]


def test_portions_and_masses_say_where_they_come_from() -> None:
    said = read(lab_test("mushroom"), result("Cd", 0.4, basis="fresh")).words
    assert "child 125 g fresh a week (our choice), 15 kg (our choice)" in said
    advice = "german_wild_mushroom_advice, 200 to 250 g, the upper end; secondary"
    assert f"adult 250 g fresh a week ({advice}), 70 kg (our choice)" in said
    assert "Portions" not in read(lab_test("soil"), result("Cd", 0.4)).words
    changed = replace(Settings(), portion_g_per_week=replace(Settings().portion_g_per_week, value=100.0))
    assert eaters_of(changed)[0].said == "adult 100 g fresh a week (as set in this book), 70 kg (our choice)"


@given(st.floats(1e-9, 1e6), st.floats(1e-9, 1e6), st.booleans())
def test_a_relation_is_one_of_three(measured: float, value: float, at_most: bool) -> None:
    relation = relation_of(measured, value, at_most=at_most)
    assert relation in {"above", "at or below", "not told"}
    assert (relation == "at or below") == (measured <= value * (1 + 1e-9))
    assert (relation == "not told") <= at_most


RESULTS = st.builds(
    result,
    st.sampled_from(ANALYTES),
    st.floats(0.0, 1e6),
    st.sampled_from(vocabulary.RESULT_UNIT.all),
    st.sampled_from(["fresh", "dry"]),
    below=st.booleans(),
)


@given(st.sampled_from(vocabulary.TESTED_MATERIAL.all), RESULTS, st.sampled_from(["", *authorities()]))
def test_no_text_judges_whatever_was_measured(material: str, measured: LabResult, authority: str) -> None:
    reading = read(lab_test(material), measured, authority=authority)
    said = list(texts(reading))
    assert not [text for text in said if JUDGING.search(text)]
    for comparison in reading.results[0].comparisons:
        assert "limit for sale" in comparison.words or "not derived for eating" in comparison.words
    assert (reading.results[0].intakes == ()) or material == "mushroom"
