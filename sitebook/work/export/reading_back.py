"""Reads the tables of an export back before they are given out, and says what would not come in again."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path

from sitebook.intake.table import read_table
from sitebook.intake.weather import read_weather
from sitebook.outgo.table import WEATHER
from sitebook.records.columns import meanings
from sitebook.records.incoming import Draft
from sitebook.records.kinds import KINDS
from sitebook.records.standing import Row, Standing
from sitebook.store import rows
from sitebook.store.book import Book
from sitebook.work.bring_in.keeping import same

FEW = 3


def read_back(book: Book, tables: Mapping[str, Path], zone: str) -> tuple[str, ...]:
    """Compare what the tables say with what the book holds; gives a sentence for each that differs.

    Parameters
    ----------
    book
        The open book the tables were written of.
    tables
        File by kind of table.
    zone
        Zone of the book's dates.
    """
    return tuple(
        f"{path.name}: {fault}"
        for kind, path in tables.items()
        for fault in _few(list(_faults(book, kind, path, zone)))
    )


def _few(faults: list[str]) -> list[str]:
    return faults if len(faults) <= FEW else [*faults[:FEW], f"and {len(faults) - FEW} more like these"]


def _faults(book: Book, kind: str, path: Path, zone: str) -> Iterator[str]:
    reading = read_weather(path, zone=zone) if kind == WEATHER else read_table(path, zone=zone)
    for line in reading.refused:
        yield f"an import would refuse line {line.line_number}: {line.reason}"
    record_kind = KINDS.get(kind, Row)
    if not issubclass(record_kind, Standing):
        return
    drafts = [d for d in reading.drafts if d.kind == kind]
    kept = rows.by_uuid(book, record_kind, (str(d.values["uuid"]) for d in drafts))
    for draft in drafts:
        record = kept[str(draft.values["uuid"])]
        changed = [
            c for c in _compared(draft, record_kind) if not same(getattr(record, c), draft.values.get(c))
        ]
        if changed:
            yield f"line {draft.line_number} would come back with another {changed[0]}"


def _compared(draft: Draft, kind: type[Standing]) -> list[str]:
    aside = set(meanings(Standing)) | {name for name, meaning in meanings(kind).items() if meaning.refers}
    return [name for name in meanings(kind) if name not in aside and name not in draft.refers]
