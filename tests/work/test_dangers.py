"""Tests that what is noted of a name's poison, and what is not noted, is said where the name is shown."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from sitebook.records.taxon import Taxon
from sitebook.reference import reader
from sitebook.store import rows
from sitebook.store.book import Book
from sitebook.work import map as work_map
from sitebook.work import opened
from sitebook.work.asking import show
from sitebook.work.dangers import NOTHING_NOTED, Dangers, dangers_of
from tests.conftest import Island
from tests.work import books


@pytest.fixture(scope="module")
def book(island: Island) -> Iterator[Book]:
    with opened(island.book) as book:
        yield book


def taxon_id(book: Book, name: str) -> int:
    (found,) = [t for t in rows.records(book, Taxon) if t.scientific_name == name]
    return found.id or 0


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("Amanita phalloides", "deadly (memory)"),
        ("Tricholoma equestre", "deadly, after repeated meals (memory)"),
        ("Cortinarius", "deadly, species of the genus (memory)"),
        ("Coprinopsis atramentaria", "conditional, with alcohol (memory)"),
    ],
)
def test_the_class_stands_at_the_head_of_a_taxon(book: Book, name: str, said: str) -> None:
    assert show(book, "taxon", name).result.remarks[0] == f"Poisoning class noted for this name: {said}."


def test_a_species_without_a_class_has_that_of_its_genus(book: Book) -> None:
    table = rows.table_for(Taxon)
    genus = taxon_id(book, "Cortinarius")
    dangers = dangers_of(book)
    bare = [t for t in rows.records(book, Taxon, table.c.parent_id == genus) if t.id not in dangers.classes]
    for taxon in bare:
        assert dangers.of(taxon.id or 0) == dangers.of(genus) != ()


def _names() -> dict[int, Taxon]:
    """Give a genus 1, its species 2, the synonyms 3 of that and 4 of 3, and two names 5, 6 in a circle."""
    above = {1: (None, None), 2: (1, None), 3: (7, 2), 4: (7, 3), 5: (1, 6), 6: (1, 5), 7: (None, None)}
    return {
        key: Taxon(
            id=key,
            uuid=str(key),
            created_at=books.NOW,
            changed_at=books.NOW,
            scientific_name=f"Name {key}",
            parent_id=parent,
            accepted_id=accepted,
        )
        for key, (parent, accepted) in above.items()
    }


@pytest.mark.parametrize(
    ("classes", "taxon_id", "said"),
    [
        ({4: ("deadly",)}, 2, ("deadly",)),
        ({4: ("deadly",)}, 3, ("deadly",)),
        ({2: ("poisonous",), 4: ("deadly",)}, 2, ("poisonous", "deadly")),
        ({2: ("poisonous",), 4: ("poisonous",)}, 4, ("poisonous",)),
        ({1: ("genus",), 3: ("deadly",)}, 2, ("deadly",)),
        ({1: ("genus",), 7: ("other genus",)}, 4, ("genus",)),
        ({1: ("genus",)}, 5, ("genus",)),
        ({6: ("deadly",)}, 5, ("deadly",)),
        ({5: ("deadly",)}, 2, ()),
    ],
)
def test_a_class_noted_at_any_name_of_a_taxon_holds_for_all(
    classes: dict[int, tuple[str, ...]], taxon_id: int, said: tuple[str, ...]
) -> None:
    dangers = Dangers(_names(), classes)
    assert dangers.of(taxon_id) == said
    assert (dangers.at(taxon_id, classes) is not None) is bool(said)


def test_an_absent_class_is_said_and_never_read_as_none(book: Book) -> None:
    remarks = show(book, "taxon", "Boletus edulis").result.remarks
    assert remarks[0] == NOTHING_NOTED
    assert any("no complete list" in remark for remark in remarks)


def test_a_tree_has_no_such_remarks(book: Book) -> None:
    assert show(book, "taxon", "Betula pendula").result.remarks == ()


def test_a_find_and_its_mark_on_the_map_say_the_class_of_the_name(book: Book) -> None:
    assert "deadly" in show(book, "find", "AC 124").result.remarks[0]
    view = work_map.view_of(book, today=books.TODAY)
    words = {find.label: find.name_words for find in view.finds}
    assert "poisoning class noted for this name: deadly (memory)" in words["AC 124"]
    assert not any("verification" in said for said in words.values())


def test_every_look_alike_carries_the_danger_its_class_names() -> None:
    poisons = {
        r["taxon"]: r["value_text"] for r in reader.rows("taxon_traits") if r["trait"] == "poisoning class"
    }
    lacking = [
        (r["taxon"], r["other"])
        for r in reader.rows("look_alikes")
        if r["other"] in poisons and not r["danger"]
    ]
    assert lacking == []


def test_no_deadly_look_alike_stands_without_a_character() -> None:
    assert not [
        r for r in reader.rows("look_alikes") if r["danger"] == "deadly" and not r["excluding_character"]
    ]


@pytest.mark.parametrize(
    "words", ["peeled off", "parboil", "is cooked", "past use", "left alone", "discarded", "never raw"]
)
def test_no_caution_is_a_recipe(words: str) -> None:
    said = [r["value_text"] for r in reader.rows("taxon_traits") if r["trait"] == "caution"]
    assert not [text for text in said if words in text]
