"""Tests that a missing field is asked for where somebody sits at the terminal, and refused elsewhere."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.commands.running import Terminal, run
from tests.work import books
from tests.work.bring_in import town

LAST = "SELECT reason, local_date FROM visit ORDER BY id DESC LIMIT 1"


@pytest.fixture
def book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.delenv("SITEBOOK_BOOK", raising=False)
    monkeypatch.chdir(tmp_path)
    return town.built(tmp_path)


def test_what_is_missing_is_asked_for_at_a_terminal(book: Path) -> None:
    ran = run("add", "visit", "site=Mill Park", stdin=Terminal("2025-10-30\nplanned\n"))
    assert ran.status == 0, ran.err
    assert "local_date (" in ran.out
    assert "one of: planned, passing" in ran.out
    assert "Added 1 visit." in ran.out
    assert books.only(book, LAST) == ("planned", "2025-10-30")


def test_nothing_is_asked_where_nothing_is_missing(book: Path) -> None:
    words = ("add", "visit", "site=Mill Park", "local_date=2025-10-30", "reason=planned")
    ran = run(*words, stdin=Terminal(""))
    assert (ran.status, ran.out) == (0, "Added 1 visit.\n")
    assert books.only(book, LAST) == ("planned", "2025-10-30")


def test_nobody_is_asked_where_nobody_sits(book: Path) -> None:
    before = book.read_bytes()
    ran = run("add", "visit", "site=Mill Park")
    assert ran.status == 2
    assert ran.told.endswith("[value-impossible]")
    assert ran.out == ""
    assert book.read_bytes() == before


def test_giving_up_at_the_terminal_keeps_nothing(book: Path) -> None:
    before = book.read_bytes()
    ran = run("add", "visit", stdin=Terminal("Mill Park\n"))
    assert ran.status == 2
    assert "stopped" in ran.err
    assert book.read_bytes() == before


@pytest.mark.parametrize("word", ["Mill Park", "=x", "mood=fine"])
def test_a_field_that_is_none_is_refused(word: str, book: Path) -> None:
    before = book.read_bytes()
    assert run("add", "visit", word).status == 2
    assert book.read_bytes() == before


SPRAYED = ("state=done", "told_by=Orm Tolvane")


def test_a_spraying_is_asked_for_its_day_actives_and_ground_at_a_terminal(book: Path) -> None:
    typed = "done\nOrm Tolvane\n2025-05\nglyphosate 1440 g/ha; mowex\nknapsack\n\nMill Park\n"
    ran = run("add", "spraying", stdin=Terminal(typed))
    assert ran.status == 0, ran.err
    assert "applied_on (first day it may have been), or nothing" in ran.out
    assert "lon (" not in ran.out
    assert "Added 1 spraying, 2 spraying actives.\nNo half-life of mowex is known here" in ran.out
    told = "SELECT ground, applied_on, applied_on_end, method FROM spraying"
    assert books.only(book, told) == ("Mill Park", "2025-05-01", "2025-05-31", "knapsack")


def test_nothing_needless_is_asked(book: Path) -> None:
    ran = run("add", "spraying", "state=never", "site=Mill Park", stdin=Terminal("Orm Tolvane\n\n"))
    assert ran.status == 0, ran.err
    assert not [word for word in ("applied_on (", "actives (", "lon (", "ground (") if word in ran.out]
    assert books.only(book, "SELECT state FROM spraying") == ("never",)


def test_a_count_is_asked_for_what_passed_unless_a_daily_number_is_given(book: Path) -> None:
    ran = run(
        "add", "count", "lon=-19.395", "lat=48.6", stdin=Terminal("own count\n118\n20\n17\n2025-09-02\n")
    )
    assert ran.status == 0, ran.err
    assert "vehicles_per_day (" not in ran.out
    told = (
        "SELECT counted_vehicles, counted_minutes, counted_hour FROM traffic_count ORDER BY id DESC LIMIT 1"
    )
    assert books.only(book, told) == (118, 20, 17)


def test_a_record_given_whole_is_not_asked_for_more(book: Path) -> None:
    ran = run("add", "spraying", "site=Mill Park", *SPRAYED, stdin=Terminal(""))
    assert ran.status == 0, ran.err
    assert ran.out.startswith("Added 1 spraying.\nA spraying that is done has no day")
    assert books.only(book, "SELECT applied_on FROM spraying") == (None,)
