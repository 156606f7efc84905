"""Tests what is said of the metals of a taxon: published values with their ground, and nothing beyond."""

from __future__ import annotations

import dataclasses
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitebook.analysis.contamination.species import species_review
from sitebook.analysis.contamination.species_words import LOOKED_FOR, NO_DATA
from sitebook.analysis.contamination.wood_growth import GROUP
from sitebook.records.results.species import SpeciesLine, SpeciesReview
from sitebook.reference import reader
from sitebook.reference.analytes import analyte
from tests.house.judging_words import JUDGING

TAXA = sorted({row["taxon"] for row in reader.rows("accumulators")} - {GROUP})
SITE_KINDS = {"smelter", "road", "market", "no known source", "region", "soil study", "not stated"}


def lines_of(review: SpeciesReview, element: str) -> list[SpeciesLine]:
    return [line for line in review.lines if line.element == element]


def test_every_row_of_the_table_is_of_a_known_element_and_kind_of_ground() -> None:
    for row in reader.rows("accumulators"):
        assert analyte(row["element"]) is not None
        assert row["site_kind"] in SITE_KINDS
        assert row["study"]
        assert (row["site_kind"] == "smelter") == ("smelter" in row["place"])


@pytest.mark.source(
    item="",
    what="lead and mercury of the parasol near smelters and elsewhere",
    value="Pb 53.8 at most and 26.4 on the mean, Hg 119 and at most 200; elsewhere Pb 2.08 mg/kg dry",
    source="Al Sayegh Petkovsek and Pokorny 2013, Kalac 1996, Mironczuk-Chodakowska and others 2013",
    mark="confirmed",
)
def test_a_smelters_maximum_is_never_shown_as_typical() -> None:
    review = species_review("Macrolepiota procera")
    lead = [line for line in lines_of(review, "Pb") if line.unit == "mg/kg dry"]
    assert sorted((line.high, line.typical) for line in lead) == [(2.08, True), (26.4, False), (53.8, False)]
    assert all("near a smelter" in line.what for line in review.lines if not line.typical)
    assert max(line.high or 0.0 for line in lines_of(review, "Hg") if not line.typical) == 200.0
    assert (
        "Published of lead: mean 2.1 ± 1.8 mg/kg dry (3 samples, region with little industry); "
        "near a smelter up to 53.8 mg/kg dry, which tells nothing of other ground"
    ) in review.words


def test_a_range_keeps_kinds_of_ground_apart() -> None:
    words = species_review("Boletus edulis").words
    assert (
        "mean 0.47 ± 0.38 mg/kg dry (3 samples, region with little industry); "
        "mean 1.2 ± 1.0 mg/kg dry (bought, dried)"
    ) in words
    assert "mean 2.0 ± 1.1 mg/kg dry (bought, dried); mean 2.2 mg/kg dry (north-eastern Poland" in words
    assert "up to 1000 mg/kg dry" in species_review("Sarcosphaera coronaria").words


@pytest.mark.source(
    item="",
    what="cadmium in the cep of north-eastern Poland",
    value="mean 2.151 mg/kg dry; the mushrooms were gathered there, and no part is named",
    source="Galgowska and Pietrzak-Fiecko 2021, abstract",
    mark="confirmed",
)
def test_ground_and_part_are_those_the_source_names() -> None:
    (line,) = [line for line in species_review("Boletus edulis").lines if "galgowska2021" in line.source]
    assert (line.value_text, line.site_kind, line.part) == ("2.151", "region", "")
    assert line.place == "north-eastern Poland, region with little industry"


@pytest.mark.source(
    item="",
    what="spread of means of dried boletes on sale",
    value="cep Hg 3.039 and 1.092, Cd 1.983 and 1.145, Pb 1.156 and 1.049, As 0.897 and 0.469; "
    "bay bolete Hg 0.102 and 0.020, Cd 1.154 and 0.596, Pb 0.928 and 1.810, As 0.278 and 0.108 mg/kg",
    source="Orywal and others 2021, abstract",
    mark="confirmed",
)
def test_the_spread_of_a_mean_is_kept() -> None:
    for taxon, published in {
        "Boletus edulis": {"Hg": 1.092, "Cd": 1.145, "Pb": 1.049, "As": 0.469},
        "Imleria badia": {"Hg": 0.020, "Cd": 0.596, "Pb": 1.810, "As": 0.108},
    }.items():
        own = [line for line in species_review(taxon).lines if "orywal2021" in line.source]
        assert {line.element: line.spread for line in own} == published
        assert {line.samples for line in own} == {None}


def test_the_number_of_samples_stands_where_it_is_known() -> None:
    rows = [row for row in reader.rows("accumulators") if row["samples"]]
    assert {row["source_key"] for row in rows} == {"mironczuk2013"}
    assert {(row["what"], row["samples"]) for row in rows} == {("mean", "3")}


def test_a_part_stands_only_where_a_source_names_one() -> None:
    named = {row["source_key"] for row in reader.rows("accumulators") if row["part"]}
    assert named == {"garcia2009", "kuldo2014", "saba2016"}


def test_other_elements_are_named_and_what_nobody_confirmed_apart() -> None:
    fly, parasol, bay = (
        species_review(name).words for name in ("Amanita muscaria", "Macrolepiota procera", "Imleria badia")
    )
    assert "Something is said of vanadium, not confirmed in any source." in fly
    assert "Something is published of silver, copper, potassium" in parasol
    assert "Said of radiocaesium (Cs-137): gathers radiocaesium" in bay
    assert "Published of radiocaesium" not in bay
    assert " too." not in " ".join(species_review(taxon).words for taxon in TAXA)


def test_nothing_written_is_a_line_of_its_own() -> None:
    review = species_review("Hygrocybe coccinea")
    (line,) = review.lines
    assert (line.element, line.value_text, line.mark) == ("any element", NO_DATA, "our choice")
    assert "no sign that it gathers little" in review.words


@pytest.mark.parametrize("taxon", TAXA)
def test_radiocaesium_and_the_rest_are_spoken_of_for_every_taxon(taxon: str) -> None:
    review = species_review(taxon)
    assert set(LOOKED_FOR) <= {line.element for line in review.lines}
    assert all(line.source and line.mark for line in review.lines)


def test_radiocaesium_of_the_bay_bolete_is_said_to_be_unconfirmed() -> None:
    (line,) = lines_of(species_review("Imleria badia"), "Cs-137")
    assert line.mark == "memory"
    assert "gathers radiocaesium where fallout came down (not confirmed in any source)" in (
        species_review("Imleria badia").words
    )


@pytest.mark.parametrize(
    "name", ["Agaricus sp.", "Agaricus", "Agaricus cf. augustus", "Agaricus sect. Arvenses"]
)
def test_an_open_name_has_what_is_written_of_its_genus(name: str) -> None:
    written = [line for line in species_review(name).lines if line.what != "no data"]
    assert {(line.element, line.of_whom) for line in written} == {
        ("Cd", "genus Agaricus"),
        ("Hg", "genus Agaricus"),
    }
    assert all(line.of_genus for line in written)


def test_studies_wrote_of_it_under_other_names() -> None:
    alone = species_review("Chlorophyllum rhacodes")
    both = species_review("Chlorophyllum rhacodes", other_names=["Macrolepiota rhacodes"])
    assert set(alone.lines) - set(both.lines) == set(lines_of(alone, "Cd"))
    assert [line.of_whom for line in lines_of(both, "Cd")] == ["genus Macrolepiota"]
    assert both.taxon_name == "Chlorophyllum rhacodes"


def on_wood(name: str = "Pleurotus ostreatus", **more: object) -> SpeciesReview:
    known: dict[str, object] = {"road_edge_m": 60.0, "treated_or_imported": False}
    return species_review(name, **{**known, **more})  # type: ignore[arg-type]


@pytest.mark.source(
    item="",
    what="elements of which species on wood held less, as the abstract names them",
    value="Ag, As, Pb, Se",
    source="Mleczek and others 2016",
    mark="confirmed",
)
def test_species_on_wood_hold_less_of_listed_elements_alone() -> None:
    group = [line for line in on_wood().lines if line.of_whom == "species on wood"]
    assert [line.element for line in group] == ["Ag", "As", "Pb", "Se"]
    assert all(line.unit == "words" and line.low is None for line in group)
    assert "it changes no class" in on_wood().words


@pytest.mark.parametrize(
    ("more", "why"),
    [
        ({"road_edge_m": 9.9}, "a road is nearer than 10 m"),
        ({"road_edge_m": None}, "how far the nearest road is"),
        ({"perennial": True}, "grows on for years"),
        ({"treated_or_imported": True}, "treated, or brought from elsewhere"),
        ({"treated_or_imported": None}, "whether the wood is treated"),
    ],
)
def test_wood_is_never_taken_as_less_there(more: dict[str, object], why: str) -> None:
    review = on_wood(**more)  # type: ignore[arg-type]
    assert not [line for line in review.lines if line.of_whom == "species on wood"]
    assert "that is not taken as less here" in review.words
    assert why in review.words


def test_perennial_brackets_are_known_by_the_table() -> None:
    assert "grows on for years" in on_wood("Ganoderma applanatum").words
    assert "it changes no class" in on_wood("Ganoderma tsugae").words
    assert "whether it grows on for years is not known" in on_wood("Ganoderma lucidum").words
    assert "it changes no class" in on_wood("Ganoderma lucidum", perennial=False).words


def test_ground_species_have_no_word_on_wood() -> None:
    assert "wood" not in on_wood("Agaricus campestris").words
    assert "wood" not in on_wood(grows_on_wood=False).words
    assert "it changes no class" in on_wood("Russula emetica", grows_on_wood=True, perennial=False).words


def test_at_the_edge_of_the_rule() -> None:
    assert "it changes no class" in on_wood(road_edge_m=10.0).words
    assert "it changes no class" in on_wood(road_edge_m=math.inf).words


@given(
    st.sampled_from([*TAXA, "Pleurotus ostreatus", "Fomes fomentarius", "Nothing known", ""]),
    st.sampled_from([None, False, True]),
    st.sampled_from([None, 0.0, 5.0, 50.0, math.inf]),
    st.sampled_from([None, False, True]),
)
def test_no_answer_judges_or_multiplies(
    taxon: str, perennial: bool | None, road_edge_m: float | None, treated: bool | None
) -> None:
    review = species_review(taxon, perennial=perennial, road_edge_m=road_edge_m, treated_or_imported=treated)
    assert not JUDGING.search(review.words)
    assert review.words.endswith("a laboratory alone can tell.")
    assert review.lines
    assert all(isinstance(line, SpeciesLine) for line in review.lines)
    numbers = {f.name for f in dataclasses.fields(SpeciesReview)} - {"taxon_name", "lines", "words"}
    assert not numbers
