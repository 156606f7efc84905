"""Writes the pages of docs/ that are made from the code and the tests."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from sitebook.outgo.table import tables_page
from tests.house import checks_page, glossary_page, map_tags_page, schema_page
from tests.house.source_files import REPOSITORY

PAGES: dict[Path, Callable[[], str]] = {
    checks_page.PAGE: checks_page.drawn,
    glossary_page.PAGE: glossary_page.drawn,
    map_tags_page.PAGE: map_tags_page.drawn,
    schema_page.PAGE: schema_page.drawn,
    REPOSITORY / "docs" / "formats" / "table.md": tables_page,
}
"""Each made page with what makes it."""

if __name__ == "__main__":
    for path, draw in PAGES.items():
        path.write_text(draw(), encoding="utf-8", newline="\n")
