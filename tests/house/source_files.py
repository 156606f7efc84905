"""Finds the files of the project that the tests of the house read."""

from __future__ import annotations

import ast
import shutil
import subprocess
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

REPOSITORY = Path(__file__).resolve().parents[2]
UNTRACKED_ROOMS = (".venv", "__pycache__", ".git")
CODE_ROOMS = ("sitebook", "migrations", "tests", "demo_data", "docs")


def tracked_files() -> list[Path]:
    """Give every file of the project that git keeps or would keep; without git, all but the ignored rooms."""
    git = shutil.which("git")
    if git is not None and (REPOSITORY / ".git").exists():
        command = [git, "ls-files", "--cached", "--others", "--exclude-standard"]
        done = subprocess.run(command, cwd=REPOSITORY, capture_output=True, text=True, check=True)
        return [path for name in done.stdout.splitlines() if (path := REPOSITORY / name).is_file()]
    return [p for p in REPOSITORY.rglob("*") if p.is_file() and not set(UNTRACKED_ROOMS) & set(p.parts)]


def python_files(*rooms: str) -> list[Path]:
    """Give the Python files below the named top folders, all rooms of code when none is named."""
    folders = [REPOSITORY / room for room in rooms or CODE_ROOMS]
    return sorted(path for folder in folders for path in folder.rglob("*.py"))


def short(path: Path) -> str:
    """Give a path as it is written in a message."""
    return path.relative_to(REPOSITORY).as_posix()


def parsed(path: Path) -> ast.Module:
    """Give the syntax tree of a Python file."""
    return ast.parse(path.read_text(encoding="utf-8"), filename=str(path))


@dataclass(frozen=True)
class Text:
    """One string that stands in a source file."""

    path: Path
    line_number: int
    words: str

    def __str__(self) -> str:
        return f"{short(self.path)}:{self.line_number}: {self.words!r}"


def _docstrings(tree: ast.Module) -> set[int]:
    bare = (node.value for node in ast.walk(tree) if isinstance(node, ast.Expr))
    return {id(value) for value in bare if isinstance(value, ast.Constant)}


def strings(path: Path) -> Iterator[Text]:
    """Give each string of a Python file that is no docstring."""
    tree = parsed(path)
    documentation = _docstrings(tree)
    for node in ast.walk(tree):
        is_text = isinstance(node, ast.Constant) and isinstance(node.value, str)
        if is_text and id(node) not in documentation:
            assert isinstance(node, ast.Constant)
            yield Text(path, node.lineno, str(node.value))
