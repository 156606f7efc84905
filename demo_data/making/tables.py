"""Writes rows as the CSV tables of a book."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping


def table(kind: str, header: Iterable[str], rows: Iterable[Mapping[str, str]]) -> str:
    """Write rows with a first line that says which kind of record they are."""
    return f"# sitebook table: {kind}\n" + delimited(header, rows, ",")


def delimited(header: Iterable[str], rows: Iterable[Mapping[str, str]], delimiter: str) -> str:
    """Write a header and rows; a missing cell stays empty."""
    out = io.StringIO()
    names = list(header)
    writer = csv.writer(out, delimiter=delimiter, lineterminator="\n")
    writer.writerow(names)
    writer.writerows([row.get(name, "") for name in names] for row in rows)
    return out.getvalue()
