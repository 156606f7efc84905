"""Tests that records are listed and shown with names in place of keys."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from sitebook import errors
from sitebook.records.columns import meanings
from sitebook.records.kinds import KINDS
from sitebook.store import rows
from sitebook.store.book import Book
from sitebook.work import opened
from sitebook.work.asking import list_kind, show
from sitebook.work.naming import pick
from sitebook.work.upkeep import counts
from tests.work.bring_in import town


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Book]:
    with opened(town.built(tmp_path_factory.mktemp("asking"))) as found:
        yield found


@pytest.mark.parametrize("kind", list(KINDS))
def test_every_kind_can_be_listed(kind: str, book: Book) -> None:
    listing = list_kind(book, kind).result
    assert len(listing.rows) == rows.how_many(book, KINDS[kind]) == counts(book)[kind]
    named = {name for name in listing.columns if name in meanings(KINDS[kind])}
    assert named
    for row in listing.rows:
        assert {name.removesuffix("_id") for name in named} <= {name.removesuffix("_id") for name in row}


def test_references_stand_as_names(book: Book) -> None:
    (first, *_) = list_kind(book, "visit").result.rows
    assert first["site"] == "Mill Park"
    (look, *_) = list_kind(book, "look").result.rows
    assert (look["host_tree"], look["visit"]) == ("B1", "Mill Park@2025-09-01")


def test_a_find_is_listed_with_its_standing_name(book: Book) -> None:
    names = [row["name"] for row in list_kind(book, "find").result.rows]
    assert sorted(map(str, names)) == ["Boletus cf. edulis", "Cortinarius vennarae", "Leccinum scabrum"]


@pytest.mark.parametrize(
    ("kind", "name", "called", "parts"),
    [
        ("site", "mill park", "Mill Park", {"host_tree", "visit"}),
        ("host_tree", "Mill Park|B1", "B1", {"look", "find_host"}),
        ("host_tree", "O2", "O2", {"find_host"}),
        ("visit", "Mill Park@2025-09-01", "Mill Park@2025-09-01", {"find", "look", "visit_person"}),
        ("find", "OV 1", "OV 1", {"determination", "find_host"}),
        ("person", "Torva Hesk", "TH", {"find"}),
        ("taxon", "penny bun", "Boletus edulis", {"vernacular_name", "determination"}),
    ],
)
def test_a_record_is_shown_with_what_hangs_on_it(
    kind: str, name: str, called: str, parts: set[str], book: Book
) -> None:
    shown = show(book, kind, name).result
    assert shown.called == called
    assert parts <= {part.kind for part in shown.parts}


def test_a_record_is_shown_by_its_uuid_and_its_number(book: Book) -> None:
    by_name = show(book, "site", "Mill Park").result
    assert show(book, "site", str(by_name.values["uuid"])).result == by_name
    assert show(book, "site", str(by_name.values["id"])).result == by_name


def test_a_name_nobody_bears_is_told_with_the_nearest(book: Book) -> None:
    with pytest.raises(errors.RecordMissing, match="Did you mean 'Mill Park'"):
        show(book, "site", "Mill Parc")
    with pytest.raises(errors.RecordMissing, match="sitebook list site"):
        show(book, "site", "Zwq")


def test_a_name_that_two_bear_is_told(book: Book) -> None:
    with pytest.raises(errors.NameAmbiguous, match=r"SITE\|TAG"):
        show(book, "host_tree", "B1")
    with pytest.raises(errors.NameAmbiguous):
        pick(book, "host_tree", "b1")


def test_a_kind_nobody_knows_is_told_with_those_there_are(book: Book) -> None:
    for ask in (lambda: list_kind(book, "dragon"), lambda: show(book, "dragon", "x")):
        with pytest.raises(errors.BadArgument, match="host_tree"):
            ask()
