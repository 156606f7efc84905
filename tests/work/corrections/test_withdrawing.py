"""Tests that what hangs on a withdrawn record goes out of view with it, untouched, and comes back with it."""

from __future__ import annotations

from pathlib import Path

import pytest

from sitebook import errors
from sitebook.work import map as work_map
from sitebook.work import opened
from sitebook.work.asking import list_kind, show
from sitebook.work.season_baseline import of_book
from tests.work import books
from tests.work.bring_in import town
from tests.work.corrections import doing


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return town.built(tmp_path)


def test_a_find_takes_its_names_and_hosts_out_of_view_untouched(book: Path) -> None:
    before = doing.counts(book)
    done = doing.withdraw(book, "find", "OV 1")
    assert dict(done.with_it) == {"find_host": 1, "determination": 1}
    after = doing.counts(book)
    assert {k: before[k] - after[k] for k in ("find", "find_host", "determination")} == {
        "find": 1,
        "find_host": 1,
        "determination": 1,
    }
    assert books.only(book, "SELECT count(*) FROM determination WHERE withdrawn_at IS NOT NULL") == (0,)
    back = doing.withdraw(book, "find", "OV 1", back=True)
    assert (back.back, dict(back.with_it)) == (True, dict(done.with_it))
    assert doing.counts(book) == before | {"change": before["change"] + 2}


@pytest.mark.parametrize(
    ("kind", "name", "said"),
    [
        ("site", "Mill Park", "1 host tree, 2 visits rest on it"),
        ("visit", "Mill Park@2025-09-01", "1 look, 1 find rest on it"),
        ("host_tree", "Quay Wood|B1", "1 look rest on it"),
        ("taxon", "Leccinum scabrum", "rest on it"),
        ("person", "TH", "rest on it"),
        ("person", "OV", "owner of the book"),
    ],
)
def test_what_others_rest_on_is_not_withdrawn_alone(kind: str, name: str, said: str, book: Path) -> None:
    before = book.read_bytes()
    with pytest.raises(errors.StillInUse, match=said):
        doing.withdraw(book, kind, name)
    assert book.read_bytes() == before


def test_the_owner_is_never_withdrawn(book: Path) -> None:
    with pytest.raises(errors.StillInUse):
        doing.withdraw(book, "person", "OV", with_all=True)


def test_a_site_with_all_leaves_lists_map_and_calendar(book: Path) -> None:
    doing.withdraw(book, "site", "Mill Park", with_all=True)
    with opened(book) as found:
        sites = {row["name"] for row in list_kind(found, "site").result.rows}
        assert sites == {"Quay Wood"}
        assert {row["site"] for row in list_kind(found, "visit").result.rows} == {"Quay Wood"}
        view = work_map.view_of(found, today=books.TODAY)
        assert {site.name for site in view.sites} == {"Quay Wood"}
        assert {tree.tag for tree in view.trees} == {"B1", "O2"}
        assert len(view.trees) == 2
        assert {find.label for find in view.finds} == {"TH 1", "OV 2"}
        assert {row.site_name for row in of_book(found).rows} <= {"Quay Wood"}
    assert doing.faults(book) == []


def test_a_withdrawn_look_enters_no_rate(book: Path) -> None:
    def looks() -> float:
        with opened(book) as found:
            return sum(row.looks for row in of_book(found).rows if row.taxon_name == "Leccinum scabrum")

    before = looks()
    doing.withdraw(book, "visit", "Mill Park@2025-09-08")
    assert looks() < before


def test_a_person_withdrawn_is_still_called_by_name_where_spoken_of(book: Path) -> None:
    doing.withdraw(book, "person", "TH", with_all=True)
    with opened(book) as found:
        assert show(found, "find", "TH 1").result.values["collector"] == "TH"
        assert {row["initials"] for row in list_kind(found, "person").result.rows} == {"OV", "MD"}


def test_a_name_is_withdrawn_and_the_one_before_stands_again(book: Path) -> None:
    doing.add(
        book, "determination", find="OV 1", verbatim_name="Leccinum holopus", determined_on="2025-10-01"
    )
    (key,) = books.only(book, "SELECT id FROM determination WHERE verbatim_name = 'Leccinum holopus'")
    with opened(book) as found:
        assert show(found, "find", "OV 1").result.values["name"] == "Leccinum holopus"
    doing.withdraw(book, "determination", str(key))
    with opened(book) as found:
        assert show(found, "find", "OV 1").result.values["name"] == "Leccinum scabrum"


def test_look_alikes_go_and_come_in_pairs(book: Path) -> None:
    (key,) = books.only(book, "SELECT min(id) FROM look_alike")
    doing.withdraw(book, "look_alike", str(key))
    assert books.only(book, "SELECT count(*) FROM look_alike WHERE withdrawn_at IS NOT NULL") == (2,)
    assert doing.faults(book) == []
    doing.withdraw(book, "look_alike", str(key), back=True)
    assert books.only(book, "SELECT count(*) FROM look_alike WHERE withdrawn_at IS NOT NULL") == (0,)


def test_withdrawn_ones_are_listed_when_asked_for_and_said_when_shown(book: Path) -> None:
    doing.withdraw(book, "find", "OV 2")
    with opened(book) as found:
        (row,) = list_kind(found, "find", withdrawn=True).result.rows
        assert row["collection_number"] == 2
        assert "withdrawn_at" in show(found, "find", str(row["uuid"])).result.values


def test_a_withdrawn_record_says_how_it_comes_back(book: Path) -> None:
    doing.withdraw(book, "find", "OV 2")
    with pytest.raises(errors.RecordMissing, match="--back"):
        doing.withdraw(book, "find", "OV 2")
    with pytest.raises(errors.RecordMissing, match="no withdrawn find is called 'OV 1'"):
        doing.withdraw(book, "find", "OV 1", back=True)


def test_what_hangs_on_another_withdrawn_one_says_so(book: Path) -> None:
    doing.withdraw(book, "find", "OV 2")
    doing.withdraw(book, "visit", "Quay Wood@2025-09-20")
    done = doing.withdraw(book, "find", "OV 2", back=True)
    assert "withdrawn too" in done.remarks[0]


def test_its_place_may_be_taken_meanwhile(book: Path) -> None:
    doing.withdraw(book, "host_tree", "O2", with_all=True)
    doing.add(book, "host_tree", site="Quay Wood", tag="o2 ", lon="-19.3922", lat="48.6082")
    with pytest.raises(errors.ValueImpossible, match="another host tree is called so"):
        doing.withdraw(book, "host_tree", "O2", back=True)


@pytest.mark.parametrize(
    "kind", ["extract", "conflict", "way", "visit_person", "change", "setting", "weather_day"]
)
def test_rows_that_are_no_records_of_hers_say_what_to_do(kind: str, book: Path) -> None:
    with pytest.raises(errors.BadArgument):
        doing.withdraw(book, kind, "1")


def test_a_file_brings_no_withdrawn_record_back(book: Path, tmp_path: Path) -> None:
    doing.withdraw(book, "find", "OV 2")
    before = doing.state(book)
    again = books.table(
        tmp_path,
        "find",
        "site,found_on,collector,collection_number,name",
        "Quay Wood,2025-09-20,OV,2,Cortinarius vennarae",
        name="again",
    )
    report = town.bring(book, again, now=doing.later())
    assert "it was withdrawn and stays so" in town.lines_of(report)[0].reason
    finds = {key for key in doing.state(book) if key[0] == "find"}
    assert finds == {key for key in before if key[0] == "find"}
