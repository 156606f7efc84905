"""Takes back the last acts or one import, and brings back what an undo took."""

from __future__ import annotations

import datetime
from collections.abc import Mapping

from sitebook import errors
from sitebook.records.results.corrections import TakenBack, Undone
from sitebook.store import acts, history
from sitebook.store.book import Book, writing
from sitebook.store.history import Act, acting
from sitebook.work.answer import Answer
from sitebook.work.bring_in.map_rows import MAPPED
from sitebook.work.bring_in.names import Names, names_in
from sitebook.work.corrections import in_view, undoing_imports
from sitebook.work.corrections.deeds import Deed, import_called, newest, newest_undos
from sitebook.work.corrections.finding import called
from sitebook.work.corrections.setting_back import Tally, set_back

_GOES_BY_ITSELF = (*MAPPED, "weather_day")
"""Tables whose rows go out of view with their import alone."""


class _OnlyATrial(Exception):  # noqa: N818 - it is no error: it takes a trial back
    """Raised to take back all that a trial has written."""


def undo(
    book: Book,
    *,
    now: datetime.datetime,
    last: int = 1,
    batch: str | None = None,
    back: bool = False,
    dry_run: bool = False,
) -> Answer[Undone]:
    """Take back the last acts that stand, or one import; nothing is deleted, all goes back by new changes.

    Parameters
    ----------
    book
        The open book.
    now
        Instant of the undo, UTC.
    last
        How many of the last acts; all files of one import command are one act.
    batch
        File name or key of one import to take back instead.
    back
        Take back the last undos instead, so that what they took is there again.
    dry_run
        Do everything, keep nothing.

    Raises
    ------
    BadArgument
        When both an import and undos are asked for, or no act at all.
    RecordMissing, NameAmbiguous
        When nothing can be taken back, or no import, or several, are called so.
    """
    if last < 1 or (batch is not None and (back or last != 1)):
        raise errors.BadArgument(
            "say how many acts, or which import, to take back",
            remedy="Use --last N, --import FILE or --back.",
        )
    if batch is not None:
        deeds = [import_called(book, batch)]
    else:
        deeds = newest_undos(book, last) if back else newest(book, last)
    taken: list[TakenBack] = []
    try:
        with writing(book):
            taken = [_take_back(book, deed, now) for deed in deeds]
            _take_back_a_trial(dry_run=dry_run)
    except _OnlyATrial:
        pass
    return Answer(Undone(tuple(taken), back, dry_run))


def _take_back_a_trial(*, dry_run: bool) -> None:
    if dry_run:
        raise _OnlyATrial


def _take_back(book: Book, deed: Deed, now: datetime.datetime) -> TakenBack:
    names, before = names_in(book), in_view.counts(book)
    words = _words(book, deed, names)
    of_batch = deed.batch.uuid if deed.batch else ""
    target = deed.act.key if deed.act is not None else of_batch
    with acting(book, Act("undo", now, undoes=target)):
        tally = _done(book, deed, names, now)
    moved = in_view.difference(before, in_view.counts(book))
    _count_what_goes_by_itself(moved, tally)
    hidden = {
        table: -n - tally.withdrawn.get(table, 0)
        for table, n in moved.items()
        if -n > tally.withdrawn.get(table, 0) and table not in _GOES_BY_ITSELF
    }
    return TakenBack(words, tally.withdrawn, tally.set_back, tuple(tally.kept), hidden)


def _done(book: Book, deed: Deed, names: Names, now: datetime.datetime) -> Tally:
    if deed.act is None and deed.batch is not None:
        return undoing_imports.take_back(book, deed.batch, names, now=now)
    key = deed.act.key if deed.act else ""
    if deed.batch is not None:
        return undoing_imports.bring_again(book, deed.batch, key, names, now=now)
    return set_back(book, acts.changes_of(book, key), names, now=now)


def _count_what_goes_by_itself(moved: Mapping[str, int], tally: Tally) -> None:
    for table in _GOES_BY_ITSELF:
        known = table in tally.withdrawn or table in tally.set_back
        if not known and (n := moved.get(table, 0)):
            tally.count(tally.withdrawn if n < 0 else tally.set_back, table, abs(n))


def _words(book: Book, deed: Deed, names: Names) -> str:
    when = f"{deed.made_at:%Y-%m-%d %H:%M} UTC"
    if deed.batch is not None:
        what = f"import of {deed.batch.file_name}"
        return f"{what} ({when})" if deed.act is None else f"undo of the {what} ({when})"
    if deed.act is None:
        return when
    changes = acts.changes_of(book, deed.act.key)
    own = [c for c in changes if c.table_name == deed.act.command_name.split()[-1]] or changes
    record = history.record_at(book, own[-1].table_name, own[-1].row_uuid)
    of = f", {called(record, names)}" if record is not None else ""
    return f"{deed.act.command_name}{of} ({when})"
