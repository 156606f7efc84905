"""Tests that the README holds its two commands, and that every link between pages leads somewhere."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

COMMANDS = (
    "python3 -m venv .venv && .venv/bin/python -m pip install . && .venv/bin/sitebook demo --to island",
    'python3 -m venv .venv && .venv/bin/python -m pip install -e ".[test]" && .venv/bin/python -m pytest',
)
LINK = re.compile(r"\]\(([^)#\s]+)(?:#[^)]*)?\)")
TWO_SCREENS = 130


@pytest.mark.parametrize("command", COMMANDS)
def test_readme_holds_the_command(command: str, repository: Path) -> None:
    assert f"    {command}\n" in (repository / "README.md").read_text("utf-8")


def test_every_link_leads_somewhere(repository: Path) -> None:
    pages = [repository / "README.md", repository / "DEVELOPERS.md", *(repository / "docs").rglob("*.md")]
    broken = [
        f"{page.name}: {link}"
        for page in pages
        for link in LINK.findall(page.read_text("utf-8"))
        if "://" not in link and not (page.parent / link).exists()
    ]
    assert not broken


def test_every_page_of_docs_is_reached_from_the_readme(repository: Path) -> None:
    linked = "".join((repository / name).read_text("utf-8") for name in ("README.md", "docs/formats.md"))
    pages = (repository / "docs").rglob("*.md")
    assert not [page.name for page in pages if f"{page.name})" not in linked]


def test_developers_page_fits_two_screens(repository: Path) -> None:
    assert len((repository / "DEVELOPERS.md").read_text("utf-8").splitlines()) <= TWO_SCREENS
