"""Tests that every cited source stands in the bibliography, and that nothing else stands there twice."""

from __future__ import annotations

import ast
import csv
import re
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

from sitebook.citations import MARKS
from tests.house.source_files import parsed, python_files, short

UNSOURCED = {"", "ours", "not confirmed", "memory"}
BIB_KEY = re.compile(r"^@\w+\{\s*([^,\s]+)\s*,", re.MULTILINE)
SOURCE_KEY_PLACE = 2


def _bibliography(repository: Path) -> list[str]:
    return BIB_KEY.findall((repository / "docs" / "references.bib").read_text("utf-8"))


def _table_rows(path: Path) -> list[dict[str, str]]:
    lines = [x for x in path.read_text("utf-8").splitlines() if not x.startswith("#")]
    return list(csv.DictReader(lines, restkey="overflow"))


def _tables(repository: Path) -> list[Path]:
    return sorted((repository / "sitebook" / "reference").rglob("*.csv"))


def _keys_of_tables(repository: Path) -> Iterator[tuple[str, str]]:
    for path in _tables(repository):
        for row in _table_rows(path):
            for name, value in row.items():
                if name.endswith("source_key"):
                    yield from ((key.strip(), short(path)) for key in value.split(";"))


def _keys_of_code() -> Iterator[tuple[str, str]]:
    for path in python_files("sitebook"):
        calls = (n for n in ast.walk(parsed(path)) if isinstance(n, ast.Call))
        for call in calls:
            if ast.unparse(call.func).split(".")[-1] != "Cited":
                continue
            named = [k.value for k in call.keywords if k.arg == "source_key"]
            given = named or call.args[SOURCE_KEY_PLACE : SOURCE_KEY_PLACE + 1]
            yield from ((str(v.value), short(path)) for v in given if isinstance(v, ast.Constant))


def test_every_source_key_is_in_the_bibliography(repository: Path) -> None:
    known = set(_bibliography(repository)) | UNSOURCED
    cited = {*_keys_of_tables(repository), *_keys_of_code()}
    assert cited, "no table cites anything: the test looks in the wrong place"
    assert not {(key, place) for key, place in cited if key not in known}


def test_no_key_stands_twice_in_the_bibliography(repository: Path) -> None:
    twice = [key for key, times in Counter(_bibliography(repository)).items() if times > 1]
    assert not twice


def test_every_mark_in_a_table_is_one_of_the_set(repository: Path) -> None:
    found = {
        (value, short(path))
        for path in _tables(repository)
        for row in _table_rows(path)
        for name, value in row.items()
        if name.endswith("mark")
    }
    assert not {(mark, place) for mark, place in found if mark and mark not in MARKS}


def test_our_choices_and_only_they_are_marked_so(repository: Path) -> None:
    wrong = [
        f"{short(path)}: {row}"
        for path in _tables(repository)
        for row in _table_rows(path)
        for name in row
        if name.endswith("source_key") and row[name] not in UNSOURCED - {"ours"}
        if (row[name] == "ours") != (row.get(name.replace("source_key", "mark")) == "our choice")
    ]
    assert not wrong
