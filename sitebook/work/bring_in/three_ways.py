"""Lets a row that was changed in the field meet the book's, and keeps what both changed for her to decide."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping, Sequence

from sitebook.intake.field_return.reading import RECOGNISED_AS
from sitebook.records.entry_line import EntryLine
from sitebook.records.incoming import SortedLine
from sitebook.records.kinds import KINDS, table_name
from sitebook.records.standing import Row, Standing
from sitebook.store import acts, history, rows
from sitebook.work.bring_in.conflicts import keep_conflicts
from sitebook.work.bring_in.gathering import Arrival
from sitebook.work.bring_in.keeping import Keeping, resolved, same
from sitebook.work.bring_in.returns import Returned
from sitebook.work.bring_in.rivals import keep_rivals


def meet_kind(keeping: Keeping, returned: Returned, kind: str) -> None:
    """Let rows of one table that earlier lines had brought meet the book's, and take them off their way."""
    meeting = []
    for arrival in list(keeping.gathered.arrivals.get(kind, [])):
        existing = _existing(keeping, kind, arrival.uuid) if _from_sheet(keeping, arrival) else None
        if existing is None:
            continue
        if getattr(existing, "withdrawn_at", None) is not None and _field_withdrew(keeping, existing):
            history.amend(keeping.book, existing, {"withdrawn_at": None}, batch_id=keeping.batch_of(arrival))
            keeping.count_changed(arrival)
            existing = _existing(keeping, kind, arrival.uuid) or existing
        base = returned.bases.get((kind, arrival.uuid))
        if base is not None:
            keeping.gathered.take_out(kind, arrival)
            meeting.append((arrival, existing, dataclasses.replace(arrival, draft=base)))
    if kind == "find":
        _free_numbers(keeping, meeting)
    for arrival, existing, base_arrival in meeting:
        if getattr(existing, "withdrawn_at", None) is None:
            _meet(keeping, arrival, existing, base_arrival)
        else:
            keeping.gathered.sort_out(arrival, _stays_away(arrival))


def _from_sheet(keeping: Keeping, arrival: Arrival) -> bool:
    return keeping.gathered.files[arrival.file_index].reading.recognised_as == RECOGNISED_AS


def _field_withdrew(keeping: Keeping, existing: Row) -> bool:
    """Whether it was a returned sheet that withdrew a row, rather than she at home."""
    changes = history.of_row(keeping.book, table_name(type(existing)), history.row_key(existing))
    standing = acts.only_standing(changes, *keeping.gone)
    ends = [change for change in standing if change.column_name == "withdrawn_at"]
    return bool(ends) and ends[-1].new_value is not None and ends[-1].batch_id is not None


def end_returned(keeping: Keeping, returned: Returned) -> None:
    """Withdraw what the field took back, and let lines of an undone import belong to this one."""
    places = {file.sha256: place for place, file in enumerate(keeping.gathered.files)}
    for (kind, key), file in returned.gone.items():
        _take_back(keeping, kind, key, places[file.sha256])
    both = [(rival, places[file.sha256]) for rival, file in returned.rivals]
    keep_rivals(keeping, both, zone=returned.zone, known={key for _, key in returned.ids})
    _claim_lines(keeping, returned)


def _free_numbers(keeping: Keeping, meeting: Sequence[tuple[Arrival, Row, Arrival]]) -> None:
    """Lay down every number that changes hands, so that two finds can exchange theirs."""
    for arrival, existing, base in meeting:
        new, old = (a.draft.values.get(_NUMBER) for a in (arrival, base))
        if new != old == getattr(existing, _NUMBER) and existing.id is not None:
            rows.update(keeping.book, type(existing), existing.id, {_NUMBER: None})


_NUMBER = "collection_number"


def _existing(keeping: Keeping, kind: str, key: str) -> Row | None:
    if not issubclass(KINDS[kind], Standing):
        return None
    return rows.by_uuid(keeping.book, KINDS[kind], [key]).get(key)


def _meet(keeping: Keeping, arrival: Arrival, existing: Row, base: Arrival) -> None:
    """Compare book, earlier lines and new lines column by column."""
    theirs, before = resolved(keeping, arrival), resolved(keeping, base)
    if theirs is None or before is None:
        return
    set_anew: dict[str, object] = {}
    against: dict[str, str | None] = {}
    begun: dict[str, str | None] = {}
    for column in sorted((theirs.keys() | before.keys()) - {"uuid"}):
        new, old = (_or_default(existing, column, values) for values in (theirs, before))
        ours = getattr(existing, column)
        if same(new, old) or same(ours, new):
            continue
        if same(ours, old):
            set_anew[column] = new
        else:
            against[column], begun[column] = history.as_text(new), history.as_text(old)
    if set_anew and history.amend(keeping.book, existing, set_anew, batch_id=keeping.batch_of(arrival)):
        keeping.count_changed(arrival)
    if against:
        keep_conflicts(keeping.book, existing, against, base=begun, batch_id=keeping.batch_of(arrival))
        keeping.gathered.sort_out(arrival, _told(arrival, list(against)))


def _or_default(existing: Row, column: str, values: Mapping[str, object]) -> object:
    if column in values:
        return values[column]
    field = next(f for f in dataclasses.fields(existing) if f.name == column)
    return None if field.default is dataclasses.MISSING else field.default


def _told(arrival: Arrival, columns: list[str]) -> SortedLine:
    called = arrival.draft.kind.replace("_", " ")
    both = f"{called}: {', '.join(columns)} changed both in the book and in the field"
    reason = f"{both}; the book's value stands until you decide"
    return SortedLine("left out", reason, arrival.draft.line_number)


def _stays_away(arrival: Arrival) -> SortedLine:
    reason = "it was withdrawn in the book and stays so; `sitebook withdraw KIND NAME --back` brings it back"
    return SortedLine("left out", reason, arrival.draft.line_number)


def _take_back(keeping: Keeping, kind: str, key: str, file_index: int) -> None:
    if not issubclass(KINDS[kind], Standing):
        reason = "somebody was taken off a visit in the field; say who came with `sitebook change visit`"
        keeping.gathered.sorted_lines.setdefault(file_index, []).append(SortedLine("left out", reason))
        return
    existing = _existing(keeping, kind, key)
    if existing is None or getattr(existing, "withdrawn_at", None) is not None:
        return
    batch_id = keeping.batch_ids.get(file_index)
    history.amend(keeping.book, existing, {"withdrawn_at": keeping.now}, batch_id=batch_id)
    count = (file_index, kind)
    keeping.changed[count] = keeping.changed.get(count, 0) + 1


def _claim_lines(keeping: Keeping, returned: Returned) -> None:
    """Let lines of an import that was taken back belong to this one."""
    table = rows.table_for(EntryLine)
    for arrival in keeping.gathered.arrivals.get(table_name(EntryLine), []):
        values = arrival.draft.values
        there = rows.records(
            keeping.book,
            EntryLine,
            table.c.entry_uuid == values["entry_uuid"],
            table.c.seq == values["seq"],
            table.c.line_sum == values["line_sum"],
        )
        for line in there:
            if line.batch_id in returned.undone and line.id is not None:
                batch_id = keeping.batch_ids[arrival.file_index]
                rows.update(keeping.book, EntryLine, line.id, {"batch_id": batch_id})
