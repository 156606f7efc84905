"""Tests that the library prints nothing, asks nothing, reads no clock, and knows no network."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.house.source_files import REPOSITORY, parsed, python_files, short

MEET_A_PERSON = ("commands", "__main__.py")
ONLY_AT_THE_DOOR = {
    "print",
    "input",
    "exit",
    "quit",
    "breakpoint",
    "sys.exit",
    "sys.stdout",
    "sys.stderr",
    "sys.stdin",
    "sys.argv",
    "os.environ",
    "os.getenv",
    "time.time",
    "datetime.now",
    "datetime.today",
    "datetime.utcnow",
    "date.today",
    "datetime.datetime.now",
    "datetime.datetime.today",
    "datetime.datetime.utcnow",
    "datetime.date.today",
    "Path.cwd",
    "Path.home",
    "os.getcwd",
}
NETWORK = {"socket", "ssl", "http", "urllib.request", "requests", "httpx", "aiohttp", "ftplib", "smtplib"}


def _is_at_the_door(path: Path) -> bool:
    return path.relative_to(REPOSITORY / "sitebook").parts[0] in MEET_A_PERSON


def _used(tree: ast.Module) -> Iterator[tuple[str, int]]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Attribute | ast.Name):
            yield ast.unparse(node), node.lineno


def _imported(tree: ast.Module) -> Iterator[tuple[str, int]]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from ((alias.name, node.lineno) for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            yield node.module, node.lineno
            yield from ((f"{node.module}.{alias.name}", node.lineno) for alias in node.names)


def _bad_manners(tree: ast.Module) -> list[tuple[str, int]]:
    return [(name, line) for name, line in _used(tree) if name in ONLY_AT_THE_DOOR]


def _network(tree: ast.Module) -> list[tuple[str, int]]:
    return [(n, line) for n, line in _imported(tree) if {n, n.split(".")[0]} & NETWORK]


def test_only_commands_meet_a_person() -> None:
    inside = [path for path in python_files("sitebook") if not _is_at_the_door(path)]
    found = [f"{short(p)}:{line}: {name}" for p in inside for name, line in _bad_manners(parsed(p))]
    assert not found


def test_nothing_knows_the_network() -> None:
    found = [
        f"{short(p)}:{line}: {name}" for p in python_files("sitebook") for name, line in _network(parsed(p))
    ]
    assert not found


@pytest.mark.parametrize("line", ["print('x')", "x = datetime.datetime.now(tz)", "os.environ['A']"])
def test_bad_manners_are_seen(line: str) -> None:
    assert _bad_manners(ast.parse(line))


@pytest.mark.parametrize(
    "line", ["import socket", "from urllib.request import urlopen", "from urllib import request"]
)
def test_network_is_seen(line: str) -> None:
    assert _network(ast.parse(line))
