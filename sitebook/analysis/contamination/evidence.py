"""What speaks for and against reading much into a class, from the cited table."""

from __future__ import annotations

from functools import cache

from sitebook.reference import reader


@cache
def evidence() -> tuple[str, ...]:
    """Give each finding in a sentence with its source and mark, what speaks against first."""
    order = {"against": 0, "limits": 1, "for": 2}
    rows = sorted(reader.rows("evidence"), key=lambda row: order[row["speaks"]])
    return tuple(f"{row['said']} {_said(row)}" for row in rows)


def _said(row: dict[str, str]) -> str:
    if row["mark"] == "our choice":
        return "[our reading]"
    place = f", {row['locator']}" if row["locator"] else ""
    return f"[{row['cited_as']}{place} ({row['source_key']}); {row['mark']}]"
