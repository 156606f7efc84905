"""Makes docs/glossary.md: every term and every field once, with its unit and its source."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from pathlib import Path

from sitebook import vocabulary
from sitebook.quantities import UNITS
from sitebook.records.columns import Meaning, meanings
from sitebook.records.kinds import KINDS
from sitebook.records.standing import Mapped, Standing
from sitebook.vocabulary import Words
from tests.house.source_files import REPOSITORY

PAGE = REPOSITORY / "docs" / "glossary.md"
TERMS = Path(__file__).parent / "terms.csv"
STANDARDS = Path(__file__).parent / "field_standards.csv"

OPENING = """# Glossary

This page is made from the records, the controlled words and `tests/house/terms.csv` by
`.venv/bin/python -m tests.house.write_docs`; do not edit it. "ours" means that no open standard has the term.
"""


def read_table(path: Path) -> list[dict[str, str]]:
    """Give the rows of a csv as mappings."""
    with path.open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


def fields() -> dict[str, dict[str, dict[str, Meaning]]]:
    """Give each field with what it holds, and for each the tables that hold it so."""
    found: dict[str, dict[str, dict[str, Meaning]]] = {}
    for table, record in KINDS.items():
        for name, meaning in meanings(record).items():
            found.setdefault(name, {}).setdefault(meaning.doc, {})[table] = meaning
    return dict(sorted(found.items()))


def _where(name: str, tables: list[str]) -> str:
    for shared, word in ((Standing, "every record of hers"), (Mapped, "everything from the map")):
        holders = [table for table, record in KINDS.items() if issubclass(record, shared)]
        if name in meanings(shared) and set(holders) <= set(tables):
            return ", ".join([word, *(table for table in tables if table not in holders)])
    return "every table" if name == "id" else ", ".join(tables)


def _standard(name: str, meaning: Meaning, standards: dict[str, str]) -> str:
    if meaning.words is not None:
        return meaning.words.standard
    return standards.get(name, "ours")


def _field_rows() -> Iterator[str]:
    standards = {row["field"]: row["standard"] for row in read_table(STANDARDS)}
    for name, told in fields().items():
        docs = "; ".join(f"{doc} ({_where(name, list(tables))})" for doc, tables in told.items())
        all_told = [meaning for tables in told.values() for meaning in tables.values()]
        units = ", ".join(sorted({m.unit for m in all_told if m.unit}))
        sources = "; ".join(dict.fromkeys(_standard(name, m, standards) for m in all_told))
        yield f"| `{name}` | {docs} | {units} | {sources} |"


def _word_lists() -> Iterator[str]:
    lists = [value for value in vars(vocabulary).values() if isinstance(value, Words)]
    for words in lists:
        yield f"\n### {words.name}\n"
        yield f"Source: {words.standard}.\n"
        yield from (f"- `{word}`: {meaning}" for word, meaning in words.meanings.items())


def drawn() -> str:
    """Draw the page."""
    lines = [OPENING.rstrip(), "\n## Terms\n", "| term | meaning | unit | source |", "|---|---|---|---|"]
    terms = sorted(read_table(TERMS), key=lambda row: row["term"].casefold())
    lines += [f"| {t['term']} | {t['meaning']} | {t['unit']} | {t['source']} |" for t in terms]
    lines += ["\n## Units\n", "| suffix | printed as | quantity |", "|---|---|---|"]
    lines += [f"| `_{suffix}` | {unit.symbol} | {unit.quantity} |" for suffix, unit in UNITS.items()]
    lines += ["\n## Fields\n", "| field | meaning | unit | source |", "|---|---|---|---|", *_field_rows()]
    lines += ["\n## Controlled words", *_word_lists()]
    return "\n".join(lines) + "\n"
