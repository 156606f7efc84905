"""Tests that everything that waits is told, once, with a command that does it."""

from __future__ import annotations

import datetime
import shlex
from pathlib import Path

import pytest

from sitebook.records.history import Conflict
from sitebook.records.outing import Visit
from sitebook.records.photo import Photo
from sitebook.records.results.due import TOPICS, Due
from sitebook.store import rows
from sitebook.store.book import writing
from sitebook.work import opened
from sitebook.work.adding import add
from sitebook.work.corrections.changing import change
from sitebook.work.due import due, typed
from tests.work import books
from tests.work.bring_in import town


def _due(book: Path, today: datetime.date = books.TODAY) -> list[Due]:
    with opened(book) as found:
        return list(due(found, today=today).result)


def _of(found: list[Due], topic: str) -> list[Due]:
    return [one for one in found if one.topic == topic]


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """Give a book of three sites: one allowed, one not asked for, one nobody thought of."""
    path = books.fresh(tmp_path)
    sites = books.table(
        tmp_path,
        "site",
        "name,lon,lat,radius_m,review_on,rest_until",
        "Mill park,-19.41,48.61,60,2025-09-30,",
        "Dune,-19.42,48.61,60,2025-10-02,2025-10-10",
        "Harbour,-19.43,48.61,60,,2025-12-24",
    )
    permissions = books.table(
        tmp_path,
        "permission",
        "manager,basis,valid_to,last_checked,sites",
        "Town,owner's consent,,2025-01-01,Mill park",
        "Wardens,not asked,,,Dune",
    )
    town.bring(path, sites, permissions)
    return path


def test_an_empty_book_waits_for_nothing(tmp_path: Path) -> None:
    assert _due(books.fresh(tmp_path)) == []


def test_sites_permissions_and_dates(book: Path) -> None:
    found = _due(book)
    assert [one.record for one in _of(found, "not asked")] == ["Dune", "Harbour"]
    assert [one.record for one in _of(found, "review")] == ["Mill park"]
    assert [one.record for one in _of(found, "rest")] == ["Dune"]
    assert _of(found, "permission") == []
    later = _due(book, datetime.date(2026, 1, 2))
    assert [one.words for one in _of(later, "permission")] == ["last checked on 2025-01-01"]
    assert [one.record for one in _of(later, "rest")] == ["Dune", "Harbour"]
    assert list(dict.fromkeys(one.topic for one in later)) == [
        t for t in TOPICS if t in {one.topic for one in later}
    ]


def test_a_tree_that_stands_no_more_is_asked_for_its_day_and_visits_at_the_same_hours_are_named(
    book: Path,
) -> None:
    trees = books.table(
        book.parent,
        "host_tree",
        "site,tag,lon,lat,tree_condition,felled_on",
        "Dune,D1,-19.42,48.61,stump,",
        "Dune,D2,-19.42,48.61,fallen,2025-01-05",
        "Dune,D3,-19.42,48.61,sound,",
    )
    visits = books.table(
        book.parent,
        "visit",
        "site,local_date,started_at,search_minutes,reason",
        "Dune,2025-09-01,2025-09-01T09:00:00Z,60,planned",
        "Dune,2025-09-01,2025-09-01T09:30:00Z,30,planned",
        "Dune,2025-09-01,2025-09-01T10:00:00Z,30,planned",
        "Harbour,2025-09-01,2025-09-01T09:30:00Z,30,planned",
    )
    town.bring(book, trees, visits)
    found = _due(book)
    (tree,) = _of(found, "felled")
    assert (tree.record, tree.words) == ("D1", "noted as a stump; the day is not noted")
    assert tree.next_step == "sitebook change host_tree D1 felled_on=DATE"
    (twice,) = _of(found, "overlap")
    assert "Dune" in twice.record
    assert twice.next_step.startswith("sitebook show visit")


def test_finds_without_name_or_number(book: Path) -> None:
    finds = books.table(
        book.parent,
        "find",
        "site,found_on,collection_number,name",
        "Mill park,2025-09-01,1,",
        "Mill park,2025-09-02,,Boletus edulis",
        "Mill park,2025-09-03,2,Boletus edulis",
    )
    town.bring(book, finds)
    found = _due(book)
    (unnamed,) = _of(found, "no name")
    assert (unnamed.record, unnamed.words) == ("OV 1", "Mill park; 2025-09-01")
    assert len(_of(found, "no number")) == 1


def test_what_is_told_to_type_does_it(book: Path) -> None:
    finds = books.table(book.parent, "find", "site,found_on", "Mill park,2025-09-01")
    town.bring(book, finds)
    filled = {"NAME": "Boletus edulis", "NUMBER": "9", "WHO": "Farm", "BASIS": "permit", "DATE": "2026-01-01"}
    for one in _due(book):
        _, command, kind, *rest = shlex.split(one.next_step)
        if kind == "permission" and one.words == "never checked":
            continue
        cells = {n: filled.get(v, v) for n, equals, v in (word.partition("=") for word in rest) if equals}
        with opened(book) as found:
            if command == "add":
                add(found, kind, cells, now=books.LATER)
            else:
                change(found, kind, rest[0], cells, now=books.LATER)
    left = [one for one in _due(book) if one.words != "never checked"]
    assert left == []


def test_photos_conflicts_and_tracks(book: Path) -> None:
    finds = books.table(
        book.parent,
        "find",
        "site,found_on,collection_number,note",
        "Mill park,2025-09-01,1,wet; photos: 411 412",
        "Mill park,2025-08-31,2,photos: 412",
    )
    town.bring(book, finds)
    taken = datetime.datetime(2025, 9, 1, 15, 0, tzinfo=datetime.UTC)
    standing = {"created_at": books.NOW, "changed_at": books.NOW}
    with opened(book) as found, writing(found):
        photos = [
            Photo(uuid=f"p{n}", sha256=f"{n}", file_name=f"IMG_0{n}12.jpg", media_type="image/jpeg",
                  taken_at=taken, at_home=at_home, **standing)  # type: ignore[arg-type]
            for n, at_home in ((3, False), (4, True))
        ]  # fmt: skip
        rows.insert(found, photos)
        visit = Visit(uuid="v", site_id=1, local_date=books.TODAY, reason="passing", effort_assumed=True,
                      search_minutes=12.0, **standing)  # type: ignore[arg-type]  # fmt: skip
        rows.insert(found, [visit])
        conflict = Conflict(uuid="c", table_name="site", row_uuid="none", column_name="note",
                            our_value="a", their_value=None, **standing)  # type: ignore[arg-type]  # fmt: skip
        rows.insert(found, [conflict])
    waits = _due(book)
    (away,), (home,) = _of(waits, "photo"), _of(waits, "at home")
    assert away.words == "its place is not known; finds of that day: OV 1"
    assert home.words == "taken at home; finds of that day: OV 1; OV 1 names its number"
    (effort,) = _of(waits, "effort")
    assert (effort.record, effort.words) == ("Dune@2025-10-01", "12 min by the track")
    (two,) = _of(waits, "conflict")
    assert two.words == "note: the book says 'a', what came in says nothing"
    assert two.next_step == "sitebook decide 1 ours"


def test_a_name_with_blanks_and_signs_is_quoted() -> None:
    assert typed("change", "site", "O'Hara; rm -rf", "review_on=DATE") == (
        "sitebook change site 'O'\"'\"'Hara; rm -rf' review_on=DATE"
    )
    assert shlex.split(typed("add", "permission", "sites=Mill park"))[-1] == "sites=Mill park"
