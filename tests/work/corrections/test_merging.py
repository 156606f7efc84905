"""Tests that everything that names the other record names the kept one after a merge."""

from __future__ import annotations

from pathlib import Path

import pytest

from sitebook import errors
from sitebook.work import opened
from sitebook.work.asking import show
from sitebook.work.season_baseline import of_book
from tests.work import books
from tests.work.bring_in import town
from tests.work.corrections import doing


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return town.built(tmp_path)


def test_two_sites_become_one(book: Path) -> None:
    done = doing.merge(book, "site", "Mill Park", "Quay Wood")
    assert dict(done.moved) == {"host_tree": 2, "visit": 2}
    assert books.asked(book, "SELECT DISTINCT site_id FROM visit") == [(1,)]
    asked = "SELECT merged_into, withdrawn_at IS NULL FROM site WHERE name = 'Quay Wood'"
    assert books.only(book, asked) == (1, 0)
    assert any("Trees of one tag" in remark and "B1" in remark for remark in done.remarks)
    assert doing.faults(book) == []


def test_names_of_the_other_lead_to_the_kept_one(book: Path, tmp_path: Path) -> None:
    doing.merge(book, "site", "Mill Park", "Quay Wood")
    visits = books.table(
        tmp_path, "visit", "site,local_date,reason", "Quay Wood,2025-10-02,planned", name="visits"
    )
    looks = books.table(
        tmp_path,
        "look",
        "site,local_date,host_tree,outcome",
        "Quay Wood,2025-10-02,Quay Wood|O2,not seen",
        name="looks",
    )
    sites = town.sites(tmp_path, "sites_again")
    sites.write_text(sites.read_text("utf-8") + "# again\n", "utf-8")
    report = town.bring(book, visits, looks, sites, now=doing.later())
    assert [line.reason for line in town.lines_of(report)] == [
        "it was merged into another, which stands in its place"
    ]
    asked = "SELECT v.site_id FROM look l JOIN visit v ON v.id = l.visit_id WHERE v.local_date = '2025-10-02'"
    assert books.only(book, asked) == (1,)


def test_a_merge_of_merges_leads_to_the_last(book: Path) -> None:
    doing.add(book, "site", name="West Heath", lon="-19.41", lat="48.6", radius_m="40")
    doing.merge(book, "site", "Mill Park", "Quay Wood")
    doing.merge(book, "site", "West Heath", "Mill Park")
    with opened(book) as found:
        assert show(found, "site", "quay wood").result.called == "West Heath"


def test_a_permission_for_both_holds_once(book: Path) -> None:
    doing.add(book, "permission", manager="Forestry", basis="permit", sites="Mill Park; Quay Wood")
    doing.add(book, "permission", manager="Harbour", basis="permit", sites="Quay Wood")
    done = doing.merge(book, "site", "Mill Park", "Quay Wood")
    assert (done.moved["permission_site"], dict(done.doubles)) == (1, {"permission_site": 1})
    assert doing.counts(book)["permission_site"] == 2
    doing.undo(book)
    assert doing.counts(book)["permission_site"] == 3


def test_two_trees_become_one(book: Path) -> None:
    done = doing.merge(book, "host_tree", "Quay Wood|O2", "Quay Wood|B1")
    assert dict(done.moved) == {"look": 1}
    with opened(book) as found:
        parts = {part.kind: len(part.rows) for part in show(found, "host_tree", "O2").result.parts}
    assert parts == {"look": 1, "find_host": 1}


def test_a_taxon_becomes_a_synonym_and_finds_keep_the_name_they_were_given(book: Path) -> None:
    doing.add(book, "taxon", scientific_name="Krombholzia scabra")
    done = doing.merge(book, "taxon", "Krombholzia scabra", "Leccinum scabrum")
    assert "determination" not in done.moved
    assert "stays as a synonym" in done.remarks[0]
    asked = (
        "SELECT t.scientific_name, k.scientific_name, t.withdrawn_at FROM determination d "
        "JOIN taxon t ON t.id = d.taxon_id JOIN taxon k ON k.id = t.accepted_id WHERE d.find_id = 1"
    )
    assert books.only(book, asked) == ("Leccinum scabrum", "Krombholzia scabra", None)
    with opened(book) as found:
        taxa = {row.taxon_name for row in of_book(found).rows}
    assert "Krombholzia scabra" in taxa
    assert "Leccinum scabrum" not in taxa


def test_look_alikes_of_merged_taxa_stay_symmetric(book: Path) -> None:
    pairs = books.asked(
        book,
        "SELECT a.scientific_name, b.scientific_name FROM look_alike l JOIN taxon a ON a.id = l.taxon_id "
        "JOIN taxon b ON b.id = l.other_id WHERE l.taxon_id < l.other_id ORDER BY l.id LIMIT 6",
    )
    before = doing.state(book)
    for kept, other in pairs:
        doing.merge(book, "taxon", str(kept), str(other))
        assert doing.faults(book) == []
        assert (
            books.asked(book, "SELECT 1 FROM look_alike WHERE taxon_id = other_id AND withdrawn_at IS NULL")
            == []
        )
        doing.undo(book)
    assert doing.state(book) == before


@pytest.mark.parametrize(
    ("kind", "kept", "other", "said"),
    [
        ("visit", "Mill Park@2025-09-01", "Mill Park@2025-09-08", "are not merged"),
        ("site", "Mill Park", "mill park", "the same record"),
    ],
)
def test_what_cannot_be_merged_is_told(kind: str, kept: str, other: str, said: str, book: Path) -> None:
    with pytest.raises(errors.BadArgument, match=said):
        doing.merge(book, kind, kept, other)


def test_no_circle_of_synonyms_or_parents_comes_about(book: Path) -> None:
    doing.add(book, "taxon", scientific_name="Krombholzia scabra")
    doing.merge(book, "taxon", "Leccinum scabrum", "Krombholzia scabra")
    with pytest.raises(errors.ValueImpossible, match="synonym itself"):
        doing.merge(book, "taxon", "Krombholzia scabra", "Boletus edulis")
    doing.merge(book, "taxon", "Krombholzia scabra", "Leccinum scabrum")
    asked = "SELECT accepted_id FROM taxon WHERE scientific_name = 'Krombholzia scabra'"
    assert books.only(book, asked) == (None,)
    doing.change(book, "taxon", "Boletus edulis", parent="Boletus")
    with pytest.raises(errors.ValueImpossible, match="stands below the other"):
        doing.merge(book, "taxon", "Boletus edulis", "Boletus")


@pytest.mark.parametrize(
    ("kind", "kept", "other"),
    [
        ("site", "Mill Park", "Quay Wood"),
        ("host_tree", "Mill Park|B1", "Quay Wood|B1"),
        ("taxon", "Boletus edulis", "Leccinum scabrum"),
    ],
)
def test_a_merge_is_taken_back_whole(kind: str, kept: str, other: str, book: Path) -> None:
    before = doing.state(book)
    doing.merge(book, kind, kept, other)
    assert doing.state(book) != before
    assert f"merge {kind}, {kind.replace('_', ' ')}" in doing.undo(book).acts[0].words
    assert doing.state(book) == before
    doing.undo(book, back=True)
    doing.undo(book)
    assert doing.state(book) == before
