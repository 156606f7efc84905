"""Writes the pages of docs/ that are made from the code and the tests."""

from __future__ import annotations

from tests.house import checks_page, glossary_page, schema_page

PAGES = (checks_page, glossary_page, schema_page)

if __name__ == "__main__":
    for page in PAGES:
        page.PAGE.write_text(page.drawn(), encoding="utf-8", newline="\n")
