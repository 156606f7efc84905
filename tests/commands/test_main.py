"""Tests that every error meets a person in one line with the right status, and never as a traceback."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import click
import pytest

import sitebook
from sitebook.commands import listing, main
from sitebook.commands.main import COMMANDS, cli
from sitebook.store import book as store_book
from sitebook.work import opened, upkeep
from tests.commands.running import run
from tests.work import books
from tests.work.bring_in import town


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.delenv("SITEBOOK_BOOK", raising=False)
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_help_names_every_command_with_its_line(folder: Path) -> None:
    ran = run("--help")
    assert ran.status == 0
    assert not list(folder.iterdir())
    for name, (_, line) in COMMANDS.items():
        assert name in ran.out
        assert line.split(",")[0] in " ".join(ran.out.split())


@pytest.mark.parametrize("name", list(COMMANDS))
def test_every_command_has_help_that_agrees_with_its_line(name: str, folder: Path) -> None:
    ran = run(name, "--help")
    assert (ran.status, ran.err) == (0, "")
    assert not list(folder.iterdir())
    assert ran.out.startswith("Usage: sitebook " + name) or f" {name} " in ran.out
    command = cli.get_command(click.Context(cli), name)
    assert command is not None
    assert command.short_help == COMMANDS[name][1]


def test_the_version_is_told(folder: Path) -> None:
    ran = run("--version")
    assert ran.status == 0
    assert not list(folder.iterdir())
    assert ran.out.startswith("sitebook")
    assert sitebook.__version__ in ran.out


def test_a_word_alone_is_answered_with_help_not_a_trace(folder: Path) -> None:
    ran = run()
    assert "Traceback" not in ran.out + ran.err
    assert "import" in ran.out + ran.err
    assert not list(folder.iterdir())


def test_input_that_cannot_be_ends_with_2_and_one_line(folder: Path) -> None:
    ran = run("list", "site")
    assert ran.status == 2
    assert ran.told.endswith("[book-missing]")
    assert not list(folder.iterdir())


@pytest.mark.parametrize(
    "words", [("dance",), ("list", "--upside-down"), ("show", "site"), ("map", "--on", "May")]
)
def test_a_word_no_command_knows_ends_with_2_and_one_line(words: tuple[str, ...], folder: Path) -> None:
    books.fresh(folder)
    ran = run(*words)
    assert ran.status == 2
    assert "sitebook --help" in ran.told or "sitebook " in ran.told


def test_a_fault_of_ours_ends_with_1_and_leaves_its_trace_in_a_file(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    books.fresh(folder)

    def fail(_: object) -> None:
        raise RuntimeError("first line\nsecond line")

    monkeypatch.setattr(upkeep, "counts", fail)
    ran = run("list")
    assert ran.status == 1
    assert "RuntimeError: first line second line" in ran.told
    assert "sitebook-trace.txt" in ran.told
    trace = (folder / "sitebook-trace.txt").read_text("utf-8")
    assert "Traceback" in trace
    assert 'raise RuntimeError("first line' in trace


def test_the_trace_lies_beside_the_book(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    elsewhere = folder / "elsewhere"
    elsewhere.mkdir()
    path = books.fresh(elsewhere)

    def fail(_: object) -> None:
        raise RuntimeError("no reason")

    monkeypatch.setattr(upkeep, "counts", fail)
    for words in (("list", "--book", path), ("--book", path, "list")):
        (elsewhere / "sitebook-trace.txt").unlink(missing_ok=True)
        assert run(*words).status == 1
        assert (elsewhere / "sitebook-trace.txt").is_file()
    monkeypatch.setenv("SITEBOOK_BOOK", str(path))
    (elsewhere / "sitebook-trace.txt").unlink()
    assert run("list").status == 1
    assert (elsewhere / "sitebook-trace.txt").is_file()
    assert not (folder / "sitebook-trace.txt").exists()


def test_a_trace_that_cannot_be_written_is_no_second_fault(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    books.fresh(folder)
    (folder / "sitebook-trace.txt").mkdir()

    def fail(_: object) -> None:
        raise RuntimeError("no reason")

    monkeypatch.setattr(upkeep, "counts", fail)
    ran = run("list")
    assert ran.status == 1
    assert "RuntimeError" in ran.told


def test_a_stop_by_hand_is_told(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    books.fresh(folder)

    def stop(_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(upkeep, "counts", stop)
    ran = run("list")
    assert ran.status == 2
    assert ran.err.strip() == "sitebook: stopped; nothing of this command was kept."


def test_a_busy_book_is_told(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(store_book, "BUSY_TIMEOUT_S", 0.05)
    path = books.fresh(folder)
    with opened(path) as book, store_book.writing(book):
        ran = run("settings", "far_km", "300")
    assert ran.status == 2
    assert ran.told.endswith("[book-busy]")


def test_the_book_is_named_by_option_environment_or_folder(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    town.built(folder, "one.gpkg")
    books.fresh(folder, "two.gpkg")
    books.fresh(folder)
    assert len(run("list", "site", "--json", "--book", "one.gpkg").json) == 2
    monkeypatch.setenv("SITEBOOK_BOOK", "one.gpkg")
    assert len(run("list", "site", "--json").json) == 2
    assert run("list", "site", "--json", "--book", "two.gpkg").json == []
    monkeypatch.delenv("SITEBOOK_BOOK")
    assert run("list", "site", "--json").json == []


def test_a_pipe_that_is_closed_early_is_no_fault(folder: Path, repository: Path) -> None:
    town.built(folder)
    script = f"{sys.executable} -m sitebook list taxon --json | head -c 10"
    done = subprocess.run(
        ["/bin/sh", "-c", script],
        env={"PYTHONPATH": str(repository), "PATH": "/usr/bin:/bin"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert (done.returncode, done.stderr) == (0, "")


def test_the_room_prints_nothing_while_it_is_imported() -> None:
    assert listing.command.name == "list"
    assert main.INPUT_WRONG == 2


def test_a_filled_template_is_never_written_over(tmp_path: Path) -> None:
    to = tmp_path / "visits.csv"
    assert run("template", "visit", "--to", str(to)).status == 0
    to.write_text("her evening's typing", encoding="utf-8")
    assert run("template", "visit", "--to", str(to)).status == 2
    assert to.read_text(encoding="utf-8") == "her evening's typing"
    assert run("template", "visit", "--to", str(to), "--replace").status == 0
