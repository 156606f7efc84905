"""Tests that a name finds the record a person means, and that a wrong one is told with the nearest."""

from __future__ import annotations

from pathlib import Path

import pytest

from sitebook import errors
from sitebook.work import opened
from sitebook.work.bring_in.names import folded, names_in
from tests.work import books
from tests.work.bring_in import town


@pytest.fixture
def book(tmp_path: Path) -> Path:
    path = books.fresh(tmp_path)
    town.bring(path, *town.tables(tmp_path))
    return path


@pytest.mark.parametrize("written", ["mill park", "MILL PARK", "  Mill   Park ", "Mill\tPark"])
def test_case_and_blanks_do_not_matter(written: str, book: Path) -> None:
    assert folded(written) == "mill park"
    with opened(book) as found:
        assert len(names_in(found).find("site", written)) == 1


@pytest.mark.parametrize(
    ("kind", "name", "how_many"),
    [
        ("host_tree", "B1", 2),
        ("host_tree", "Mill Park|B1", 1),
        ("host_tree", "quay wood/b1", 1),
        ("host_tree", "O2", 1),
        ("person", "TH", 1),
        ("person", "Torva Hesk", 1),
        ("find", "OV 1", 1),
        ("find", "TH 1", 1),
        ("find", "OV 9", 0),
        ("visit", "Mill Park@2025-09-01", 1),
        ("visit", "Mill Park@2025-09-02", 0),
        ("taxon", "Boletus edulis", 1),
        ("taxon", "penny bun", 1),
        ("weather_station", "Kitchen Window", 1),
    ],
)
def test_a_record_is_found_by_what_it_is_called(kind: str, name: str, how_many: int, book: Path) -> None:
    with opened(book) as found:
        assert len(names_in(found).find(kind, name)) == how_many


def test_a_withdrawn_record_is_found_by_no_name(book: Path) -> None:
    with opened(book) as found:
        before = names_in(found).find("site", "Mill Park")
        found.connection.exec_driver_sql("UPDATE site SET withdrawn_at = created_at WHERE name = 'Mill Park'")
        assert before
        assert not names_in(found).find("site", "Mill Park")
        found.connection.rollback()


def test_the_nearest_name_is_hinted_at(book: Path, tmp_path: Path) -> None:
    wrong = books.table(
        tmp_path, "visit", "site,local_date,reason", "Mil Parc,2025-09-09,planned", name="wrong"
    )
    with pytest.raises(errors.LinesRefused, match=r"no site is called 'Mil Parc'.*\(nearest: Mill Park\)"):
        town.bring(book, wrong)


def test_a_name_near_nothing_gets_no_hint(book: Path, tmp_path: Path) -> None:
    wrong = books.table(tmp_path, "visit", "site,local_date,reason", "Zwq,2025-09-09,planned", name="wrong")
    with pytest.raises(errors.LinesRefused, match="Zwq") as told:
        town.bring(book, wrong)
    assert "nearest" not in str(told.value)


def test_a_tag_that_two_trees_bear_asks_for_the_site(book: Path, tmp_path: Path) -> None:
    find = books.table(
        tmp_path,
        "find",
        "found_on,collection_number,lon,lat,name,host_tree",
        "2025-09-09,9,-19.4001,48.6021,Boletus edulis,B1",
        name="lone",
    )
    with pytest.raises(errors.LinesRefused, match=r"2 of kind host tree are called 'B1'.*SITE\|TAG"):
        town.bring(book, find)
    find.write_text(find.read_text("utf-8").replace(",B1", ",Quay Wood|B1"), "utf-8")
    town.bring(book, find)


def test_a_tag_is_looked_for_in_the_site_of_its_row(book: Path) -> None:
    asked = """SELECT s.name, t.tag FROM find_host h JOIN host_tree t ON t.id = h.host_tree_id
        JOIN site s ON s.id = t.site_id ORDER BY h.id"""
    assert sorted(books.asked(book, asked)) == [("Mill Park", "B1"), ("Quay Wood", "O2")]


def test_a_tag_is_looked_for_in_the_site_of_its_look(book: Path, tmp_path: Path) -> None:
    look = books.table(
        tmp_path,
        "look",
        "site,local_date,host_tree,outcome",
        "Mill Park,2025-09-08,B1,found",
        name="more_looks",
    )
    town.bring(book, look)
    asked = """SELECT s.name FROM look l JOIN host_tree t ON t.id = l.host_tree_id
        JOIN site s ON s.id = t.site_id JOIN visit v ON v.id = l.visit_id WHERE v.local_date = '2025-09-08'
        AND l.outcome = 'found'"""
    assert books.asked(book, asked) == [("Mill Park",)]


def test_a_site_may_have_an_at_sign_in_its_name(book: Path, tmp_path: Path) -> None:
    site = books.table(
        tmp_path, "site", "name,lon,lat,radius_m", "Bend @ Mill,-19.401,48.603,20", name="bend"
    )
    find = books.table(
        tmp_path,
        "find",
        "site,found_on,collection_number,name",
        "Bend @ Mill,2025-09-10,11,Boletus edulis",
        name="bend_find",
    )
    town.bring(book, site, find)
    asked = """SELECT s.name FROM find f JOIN visit v ON v.id = f.visit_id JOIN site s ON s.id = v.site_id
        WHERE f.collection_number = 11"""
    assert books.only(book, asked) == ("Bend @ Mill",)


def test_two_sites_of_one_name_are_ambiguous(book: Path, tmp_path: Path) -> None:
    twin = books.table(
        tmp_path,
        "site",
        "name,lon,lat,radius_m,uuid",
        "mill  park,-19.41,48.60,20,6f2b3a52-0b5e-4a35-9a0f-1de0c7a1f001",
        name="twin",
    )
    town.bring(book, twin)
    visit = books.table(
        tmp_path, "visit", "site,local_date,reason", "Mill Park,2025-09-30,planned", name="more"
    )
    with pytest.raises(errors.LinesRefused, match="2 of kind site are called"):
        town.bring(book, visit)
