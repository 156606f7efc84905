"""Tests that the last acts are taken back by further changes, and what was changed since is kept and told."""

from __future__ import annotations

from pathlib import Path

import pytest

from sitebook import errors
from tests.work import books
from tests.work.bring_in import town
from tests.work.corrections import doing

RADIUS = "SELECT radius_m FROM site WHERE name = 'Mill Park'"


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return town.built(tmp_path)


def test_undo_after_undo_goes_further_back(book: Path) -> None:
    for radius in ("70", "80", "90"):
        doing.change(book, "site", "Mill Park", radius_m=radius)
    for before in (80.0, 70.0, 60.0):
        done = doing.undo(book)
        assert "change site, site Mill Park" in done.acts[0].words
        assert books.only(book, RADIUS) == (before,)


def test_undo_taken_back_goes_forward_again(book: Path) -> None:
    doing.change(book, "site", "Mill Park", radius_m="70")
    doing.change(book, "site", "Mill Park", radius_m="80")
    doing.undo(book, last=2)
    assert books.only(book, RADIUS) == (60.0,)
    doing.undo(book, back=True)
    assert books.only(book, RADIUS) == (70.0,)
    doing.undo(book, back=True)
    assert books.only(book, RADIUS) == (80.0,)
    with pytest.raises(errors.RecordMissing, match="nothing to take back"):
        doing.undo(book, back=True)


def test_history_only_grows(book: Path) -> None:
    doing.change(book, "site", "Mill Park", radius_m="70")
    first = books.asked(book, "SELECT * FROM change ORDER BY id")
    doing.undo(book)
    doing.undo(book, back=True)
    after = books.asked(book, "SELECT * FROM change ORDER BY id")
    assert after[: len(first)] == first
    assert len(after) == len(first) + 2


def test_what_was_added_is_withdrawn_and_brought_again(book: Path) -> None:
    before = doing.counts(book)
    doing.add(book, "find", site="Quay Wood", found_on="2025-10-05", name="Boletus edulis", host_tree="O2")
    after = doing.counts(book)
    done = doing.undo(book)
    assert dict(done.acts[0].withdrawn) == {"visit": 1, "find": 1, "find_host": 1, "determination": 1}
    assert doing.counts(book) == before | {"change": doing.counts(book)["change"]}
    doing.undo(book, back=True)
    assert doing.counts(book) == after | {"change": doing.counts(book)["change"]}


def test_a_record_added_undone_and_added_again_is_one(book: Path) -> None:
    cells = {"site": "Quay Wood", "local_date": "2025-10-05", "reason": "planned"}
    doing.add(book, "visit", **cells)
    doing.undo(book)
    assert doing.add(book, "visit", **cells, search_minutes="9") == {"visit": 1}
    asked = "SELECT search_minutes, withdrawn_at FROM visit WHERE local_date = '2025-10-05'"
    assert books.asked(book, asked) == [(9.0, None)]


def test_what_was_changed_since_is_kept_and_waits_for_her(book: Path) -> None:
    doing.change(book, "site", "Mill Park", radius_m="70")
    doing.undo(book)
    doing.change(book, "site", "Mill Park", radius_m="85")
    done = doing.undo(book, back=True)
    assert done.acts[0].kept == ("site Mill Park: radius_m stays 85, changed since; it would be 70",)
    (conflict,) = doing.conflicts(book)
    assert (conflict.base, conflict.ours, conflict.theirs) == ("60", "85", "70")
    assert conflict.came_with == "an undo"
    doing.decide(book, conflict.conflict_id, "theirs")
    assert books.only(book, RADIUS) == (70.0,)
    doing.undo(book)
    assert books.only(book, RADIUS) == (85.0,)
    assert len(doing.conflicts(book)) == 1


def test_a_number_given_out_again_is_not_taken_away(book: Path) -> None:
    doing.change(book, "find", "OV 2", collection_number="9")
    doing.undo(book)
    doing.change(book, "find", "OV 1", collection_number="9")
    done = doing.undo(book, back=True)
    assert "collection_number stays 2" in done.acts[0].kept[0]
    assert doing.faults(book) == []


def test_a_trial_keeps_nothing(book: Path) -> None:
    doing.change(book, "site", "Mill Park", radius_m="70")
    before = book.read_bytes()
    done = doing.undo(book, dry_run=True)
    assert (done.dry_run, dict(done.acts[0].set_back)) == (True, {"site": 1})
    assert book.read_bytes() == before


def test_a_whole_import_command_is_one_act(book: Path) -> None:
    done = doing.undo(book)
    assert len(done.acts) == 11
    assert doing.counts(book)["site"] == 0
    with pytest.raises(errors.RecordMissing, match="nothing to take back"):
        doing.undo(book)
    assert len(doing.undo(book, back=True).acts) == 11
    assert doing.faults(book) == []


@pytest.mark.parametrize(
    "wish", [{"last": 0}, {"batch": "site.csv", "back": True}, {"batch": "site.csv", "last": 2}]
)
def test_wishes_that_contradict_each_other_are_refused(wish: dict[str, object], book: Path) -> None:
    with pytest.raises(errors.BadArgument):
        doing.undo(book, **wish)  # type: ignore[arg-type]


@pytest.mark.parametrize("name", ["nothing.csv", "99"])
def test_an_import_that_is_not_there_is_told(name: str, book: Path) -> None:
    with pytest.raises(errors.RecordMissing, match="list import_batch"):
        doing.undo(book, batch=name)


def test_of_two_files_of_one_name_the_key_decides(book: Path, tmp_path: Path) -> None:
    town.bring(
        book,
        books.table(tmp_path, "person", "name,initials", "Aske Vorn,AV"),
        now=doing.later(),
    )
    with pytest.raises(errors.NameAmbiguous, match="Name one by its key"):
        doing.undo(book, batch="person.csv")
    (key,) = books.only(book, "SELECT max(id) FROM import_batch")
    assert dict(doing.undo(book, batch=str(key)).acts[0].withdrawn) == {"person": 1}
