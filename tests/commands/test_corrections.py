"""Tests that corrections are told in lines and as JSON, and that what cannot be ends in one line."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.commands.running import run
from tests.work import books
from tests.work.bring_in import town


@pytest.fixture
def book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.delenv("SITEBOOK_BOOK", raising=False)
    monkeypatch.chdir(tmp_path)
    return town.built(tmp_path)


def _told(*words: str) -> str:
    ran = run(*words)
    assert (ran.status, ran.err) == (0, "")
    return ran.out


def _json(*words: str) -> Any:  # noqa: ANN401 - any JSON value
    ran = run(*words, "--json")
    assert (ran.status, ran.err) == (0, "")
    return ran.json


@pytest.mark.usefixtures("book")
def test_a_change_is_told_column_by_column() -> None:
    told = _told("change", "site", "Mill Park", "radius_m=75", "note=by the weir")
    assert told == "site Mill Park: changed\n  radius_m: 60 → 75\n  note: empty → by the weir\n"
    assert "nothing to change" in _told("change", "site", "Mill Park", "radius_m=75")
    answer = _json("change", "site", "Mill Park", "radius_m=60")
    assert answer == {
        "kind": "site",
        "called": "site Mill Park",
        "columns": [{"column": "radius_m", "old": "75", "new": "60"}],
        "remarks": [],
    }


@pytest.mark.usefixtures("book")
def test_a_change_may_be_far_when_said() -> None:
    words = ("change", "find", "OV 1", "lon=12.5", "lat=48.6")
    assert "lies" in run(*words).told
    assert _told(*words, "--far").startswith("find OV 1: changed")


@pytest.mark.usefixtures("book")
def test_withdrawing_and_bringing_back_are_told() -> None:
    told = _told("withdraw", "find", "OV 1")
    assert told == "find OV 1: withdrawn; with it 1 find host, 1 determination\n"
    assert "OV 1" not in _told("list", "find")
    assert "1 of kind find" in _told("list", "find", "--withdrawn")
    answer = _json("withdraw", "find", "OV 1", "--back")
    assert answer == {
        "kind": "find",
        "called": "find OV 1",
        "back": True,
        "with_it": {"find_host": 1, "determination": 1},
        "remarks": [],
    }
    ran = run("withdraw", "site", "Mill Park")
    assert (ran.status, "[still-in-use]" in ran.told) == (2, True)
    assert "withdrawn; with it" in _told("withdraw", "site", "Mill Park", "--with-all")


@pytest.mark.usefixtures("book")
def test_a_merge_is_told() -> None:
    told = _told("merge", "site", "Mill Park", "Quay Wood")
    assert told.startswith("site Quay Wood merged into site Mill Park: 2 host trees, 2 visits moved\n")
    _told("undo")
    answer = _json("merge", "site", "Mill Park", "Quay Wood")
    assert set(answer) == {"kind", "kept", "other", "moved", "doubles", "remarks"}


@pytest.mark.usefixtures("book")
def test_an_undo_is_told_and_taken_back() -> None:
    _told("change", "site", "Mill Park", "radius_m=75")
    assert "This was a trial; nothing was kept." in _told("undo", "--dry-run")
    told = _told("undo")
    assert told.startswith("Taken back: change site, site Mill Park (")
    assert "  set back: 1 site\n" in told
    assert _told("undo", "--back").startswith("Brought back what was taken by: undo, site Mill Park (")
    answer = _json("undo", "--import", "host_tree.csv")
    assert {key: answer[key] for key in ("back", "dry_run")} == {"back": False, "dry_run": False}
    (act,) = answer["acts"]
    assert set(act) == {"words", "withdrawn", "set_back", "kept", "hidden"}
    assert act["withdrawn"] == {"host_tree": 3}
    assert act["hidden"] == {"look": 2, "find_host": 2}
    told = _told("undo", "--last", "1")
    assert told.startswith("Taken back: change site")
    assert "import of site.csv" in _told("undo")
    assert run("undo", "--last", "0").status == 2


@pytest.mark.usefixtures("book")
def test_what_was_kept_since_is_told() -> None:
    _told("change", "site", "Mill Park", "radius_m=75")
    _told("undo")
    _told("change", "site", "Mill Park", "radius_m=85")
    assert "  kept: site Mill Park: radius_m stays 85" in _told("undo", "--back")
    assert "1   site Mill Park  radius_m  85    75      an undo" in _told("decide")


@pytest.mark.usefixtures("book")
def test_a_history_is_told_with_its_instants() -> None:
    _told("change", "site", "Mill Park", "radius_m=75")
    lines = _told("history", "site", "Mill Park").splitlines()
    assert lines[0] == "site Mill Park"
    assert lines[1] == "  2025-10-01 12:00 UTC  brought in with site.csv"
    assert lines[2].endswith(" UTC  change site: radius_m 60 → 75")
    answer = _json("history", "site", "Mill Park")
    assert set(answer) == {"kind", "called", "lines"}
    assert answer["lines"][0] == {"made_at": "2025-10-01T12:00:00Z", "words": "brought in with site.csv"}


def test_conflicts_are_listed_and_decided(book: Path, tmp_path: Path) -> None:
    assert _told("decide") == "Nothing waits for a decision.\n"
    assert _json("decide") == []
    line = "Mill Park,-19.4000,48.6020,90"
    told = _told("import", str(books.table(tmp_path, "site", "name,lon,lat,radius_m", line, name="other")))
    assert "radius_m 60.0, the file says 90.0" in told
    (answer,) = _json("decide")
    assert {key: answer[key] for key in ("called", "column", "ours", "theirs", "came_with", "decided")} == {
        "called": "site Mill Park",
        "column": "radius_m",
        "ours": "60",
        "theirs": "90",
        "came_with": "other.csv",
        "decided": None,
    }
    assert run("decide", "1").status == 2
    assert run("decide", "x", "ours").status == 2
    assert _told("decide", "1", "theirs") == "site Mill Park: radius_m stays 90\n"
    assert books.only(book, "SELECT radius_m FROM site WHERE id = 1") == (90.0,)


@pytest.mark.parametrize(
    "words",
    [
        ("change", "site", "Mill Park"),
        ("change", "site", "Mill Park", "radius_m"),
        ("change", "site", "Nowhere", "radius_m=3"),
        ("withdraw", "site", "Nowhere"),
        ("merge", "site", "Mill Park", "Mill Park"),
        ("undo", "--import", "nothing.csv"),
        ("undo", "--back"),
        ("history", "find", "OV 99"),
        ("decide", "9", "ours"),
    ],
)
def test_what_cannot_be_ends_in_one_line(words: tuple[str, ...], book: Path) -> None:
    before = book.read_bytes()
    ran = run(*words)
    assert ran.status == 2
    assert ran.out == ""
    assert ran.told
    assert book.read_bytes() == before
