"""Tests that every error has a paragraph with its cause and its cure, and is told in one line."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from sitebook.errors import SitebookError
from tests.house.source_files import python_files

HEADING = re.compile(r"^## (\S+)$", re.MULTILINE)


def _kinds(base: type[SitebookError] = SitebookError) -> Iterator[type[SitebookError]]:
    yield base
    for kind in base.__subclasses__():
        yield from _kinds(kind)


def _paragraphs(repository: Path) -> dict[str, str]:
    parts = HEADING.split((repository / "docs" / "messages.md").read_text("utf-8"))
    return dict(zip(parts[1::2], parts[2::2], strict=True))


def test_every_error_has_a_slug_of_its_own() -> None:
    slugs = [kind.slug for kind in _kinds()]
    assert len(slugs) == len(set(slugs))


def test_every_slug_has_a_paragraph_and_every_paragraph_a_slug(repository: Path) -> None:
    assert set(_paragraphs(repository)) == {kind.slug for kind in _kinds()}


def test_every_paragraph_says_cause_and_cure(repository: Path) -> None:
    lacking = {
        slug
        for slug, text in _paragraphs(repository).items()
        if not {"**Cause.**", "**Cure.**"} <= set(re.findall(r"\*\*\w+\.\*\*", text))
    }
    assert not lacking


def test_every_error_is_raised_somewhere() -> None:
    code = "".join(p.read_text("utf-8") for p in python_files("sitebook") if p.name != "errors.py")
    kinds = set(_kinds()) - {SitebookError}
    assert not [kind.__name__ for kind in kinds if not re.search(rf"\b{kind.__name__}\(", code)]


@pytest.mark.parametrize("kind", list(_kinds()))
def test_an_error_is_told_in_one_line(kind: type[SitebookError]) -> None:
    told = str(kind("a thing\nis wrong", where="file.csv, line 3", remedy="Mend it."))
    assert told == f"file.csv, line 3: a thing is wrong. Mend it. [{kind.slug}]"
