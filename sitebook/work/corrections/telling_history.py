"""Tells everything that happened to one record, oldest first."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from sitebook.records.find import Determination, FindHost
from sitebook.records.history import Change
from sitebook.records.import_batch import ImportBatch
from sitebook.records.kinds import table_name
from sitebook.records.results.corrections import History, HistoryLine
from sitebook.records.standing import Row
from sitebook.store import acts, history, rows
from sitebook.store.acts import Done
from sitebook.store.book import Book
from sitebook.work.answer import Answer
from sitebook.work.asking import require_kind
from sitebook.work.bring_in.names import Names, names_in
from sitebook.work.corrections.finding import (
    called,
    correctable,
    is_withdrawn,
    standing_record,
    value_words,
    withdrawn_record,
)

_QUIET = frozenset(("batch_id",))


def of_record(book: Book, kind: str, name: str) -> Answer[History]:
    """Answer what happened to one record, withdrawn or not; to a find also what it was named.

    Raises
    ------
    BadArgument, RecordMissing, NameAmbiguous
        When the kind has no history, or none, or several, bear the name.
    """
    require_kind(kind)
    correctable(kind)
    names = names_in(book)
    if is_withdrawn(book, kind, name) and not names.find(kind, name):
        record = withdrawn_record(book, kind, name)
    else:
        record = standing_record(book, kind, name, names)
    files = {b.id: b.file_name for b in rows.records(book, ImportBatch)}
    commands = {act.key: act for act in acts.all_acts(book)}
    lines = list(_lines(book, record, names, files, commands))
    for part in _parts(book, record):
        whose = called(part, names)
        told = _lines(book, part, names, files, commands)
        lines += [HistoryLine(line.made_at, f"{whose}: {line.words}") for line in told]
    lines.sort(key=lambda line: line.made_at)
    return Answer(History(kind, called(record, names), tuple(lines)))


def _parts(book: Book, record: Row) -> Iterator[Row]:
    if table_name(type(record)) != "find":
        return
    for kind in (Determination, FindHost):
        table = rows.table_for(kind)
        yield from rows.records(book, kind, table.c.find_id == record.id, withdrawn=True)


def _lines(
    book: Book, record: Row, names: Names, files: dict[int | None, str], commands: dict[str, Done]
) -> Iterator[HistoryLine]:
    changes = history.of_row(book, table_name(type(record)), history.row_key(record))
    yield HistoryLine(getattr(record, "created_at"), _beginning(record, changes, files))  # noqa: B009
    by_act: dict[str, list[Change]] = {}
    for change in changes:
        if change.column_name not in (*_QUIET, history.MADE):
            by_act.setdefault(change.act, []).append(change)
    for of_act in by_act.values():
        told = "; ".join(_told(record, of_act, names))
        yield HistoryLine(of_act[0].made_at, f"{_command(of_act[0], files, commands)}: {told}")


def _beginning(record: Row, changes: Sequence[Change], files: dict[int | None, str]) -> str:
    first = next((c.old_value for c in changes if c.column_name == "batch_id"), None)
    batch_id = int(first) if first is not None else getattr(record, "batch_id", None)
    made_by = next((c.command_name for c in changes if c.column_name == history.MADE), None)
    if batch_id is not None and made_by is None:
        return f"brought in with {files.get(batch_id, 'a file')}"
    return f"made by {made_by}" if made_by else "there from the beginning"


def _command(change: Change, files: dict[int | None, str], commands: dict[str, Done]) -> str:
    if change.batch_id is not None:
        return f"import of {files.get(change.batch_id, 'a file')}"
    if change.undoes is None:
        return change.command_name
    undone = commands.get(change.undoes)
    if undone is None:
        return "undo of its import"
    return f"undo of {undone.command_name}" if undone.undoes is None else "undo taken back"


def _told(record: Row, of_act: Iterable[Change], names: Names) -> Iterator[str]:
    kind = table_name(type(record))
    for change in of_act:
        if change.column_name == "withdrawn_at":
            yield "withdrawn" if change.new_value is not None else "brought back"
            continue
        old, new = (
            value_words(kind, change.column_name, history.from_text(kind, change.column_name, text), names)
            for text in (change.old_value, change.new_value)
        )
        yield f"{change.column_name} {old} → {new}"
