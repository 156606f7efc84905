"""Tests that the starter taxa fit together and claim no more than is known."""

from __future__ import annotations

import re
from collections import Counter

import pytest

from sitebook.intake.starter import TABLES, read_starter
from sitebook.intake.table.header import match_header
from sitebook.intake.table.kinds import LAYOUTS
from sitebook.records.incoming import Draft
from sitebook.reference import reader
from sitebook.vocabulary import DANGER

NOT_SAID = re.compile(
    r"\b(edible|safe|medicinal|choice|delicious|harmless|clean|clear|none deadly)\b", re.IGNORECASE
)
OF_THE_ISLAND = (
    "Leccinum scabrum",
    "Boletus edulis",
    "Cantharellus cibarius",
    "Lactarius deliciosus",
    "Marasmius oreades",
    "Coprinus comatus",
    "Agaricus campestris",
    "Pleurotus ostreatus",
    "Laetiporus sulphureus",
)
HOSTS = (
    "Betula pendula",
    "Fagus sylvatica",
    "Quercus robur",
    "Pinus sylvestris",
    "Picea abies",
    "Malus domestica",
    "Salix",
)


def _drafts(kind: str) -> list[Draft]:
    return [draft for draft in read_starter().drafts if draft.kind == kind]


def _kingdoms() -> dict[str, object]:
    return {str(d.values["scientific_name"]): d.values["kingdom"] for d in _drafts("taxon")}


def test_nothing_is_left_out_and_no_row_stands_twice() -> None:
    reading = read_starter()
    assert reading.sorted_lines == ()
    twice = [k for k, times in Counter((d.kind, d.identity) for d in reading.drafts).items() if times > 1]
    assert not twice


@pytest.mark.parametrize("table", list(TABLES))
def test_every_column_of_the_tables_is_read(table: str) -> None:
    assert match_header(LAYOUTS[TABLES[table]], reader.rows(table)[0]).notes == ()


def test_every_reference_is_a_starter_taxon() -> None:
    known = set(_kingdoms())
    assert {n for d in read_starter().drafts for n in d.refers.values()} <= known


def test_identities_are_name_and_authors() -> None:
    identities = {d.identity for d in _drafts("taxon")}
    assert {"taxon:Leccinum scabrum|(Bull.) Gray", "taxon:Betula|"} <= identities


def test_fungi_and_hosts_of_the_island_are_there() -> None:
    kingdoms = _kingdoms()
    assert {kingdoms[name] for name in OF_THE_ISLAND} == {"Fungi"}
    assert {kingdoms[name] for name in HOSTS} == {"Plantae"}


def test_hosts_in_the_traits_are_plants() -> None:
    kingdoms = _kingdoms()
    hosts = {str(d.values["value_text"]) for d in _drafts("taxon_trait") if d.values["trait"] == "host"}
    assert {kingdoms[host] for host in hosts} == {"Plantae"}


def test_look_alikes_stand_in_both_directions() -> None:
    pairs = {(d.refers["taxon_id"], d.refers["other_id"]): d.values for d in _drafts("look_alike")}
    for (taxon, other), values in pairs.items():
        back = pairs[other, taxon]
        assert back.get("excluding_character") == values.get("excluding_character")
        assert (back["source_key"], back["mark"]) == (values["source_key"], values["mark"])


def test_a_look_alike_is_as_dangerous_as_its_own_row_says() -> None:
    classes = {
        d.refers["taxon_id"]: d.values["value_text"]
        for d in _drafts("taxon_trait")
        if d.values["trait"] == "poisoning class"
    }
    assert set(classes.values()) <= set(DANGER.all)
    for pair in _drafts("look_alike"):
        other = pair.refers["other_id"]
        assert other not in classes or pair.values.get("danger") == classes[other]


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Lepiota brunneoincarnata", "Marasmius oreades"),
        ("Amanita phalloides", "Tricholoma"),
        ("Paxillus involutus", "Lactarius deliciosus"),
        ("Hypholoma fasciculare", "Armillaria mellea"),
        ("Omphalotus illudens", "Laetiporus sulphureus"),
        ("Cortinarius rubellus", "Cantharellus formosus"),
    ],
)
def test_pairs_that_a_second_reading_asked_for(one: str, other: str) -> None:
    assert any((d.refers["taxon_id"], d.refers["other_id"]) == (one, other) for d in _drafts("look_alike"))


@pytest.mark.parametrize("table", list(TABLES))
def test_no_row_praises_or_reassures(table: str) -> None:
    said = [cell for row in reader.rows(table) for cell in row.values() if NOT_SAID.search(cell)]
    assert said == []


def test_memory_has_no_source_and_every_other_mark_but_practice_has_one() -> None:
    for draft in (*_drafts("taxon_trait"), *_drafts("look_alike")):
        unsourced = draft.values["source_key"] == "not confirmed"
        assert unsourced == (draft.values["mark"] in {"memory", "common practice"}), draft.identity


def test_ranges_of_spores_hold_what_is_written() -> None:
    for draft in _drafts("taxon_trait"):
        if str(draft.values["trait"]).startswith("spore l") or draft.values["trait"] == "spore width":
            numbers = re.sub(r"\([^)]*\)", "", str(draft.values["value_text"])).split("-")
            assert [float(numbers[0]), float(numbers[-1])] == [draft.values["low"], draft.values["high"]]
            assert draft.values["unit"] == "µm"


@pytest.mark.source(
    item="",
    what="spores of Coprinus comatus",
    value="8.8-12.8 x 6.9-9.3 µm",
    source="monograph of Coprinus by C. B. Uljé",
    mark="confirmed",
)
def test_spores_that_disagree_stand_side_by_side() -> None:
    lengths = {
        (d.values["source_key"], d.values["low"], d.values["high"])
        for d in _drafts("taxon_trait")
        if d.refers["taxon_id"] == "Coprinus comatus" and d.values["trait"] == "spore length"
    }
    assert lengths == {("ulje_coprinus", 8.8, 12.8), ("handbook_unnamed", 12.0, 16.0)}


def test_an_english_name_means_one_taxon() -> None:
    names = Counter(str(d.values["vernacular"]).casefold() for d in _drafts("vernacular_name"))
    assert max(names.values()) == 1
