"""Tests that every table shown on a page of docs/formats is one that is read."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from sitebook.intake.table import read_table

PAGES = ("spraying", "lab_test", "hazard", "traffic_count")
BLOCK = re.compile(r"^```\n(# sitebook table: .*?)^```", re.MULTILINE | re.DOTALL)


@pytest.mark.parametrize("page", PAGES)
def test_the_table_shown_is_read_whole(page: str, repository: Path, tmp_path: Path) -> None:
    (text,) = BLOCK.findall((repository / "docs" / "formats" / f"{page}.md").read_text("utf-8"))
    path = tmp_path / "shown.csv"
    path.write_text(text, "utf-8")
    reading = read_table(path)
    assert reading.sorted_lines == ()
    assert [draft.kind for draft in reading.drafts].count(page) == len(text.splitlines()) - 2
