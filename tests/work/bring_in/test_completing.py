"""Tests that what rows refer to and nobody entered is added, said, and never guessed at."""

from __future__ import annotations

from pathlib import Path

import pytest

from sitebook import errors
from tests.work import books
from tests.work.bring_in import town

HEAD = "site,found_on,collector,collection_number,name,qualifier"


@pytest.fixture
def book(tmp_path: Path) -> Path:
    path = books.fresh(tmp_path)
    town.bring(path, town.sites(tmp_path))
    return path


def _finds(folder: Path, *lines: str, head: str = HEAD) -> Path:
    return books.table(folder, "find", head, *lines)


def test_a_find_without_a_visit_gets_one_that_enters_no_rate(book: Path, tmp_path: Path) -> None:
    report = town.bring(book, _finds(tmp_path, "Mill Park,2025-09-10,OV,1,Boletus edulis,"))
    asked = "SELECT local_date, reason, looked_for_all, search_minutes FROM visit"
    assert books.only(book, asked) == ("2025-09-10", "seen first", 0, None)
    assert books.only(book, "SELECT visit_id FROM find") == (1,)
    assert report.made == {"visit": 1}
    assert any("seen first" in remark for remark in report.remarks)


def test_finds_of_one_site_and_day_share_their_visit(book: Path, tmp_path: Path) -> None:
    lines = [f"Mill Park,2025-09-10,OV,{n},Boletus edulis," for n in range(1, 6)]
    town.bring(book, _finds(tmp_path, *lines, "mill park,2025-09-10,OV,6,Boletus edulis,"))
    assert books.only(book, "SELECT count(*) FROM visit") == (1,)


def test_a_find_joins_the_visit_there_is(book: Path, tmp_path: Path) -> None:
    visit = books.table(tmp_path, "visit", "site,local_date,reason", "Mill Park,2025-09-10,planned")
    report = town.bring(book, visit, _finds(tmp_path, "Mill Park,2025-09-10,OV,1,Boletus edulis,"))
    assert report.made == {}
    assert books.only(book, "SELECT reason FROM visit") == ("planned",)


def test_a_table_of_visits_brought_later_takes_over_what_was_made(book: Path, tmp_path: Path) -> None:
    town.bring(book, _finds(tmp_path, "mill park,2025-09-10,OV,1,Boletus edulis,"))
    head = "site,local_date,search_minutes,reason"
    visit = books.table(tmp_path, "visit", head, "Mill Park,2025-09-10,30,planned")
    for text in ("", "# again\n"):
        visit.write_text(visit.read_text("utf-8") + text, "utf-8")
        town.bring(book, visit, now=books.LATER)
        asked = "SELECT reason, search_minutes, looked_for_all FROM visit"
        assert books.asked(book, asked) == [("planned", 30.0, 1)]
        assert books.only(book, "SELECT visit_id FROM find") == (1,)


def test_a_visit_seen_first_of_her_own_is_another(book: Path, tmp_path: Path) -> None:
    head = "site,local_date,started_at,reason"
    visits = books.table(
        tmp_path,
        "visit",
        head,
        "Mill Park,2025-09-10,08:00,seen first",
        "Mill Park,2025-09-10,15:00,planned",
    )
    town.bring(book, visits)
    assert books.only(book, "SELECT count(*) FROM visit") == (2,)


def test_the_visit_of_an_interval_spans_it(book: Path, tmp_path: Path) -> None:
    town.bring(book, _finds(tmp_path, "Mill Park,Oct 1994,OV,1,Boletus edulis,"))
    asked = "SELECT local_date, local_date_end FROM visit"
    assert books.only(book, asked) == ("1994-10-01", "1994-10-31")


def test_a_find_at_no_site_of_the_book_is_refused(book: Path, tmp_path: Path) -> None:
    before = book.read_bytes()
    with pytest.raises(errors.LinesRefused, match="Mill Prak"):
        town.bring(book, _finds(tmp_path, "Mill Prak,2025-09-10,OV,1,Boletus edulis,"))
    assert book.read_bytes() == before


def test_a_name_new_to_the_book_is_added_and_said(book: Path, tmp_path: Path) -> None:
    report = town.bring(book, _finds(tmp_path, "Mill Park,2025-09-10,OV,1,Cortinarius vennarae,cf."))
    assert report.made["taxon"] == 1
    asked = "SELECT taxon_rank, kingdom FROM taxon WHERE scientific_name = 'Cortinarius vennarae'"
    assert books.only(book, asked) == ("species", "Fungi")
    (remark,) = [r for r in report.remarks if "Cortinarius vennarae" in r]
    assert "Nothing is known here" in remark
    assert books.only(book, "SELECT qualifier FROM determination") == ("cf.",)


def test_a_genus_alone_is_a_genus(book: Path, tmp_path: Path) -> None:
    town.bring(book, _finds(tmp_path, "Mill Park,2025-09-10,OV,1,Vennaromyces sp.,"))
    asked = "SELECT taxon_rank FROM taxon WHERE scientific_name = 'Vennaromyces'"
    assert books.only(book, asked) == ("genus",)


def test_a_host_new_to_the_book_is_a_plant(book: Path, tmp_path: Path) -> None:
    tree = books.table(
        tmp_path, "host_tree", "site,tag,taxon,lon,lat", "Mill Park,X1,Salix vennarae,-19.40005,48.60205"
    )
    town.bring(book, tree)
    asked = "SELECT kingdom FROM taxon WHERE scientific_name = 'Salix vennarae'"
    assert books.only(book, asked) == ("Plantae",)


def test_companions_and_collectors_are_added_once(book: Path, tmp_path: Path) -> None:
    visit = books.table(
        tmp_path, "visit", "site,local_date,reason,companions", "Mill Park,2025-09-10,planned,TH MD"
    )
    report = town.bring(
        book,
        visit,
        _finds(
            tmp_path,
            "Mill Park,2025-09-10,TH,1,Boletus edulis,",
            "Mill Park,2025-09-10,Torva Hesk,2,Boletus edulis,",
            "Mill Park,2025-09-10,th,3,Boletus edulis,",
        ),
    )
    people = {row[0] for row in books.asked(book, "SELECT initials FROM person")}
    assert {"OV", "TH", "MD"} <= people
    assert len(people) == len({initials.casefold() for initials in people if isinstance(initials, str)})
    assert any("People added" in remark for remark in report.remarks)
    assert books.only(book, "SELECT count(*) FROM visit_person") == (2,)


def test_a_person_in_the_same_files_is_not_made_again(book: Path, tmp_path: Path) -> None:
    person = books.table(tmp_path, "person", "name,initials", "Torva Hesk,TH")
    report = town.bring(book, person, _finds(tmp_path, "Mill Park,2025-09-10,TH,1,Boletus edulis,"))
    assert "person" not in report.made
    assert books.asked(book, "SELECT name FROM person WHERE initials = 'TH'") == [("Torva Hesk",)]


def test_a_find_without_a_collector_is_the_owners(book: Path, tmp_path: Path) -> None:
    town.bring(book, _finds(tmp_path, "Mill Park,2025-09-10,,1,Boletus edulis,"))
    asked = "SELECT p.initials FROM find f JOIN person p ON p.id = f.collector_id"
    assert books.only(book, asked) == ("OV",)
    asked = "SELECT p.initials FROM determination d JOIN person p ON p.id = d.determined_by"
    assert books.only(book, asked) == ("OV",)


def test_a_station_is_made_of_its_days(book: Path, tmp_path: Path) -> None:
    days = books.table(
        tmp_path, "weather", "station,local_date,rain_mm", "window,2025-09-01,4", "window,2025-09-02,0"
    )
    town.bring(book, days)
    assert books.asked(book, "SELECT code, zone FROM weather_station") == [("window", books.ZONE)]


def test_an_everyday_name_is_no_new_taxon(book: Path, tmp_path: Path) -> None:
    (before,) = books.only(book, "SELECT count(*) FROM taxon")
    tree = books.table(
        tmp_path, "host_tree", "site,tag,taxon,lon,lat", "Mill Park,X1,silver birch,-19.40005,48.60205"
    )
    town.bring(book, tree)
    assert books.only(book, "SELECT count(*) FROM taxon") == (before,)
