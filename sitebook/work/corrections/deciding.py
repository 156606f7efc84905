"""Lists the conflicts, and lets one of two values stand."""

from __future__ import annotations

import datetime

from sitebook import errors
from sitebook.records.history import Conflict
from sitebook.records.import_batch import ImportBatch
from sitebook.records.kinds import KINDS
from sitebook.records.results.corrections import ConflictLine
from sitebook.store import history, rows
from sitebook.store.book import Book
from sitebook.store.history import Act, acting
from sitebook.vocabulary import DECISION
from sitebook.work.answer import Answer
from sitebook.work.bring_in.names import Names, names_in
from sitebook.work.corrections import consistency
from sitebook.work.corrections.finding import called, value_words


def conflicts(book: Book, *, decided: bool = False) -> Answer[tuple[ConflictLine, ...]]:
    """Answer the conflicts that wait for her, or those she decided."""
    table = rows.table_for(Conflict)
    wanted = table.c.decided.is_not(None) if decided else table.c.decided.is_(None)
    names, files = names_in(book), {b.id: b.file_name for b in rows.records(book, ImportBatch)}
    found = rows.records(book, Conflict, wanted)
    return Answer(tuple(_line(book, conflict, names, files) for conflict in found))


def decide(book: Book, conflict_id: int, which: str, *, now: datetime.datetime) -> Answer[ConflictLine]:
    """Let the value of the book stand, or the one that came in.

    Raises
    ------
    BadArgument
        When neither is said.
    RecordMissing
        When no conflict has the key.
    ValueImpossible
        When she decided it before, or the other value does not go with the rest of the book.
    """
    if which not in DECISION:
        raise errors.BadArgument(
            f"'{which}' is no decision", remedy=f"Say one of: {', '.join(DECISION.all)}."
        )
    found = rows.records(book, Conflict, rows.table_for(Conflict).c.id == conflict_id)
    if not found:
        raise errors.RecordMissing(
            f"no conflict has the key {conflict_id}",
            where=str(book.path),
            remedy="See `sitebook decide` for those that wait.",
        )
    conflict, names = found[0], names_in(book)
    if conflict.decided is not None:
        raise errors.ValueImpossible(
            f"conflict {conflict_id} was decided before ({conflict.decided})",
            remedy="Set the value with `sitebook change`, or take the decision back with `sitebook undo`.",
        )
    with acting(book, Act("decide", now)):
        if which == "theirs":
            _let_theirs_stand(book, conflict, names)
        history.amend(book, conflict, {"decided": which, "decided_at": now})
    (after,) = rows.records(book, Conflict, rows.table_for(Conflict).c.id == conflict_id)
    files = {b.id: b.file_name for b in rows.records(book, ImportBatch)}
    return Answer(_line(book, after, names, files))


def _let_theirs_stand(book: Book, conflict: Conflict, names: Names) -> None:
    record = history.record_at(book, conflict.table_name, conflict.row_uuid)
    if record is None:
        raise errors.RecordMissing(
            "the record is not there any more", where=str(book.path), remedy="Let ours stand."
        )
    column = conflict.column_name
    values = {column: history.from_text(conflict.table_name, column, conflict.their_value)}
    consistency.require(book, record, values, names)
    history.amend(book, record, values)


def _line(book: Book, conflict: Conflict, names: Names, files: dict[int | None, str]) -> ConflictLine:
    kind, column = conflict.table_name, conflict.column_name
    record = history.record_at(book, kind, conflict.row_uuid)

    def words(text: str | None) -> str:
        return value_words(kind, column, history.from_text(kind, column, text), names)

    ours = conflict.our_value
    if conflict.decided is None and record is not None:
        ours = history.as_text(getattr(record, column))
    return ConflictLine(
        conflict_id=conflict.id or 0,
        kind=kind,
        called=called(record, names) if record is not None else KINDS[kind].__name__,
        column=column,
        base=words(conflict.base_value) if conflict.base_value is not None else "not known",
        ours=words(ours),
        theirs=words(conflict.their_value),
        came_with=files.get(conflict.batch_id, "an undo"),
        decided=conflict.decided,
    )
