"""Tests that answers are printed as a person reads them."""

from __future__ import annotations

import io
import sys
from pathlib import Path

import pytest
import shapely

from sitebook.commands import telling
from tests.commands.running import Terminal, run
from tests.work import books
from tests.work.bring_in import town


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.delenv("SITEBOOK_BOOK", raising=False)
    monkeypatch.chdir(tmp_path)
    town.built(tmp_path)
    return tmp_path


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (None, ""),
        (True, "yes"),
        (False, "no"),
        (12.50, "12.5"),
        (7, "7"),
        ("two\nlines", "two lines"),
        (shapely.Point(-19.4, 48.6), "-19.40000,48.60000"),
        (shapely.box(-2, 0, 0, 2), "-1.00000,1.00000 (polygon)"),
    ],
)
def test_a_value_in_words(value: object, said: str) -> None:
    assert telling.words(value) == said


def test_columns_stand_under_each_other(capsys: pytest.CaptureFixture[str]) -> None:
    telling.table(("name", "empty", "n"), [{"name": "a", "empty": None, "n": 1}, {"name": "long", "n": 22}])
    assert capsys.readouterr().out.splitlines() == ["name  n", "a     1", "long  22"]


def test_long_text_is_cut(capsys: pytest.CaptureFixture[str]) -> None:
    telling.table(("note",), [{"note": "x" * 200}])
    assert max(map(len, capsys.readouterr().out.splitlines())) == telling.WIDEST


def test_progress_is_shown_at_a_terminal_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    for stream, shown in ((Terminal(), True), (io.StringIO(), False)):
        monkeypatch.setattr(sys, "stderr", stream)
        telling.progress("reading", 1, 2)
        telling.progress("reading", 2, 2)
        assert bool(stream.getvalue()) is shown
        assert stream.getvalue().endswith("\n") is shown


def test_an_import_tells_what_came_and_what_stayed_out(folder: Path) -> None:
    visits = books.table(
        folder,
        "visit",
        "site,local_date,reason",
        "Mill Park,2025-10-30,planned",
        "Mill Park,x,planned",
        name="v",
    )
    ran = run("import", visits, "--accept-rest")
    assert ran.status == 0
    assert "v.csv: table of visit; 1 visit" in ran.out
    assert "refused: line 4" in ran.out
    assert run("import", visits).out.startswith("v.csv: brought in before")


def test_a_trial_says_that_nothing_was_kept(folder: Path) -> None:
    before = (folder / "sitebook.gpkg").read_bytes()
    visits = books.table(folder, "visit", "site,local_date,reason", "Mill Park,2025-10-30,planned", name="v")
    assert "nothing was kept" in run("import", "--dry-run", visits).out
    assert (folder / "sitebook.gpkg").read_bytes() == before


def test_every_command_answers_in_words(folder: Path) -> None:
    assert folder.is_dir()
    for words, told in [
        (("list",), "site"),
        (("list", "find"), "OV"),
        (("show", "site", "Mill Park"), "host tree (1)"),
        (("settings",), "far_km"),
        (("contamination", "--all"), "Quay Wood"),
        (("map",), "keep them to yourself"),
        (("calendar",), "calendar-private.html"),
        (("upgrade",), "up to date"),
        (("check",), "nothing wrong found"),
        (("template", "visit"), "# sitebook table: visit"),
    ]:
        ran = run(*words)
        assert (ran.status, ran.err) == (0, ""), words
        assert told in ran.out, words


def test_a_template_can_be_written_to_a_file_and_is_read_back(folder: Path) -> None:
    assert run("template", "visit", "--to", "visits.csv").status == 0
    path = folder / "visits.csv"
    assert path.read_text("utf-8") == run("template", "visit").out
    path.write_text(path.read_text("utf-8") + "Mill Park,2025-10-30,,,,,planned,,,,,,\n", "utf-8")
    ran = run("import", path)
    assert ran.status == 0, ran.err
    assert "1 visit" in ran.out


def test_contamination_wants_one_place(folder: Path) -> None:
    assert folder.is_dir()
    for words in ((), ("--all", "--site", "Mill Park"), ("--at", "0,0", "--all")):
        assert run("contamination", *words).status == 2


def test_a_character_that_excludes_is_never_cut(capsys: pytest.CaptureFixture[str]) -> None:
    long = "print white in the one, rusty brown in the other; the ring may be gone, so look twice"
    telling.table(("other", "excluding_character"), [{"other": "B", "excluding_character": long}])
    assert long in capsys.readouterr().out
