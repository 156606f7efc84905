"""Withdraws a record, so that nothing shows it any more, and brings it back."""

from __future__ import annotations

import dataclasses
import datetime

from sitebook import errors
from sitebook.records.person import Person
from sitebook.records.results.corrections import Withdrawn
from sitebook.records.standing import Row
from sitebook.records.taxon import LookAlike
from sitebook.store import history, rows
from sitebook.store.book import Book
from sitebook.store.history import Act, acting
from sitebook.work.answer import Answer
from sitebook.work.bring_in.names import names_in
from sitebook.work.corrections import in_view
from sitebook.work.corrections.consistency import require_name_free
from sitebook.work.corrections.finding import by_id, called, standing_record, withdrawn_record
from sitebook.work.opening import book_row


def withdraw(
    book: Book,
    kind: str,
    name: str,
    *,
    now: datetime.datetime,
    back: bool = False,
    with_all: bool = False,
) -> Answer[Withdrawn]:
    """Withdraw one record, or bring a withdrawn one back.

    What hangs on it is not touched: it is read through the record, so it goes out of view with it and
    comes back with it.

    Parameters
    ----------
    book
        The open book.
    kind, name
        The record.
    now
        Instant of the correction, UTC.
    back
        Bring it back instead.
    with_all
        Withdraw it although other records rest on it.

    Raises
    ------
    RecordMissing, NameAmbiguous, BadArgument
        When none, or several, bear the name, or the kind is not corrected.
    StillInUse
        When other records rest on it and `with_all` is not said.
    """
    record = withdrawn_record(book, kind, name) if back else standing_record(book, kind, name)
    names = names_in(book)
    if back:
        require_name_free(book, record, rows.values_of(record), {"name": 0, "tag": 0})
    else:
        _require_free(book, record, with_all=with_all)
    before = in_view.counts(book)
    with acting(book, Act(f"{'bring back' if back else 'withdraw'} {kind}", now)):
        for one in (record, *_mirrored(book, record, back=back)):
            history.amend(book, one, _back(one) if back else {"withdrawn_at": now})
    moved = in_view.difference(before, in_view.counts(book))
    with_it = {table: abs(n) for table, n in moved.items() if table != kind}
    remarks = _remarks(book, record, kind) if back else ()
    return Answer(Withdrawn(kind, called(record, names), back, with_it, remarks))


def _back(record: Row) -> dict[str, object]:
    back: dict[str, object] = {"withdrawn_at": None}
    return back | ({"merged_into": None} if hasattr(record, "merged_into") else {})


def _require_free(book: Book, record: Row, *, with_all: bool) -> None:
    if isinstance(record, Person) and record.id == book_row(book).owner_id:
        raise errors.StillInUse(
            f"{record.initials} is the owner of the book", remedy="The owner is not withdrawn."
        )
    resting = in_view.resting_on(book, record)
    if resting and not with_all:
        raise errors.StillInUse(
            f"{in_view.in_words(resting)} rest on it",
            remedy="Correct these first, or merge it with another; --with-all withdraws it all the same.",
        )


def _mirrored(book: Book, record: Row, *, back: bool) -> list[Row]:
    """Give the look-alikes that say the same in the other direction: a pair stands or goes as one."""
    if not isinstance(record, LookAlike):
        return []
    table = rows.table_for(LookAlike)
    pair = (table.c.taxon_id == record.other_id, table.c.other_id == record.taxon_id)
    reverse = rows.records(book, LookAlike, *pair, withdrawn=True)
    same_source = [r for r in reverse if r.source_key == record.source_key] or reverse
    return [r for r in same_source if (r.withdrawn_at is not None) == back]


def _remarks(book: Book, record: Row, kind: str) -> tuple[str, ...]:
    told = []
    if getattr(record, "merged_into", None) is not None:
        told.append("It stands by itself again; what the merge moved stays where it is.")
    fresh = dataclasses.replace(by_id(book, kind, record.id or 0))
    table = rows.table_for(type(fresh))
    if not rows.records(book, type(fresh), table.c.id == record.id):
        told.append("What it hangs on is withdrawn too: bring that back to see it.")
    return tuple(told)
