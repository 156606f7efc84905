"""Tests that files and functions keep to their size, their opening sentence and their place."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.house.source_files import REPOSITORY, parsed, python_files, short, tracked_files

LONGEST_FILE = 400
LONGEST_FUNCTION = 50
DRAWERS = {"utils", "util", "helpers", "helper", "common", "core", "manager", "misc"}
TOP_LEVEL = {
    "README.md",
    "DEVELOPERS.md",
    "pyproject.toml",
    "LICENSE",
    "sitebook",
    "migrations",
    "tests",
    "demo_data",
    "docs",
}
CODE_SUFFIXES = {".py", ".js", ".css", ".html", ".jinja", ".j2"}
TEXT_SUFFIXES = CODE_SUFFIXES | {".md", ".toml", ".csv", ".bib", ".mako", ".svg", ".txt", ""}
MACHINE_MARKS = re.compile(
    r"(?<![\w.])/(?:work|root|home/\w+)/|(?<![\w.])/tmp/"
    r"|files\.python" + r"hosted|pypi\.org|--index-" + r"url|--extra-index|https?://\S*@"
)

Function = ast.FunctionDef | ast.AsyncFunctionDef


def _code_length(function: Function) -> int:
    first = function.body[0]
    documented = ast.get_docstring(function) is not None
    start = first.end_lineno if documented else function.lineno
    assert function.end_lineno is not None
    assert start is not None
    return function.end_lineno - start


def _functions() -> Iterator[tuple[Path, Function]]:
    for path in python_files():
        for node in ast.walk(parsed(path)):
            if isinstance(node, Function):
                yield path, node


def test_no_file_is_over_400_lines() -> None:
    code = [p for p in tracked_files() if p.suffix in CODE_SUFFIXES and "kept" not in p.parts]
    long = {short(p): n for p in code if (n := len(p.read_text("utf-8").splitlines())) > LONGEST_FILE}
    assert not long


def test_no_function_is_over_50_lines() -> None:
    long = {
        f"{short(path)}:{function.lineno} {function.name}": length
        for path, function in _functions()
        if (length := _code_length(function)) > LONGEST_FUNCTION
    }
    assert not long


@pytest.mark.parametrize(("lines", "fits"), [(49, True), (50, True), (51, False)])
def test_length_of_a_function_leaves_its_docstring_out(lines: int, fits: bool) -> None:
    body = "\n".join(["    x = 1"] * lines)
    tree = ast.parse(f'def f():\n    """Do.\n\n    More.\n    """\n{body}\n')
    function = tree.body[0]
    assert isinstance(function, ast.FunctionDef)
    assert (_code_length(function) <= LONGEST_FUNCTION) is fits


def test_every_file_opens_with_one_sentence() -> None:
    openings = {short(p): (ast.get_docstring(parsed(p)) or "").strip() for p in python_files()}
    first = {name: text.split("\n\n")[0] for name, text in openings.items()}
    wrong = [name for name, text in first.items() if not _is_one_sentence(text)]
    assert not wrong


def _is_one_sentence(text: str) -> bool:
    return text.endswith(".") and re.search(r"[.!?]\s+[A-Z]", text) is None


def test_opening_sentence_is_told_from_none_and_from_two() -> None:
    assert _is_one_sentence("Draws the map.")
    assert not _is_one_sentence("")
    assert not _is_one_sentence("Draws the map. Reads the book.")


def test_no_file_is_a_drawer() -> None:
    named = [short(p) for p in tracked_files() if {p.stem, *p.relative_to(REPOSITORY).parts[:-1]} & DRAWERS]
    assert not named


def test_top_level_holds_only_what_it_may() -> None:
    first = {p.relative_to(REPOSITORY).parts[0] for p in tracked_files()}
    assert {name for name in first if not name.startswith(".")} <= TOP_LEVEL


def test_no_machine_path_or_registry_address_is_kept() -> None:
    texts = [p for p in tracked_files() if p.suffix in TEXT_SUFFIXES]
    found = [
        f"{short(path)}: {match.group()}"
        for path in texts
        for match in MACHINE_MARKS.finditer(path.read_text("utf-8", errors="replace"))
        if path != Path(__file__)
    ]
    assert not found


def test_tests_mirror_the_rooms() -> None:
    rooms = {p.name for p in (REPOSITORY / "sitebook").iterdir() if p.is_dir() and p.name != "__pycache__"}
    mirrored = {p.name for p in (REPOSITORY / "tests").iterdir() if p.is_dir() and p.name != "__pycache__"}
    assert mirrored - rooms <= {"house", "journeys", "benchmarks", "demo_data", "docs", "migrations"}
