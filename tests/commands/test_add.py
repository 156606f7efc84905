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
