"""Prints answers for a person: aligned columns, and a progress line where there is a terminal."""

from __future__ import annotations

import sys
from collections.abc import Mapping, Sequence

import click

WIDEST = 40


def words(value: object) -> str:
    """Give a value in words: nothing for nothing, yes or no, a position for a geometry."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:g}"
    centroid = getattr(value, "centroid", None)
    if centroid is not None:
        kind = getattr(value, "geom_type", "").lower()
        return f"{centroid.x:.5f},{centroid.y:.5f}" + ("" if kind == "point" else f" ({kind})")
    return printable(str(value))


def printable(text: str) -> str:
    """Give a text on one line, without the signs that a terminal would obey."""
    return "".join(sign for sign in " ".join(text.split()) if sign.isprintable())


def numbered(how_many: int, what: str) -> str:
    """Give a number with its noun, which is given in the plural and ends in s."""
    return f"{how_many:,} {what.removesuffix('s') if how_many == 1 else what}"


NEVER_CUT = frozenset({"excluding_character", "value_text", "meaning", "reason"})
"""Columns whose last words may be the ones that matter; a long one stands whole below its row."""


def table(columns: Sequence[str], rows: Sequence[Mapping[str, object]]) -> None:
    """Print rows in aligned columns, columns that are empty throughout left out."""
    whole = [
        [words(row.get(c) if c in row else row.get(c.removesuffix("_id"))) for c in columns] for row in rows
    ]
    below = [i for i, c in enumerate(columns) if c in NEVER_CUT and any(len(r[i]) > WIDEST for r in whole)]
    cells = [[_cut(cell) for cell in row] for row in whole]
    filled = [i for i in range(len(columns)) if i not in below and any(line[i] for line in cells)]
    heads = [columns[i].removesuffix("_id") for i in filled]
    widths = [
        max(len(head), *(len(line[i]) for line in cells)) if cells else len(head)
        for i, head in zip(filled, heads, strict=True)
    ]
    click.echo("  ".join(head.ljust(width) for head, width in zip(heads, widths, strict=True)).rstrip())
    for line, row in zip(cells, whole, strict=True):
        click.echo("  ".join(line[i].ljust(w) for i, w in zip(filled, widths, strict=True)).rstrip())
        for i in (i for i in below if row[i]):
            click.echo(f"      {row[i]}")


def _cut(text: str) -> str:
    return text if len(text) <= WIDEST else text[: WIDEST - 1] + "…"


def counted(counts: Mapping[str, int]) -> str:
    """Say how many records of which kind."""
    from sitebook.records.kinds import numbered as of_kind

    return ", ".join(of_kind(how_many, table) for table, how_many in counts.items())


def progress(what: str, done: int, steps: int) -> None:
    """Print how far it is on one line of the terminal; nothing where the output is a file."""
    if not sys.stderr.isatty():
        return
    end = "\n" if done >= steps else ""
    click.echo(f"\r\x1b[K{what} {done}/{steps}{end}", nl=False, err=True)
