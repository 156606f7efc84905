"""Makes docs/checks.md from the `source` markers of the tests."""

from __future__ import annotations

import ast
import csv
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from sitebook.citations import MARKS
from tests.house.source_files import REPOSITORY, parsed, python_files, short

PAGE = REPOSITORY / "docs" / "checks.md"
ITEMS = Path(__file__).parent / "items.csv"
LEFT_OUT = Path(__file__).parent / "left_out.csv"
KEYS = ("item", "what", "value", "source", "mark")

OPENING = """# Checks against the outside

This page is made from the tests by `.venv/bin/python -m tests.house.write_docs`; do not edit it.

Each check compares sitebook with something this project did not make: a published figure, another program's
output, or arithmetic done by other means. The mark says how well the outside value is known.

| mark | meaning |
|---|---|
| confirmed | read in the source named |
| secondary | read where another work quotes the source |
| computed | by arithmetic from confirmed values, or by independent means |
| common practice | used in the trade, no source |
| our choice | set by this project |
| memory | not confirmed in any source |
"""


@dataclass(frozen=True)
class Check:
    """One check against the outside, as its test declares it.

    Parameters
    ----------
    item
        Number in the list of check values, as C5 or S22; empty for any other source.
    what
        What is compared.
    value
        The outside value.
    source
        Who gives it.
    mark
        How well it is known.
    place
        File and test.
    """

    item: str
    what: str
    value: str
    source: str
    mark: str
    place: str


def _is_marker(node: ast.AST) -> bool:
    return isinstance(node, ast.Call) and ast.unparse(node.func) == "pytest.mark.source"


def _spelled(node: ast.expr, constants: dict[str, str]) -> str | None:
    if isinstance(node, ast.Constant):
        return str(node.value)
    return constants.get(node.id) if isinstance(node, ast.Name) else None


def _constants(tree: ast.Module) -> dict[str, str]:
    return {
        node.targets[0].id: str(node.value.value)
        for node in tree.body
        if isinstance(node, ast.Assign)
        and isinstance(node.targets[0], ast.Name)
        and isinstance(node.value, ast.Constant)
    }


def _check(call: ast.Call, place: str, constants: dict[str, str]) -> Check:
    spelled = {str(k.arg): _spelled(k.value, constants) for k in call.keywords}
    given = {key: value for key, value in spelled.items() if value is not None}
    if call.args or sorted(given) != sorted(KEYS):
        raise ValueError(f"{place}: a source marker takes {', '.join(KEYS)}, each by name and written out")
    if given["mark"] not in MARKS:
        raise ValueError(f"{place}: {given['mark']!r} is not one of {', '.join(MARKS)}")
    return Check(**given, place=place)


def _named_tests(tree: ast.Module) -> Iterator[tuple[ast.AST, str]]:
    for node in tree.body:
        if isinstance(node, ast.FunctionDef | ast.ClassDef):
            yield node, node.name
        else:
            yield node, "whole file"


def checks() -> list[Check]:
    """Give every declared check, in the order of the files."""
    return [
        _check(call, f"{short(path)}, {name}", _constants(tree))
        for path in python_files("tests")
        for tree in [parsed(path)]
        for node, name in _named_tests(tree)
        for call in ast.walk(node)
        if _is_marker(call) and isinstance(call, ast.Call)
    ]


def read_pairs(path: Path) -> dict[str, str]:
    """Give a csv of two columns as a mapping; an item that stands twice is an error."""
    with path.open(encoding="utf-8", newline="") as lines:
        rows = list(csv.reader(lines))[1:]
    pairs = dict(rows)
    if len(pairs) != len(rows):
        raise ValueError(f"{path.name}: an item stands twice")
    return pairs


def _cell(text: str) -> str:
    return " ".join(text.split()).replace("|", "\\|")


def _check_rows(found: list[Check], title: str) -> Iterator[str]:
    for check in found:
        what = check.what if not title else f"{title}: {check.what}"
        cells = [check.item, what, check.value, check.source, check.mark, f"`{check.place}`"]
        yield f"| {' | '.join(_cell(c) for c in cells)} |"


def _table(letter: str, heading: str, found: list[Check]) -> Iterator[str]:
    titles = {k: v for k, v in read_pairs(ITEMS).items() if k.startswith(letter)}
    reasons = read_pairs(LEFT_OUT)
    by_item = {item: [c for c in found if c.item == item] for item in titles}
    tested = sum(bool(rows) for rows in by_item.values())
    yield f"\n## {heading}\n"
    yield f"{tested} of {len(titles)} values are tested; the others say why not.\n"
    yield "| item | what | outside value | source | mark | where tested, or why left out |"
    yield "|---|---|---|---|---|---|"
    for item, title in titles.items():
        yield from _check_rows(by_item[item], title)
        if not by_item[item]:
            reason = reasons.get(item, "no reason given")
            yield f"| {item} | {_cell(title)} | | | | left out: {_cell(reason)} |"


def drawn() -> str:
    """Draw the page."""
    found = checks()
    lines = [OPENING.rstrip()]
    lines += _table("C", "Contamination", found)
    lines += _table("S", "Season and weather", found)
    lines += ["\n## Data sets, formats and other programs\n"]
    lines += ["| item | what | outside value | source | mark | where tested |", "|---|---|---|---|---|---|"]
    lines += _check_rows([c for c in found if not c.item], "")
    return "\n".join(lines) + "\n"
