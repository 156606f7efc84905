"""Tests that every page of docs/ that is made from code or tests is current."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.house.write_docs import PAGES


@pytest.mark.parametrize("path", list(PAGES), ids=lambda path: path.name)
def test_made_page_is_current(path: Path) -> None:
    assert path.read_text("utf-8") == PAGES[path](), "run: .venv/bin/python -m tests.house.write_docs"
