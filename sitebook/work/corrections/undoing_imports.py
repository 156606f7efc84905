"""Takes back the import of one file: its records go out of view, what it filled or set anew goes back."""

from __future__ import annotations

import datetime
from collections.abc import Sequence

from sitebook.records.history import Change
from sitebook.records.import_batch import ImportBatch
from sitebook.records.kinds import KINDS
from sitebook.records.map_data import Extract, Hazard
from sitebook.records.standing import Row, Standing
from sitebook.store import acts, history, rows
from sitebook.store.book import Book
from sitebook.work.bring_in.map_rows import MAPPED
from sitebook.work.bring_in.names import Names
from sitebook.work.corrections.deeds import IMPORT
from sitebook.work.corrections.setting_back import Tally, set_back

FROM_MAPS = (*MAPPED, "extract")
_CHUNK = 500
_NOT_SAID_BY_MAPS = (history.MADE, "withdrawn_at", "batch_id")


def take_back(book: Book, batch: ImportBatch, names: Names, *, now: datetime.datetime) -> Tally:
    """Take back an import, inside an act that says that it undoes it."""
    changes = [c for c in _said_by(book, batch) if c.table_name not in (*FROM_MAPS, "import_batch")]
    tally = set_back(book, changes, names, now=now)
    history.amend(book, batch, {"undone_at": now})
    settle_maps(book, batch)
    _end_what_goes_back_to_nothing(book, changes, tally, now)
    for kind in KINDS.values():
        if issubclass(kind, Standing):
            _withdraw_all(book, kind, batch, tally, now)
    return tally


def bring_again(book: Book, batch: ImportBatch, undo: str, names: Names, *, now: datetime.datetime) -> Tally:
    """Bring an import again that an undo took back, inside an act that says that it undoes the undo."""
    changes = [c for c in acts.changes_of(book, undo) if c.table_name not in (*MAPPED, "import_batch")]
    of_maps = [c for c in acts.changes_of(book, undo) if c.table_name == "hazard"]
    ends = [c for c in of_maps if c.column_name == "withdrawn_at"]
    tally = set_back(book, [*changes, *ends], names, now=now)
    history.amend(book, batch, {"undone_at": None})
    settle_maps(book, batch)
    return tally


def _said_by(book: Book, batch: ImportBatch) -> list[Change]:
    """Give what an import changed since it was last taken back.

    What its command changed for no file in particular goes with the last of its files that stands.
    """
    done = acts.all_acts(book)
    gone = acts.taken_back(done)
    undos = [act.first_id for act in done if act.undoes == batch.uuid and act.key not in gone]
    since = max(undos, default=0)
    table = rows.table_for(Change)
    run = (table.c.made_at == batch.made_at) & (table.c.command_name == IMPORT) & table.c.batch_id.is_(None)
    mine = table.c.batch_id == batch.id
    if _is_last_of_its_command(book, batch):
        mine |= run
    return rows.records(book, Change, mine, table.c.undoes.is_(None), table.c.id > since)


def _is_last_of_its_command(book: Book, batch: ImportBatch) -> bool:
    table = rows.table_for(ImportBatch)
    beside = (table.c.made_at == batch.made_at, table.c.undone_at.is_(None), table.c.id != batch.id)
    return not rows.records(book, ImportBatch, *beside)


def _end_what_goes_back_to_nothing(
    book: Book, changes: Sequence[Change], tally: Tally, now: datetime.datetime
) -> None:
    """Withdraw a row that goes back to an import which was itself taken back."""
    undone = acts.not_standing(book)[1]
    end: dict[str, object] = {"withdrawn_at": now}
    for change in changes:
        if change.column_name != "batch_id":
            continue
        row = history.record_at(book, change.table_name, change.row_uuid)
        if row is None or getattr(row, "batch_id", None) not in undone:
            continue
        if getattr(row, "withdrawn_at", now) is None and history.amend(book, row, end):
            tally.count(tally.withdrawn, change.table_name)


def _withdraw_all(
    book: Book, kind: type[Standing], batch: ImportBatch, tally: Tally, now: datetime.datetime
) -> None:
    table = rows.table_for(kind)
    mine = (table.c.batch_id == batch.id, table.c.withdrawn_at.is_(None))
    found: Sequence[Row] = rows.records(book, kind, *mine, withdrawn=True)
    if kind is Hazard:
        found = _of_no_other_map(book, found)
    end: dict[str, object] = {"withdrawn_at": now}
    tally.count(tally.withdrawn, table.name, history.amend_all(book, [(row, end) for row in found]))


def _of_no_other_map(book: Book, hazards: Sequence[Row]) -> list[Row]:
    """Leave away the hazards that an extract of another file holds too."""
    extracts = {extract.id for extract in rows.records(book, Extract)}
    return [h for h in hazards if getattr(h, "extract_id", None) not in extracts]


def settle_maps(book: Book, batch: ImportBatch) -> None:
    """Give every mapped row an import spoke of the values of the newest import that still stands."""
    gone = acts.not_standing(book)
    table = rows.table_for(Change)
    for kind in FROM_MAPS:
        spoken = rows.records(book, Change, table.c.batch_id == batch.id, table.c.table_name == kind)
        keys = sorted({change.row_uuid for change in spoken})
        for start in range(0, len(keys), _CHUNK):
            _settle(book, kind, keys[start : start + _CHUNK], gone)


def _settle(book: Book, kind: str, keys: Sequence[str], gone: tuple[frozenset[str], frozenset[int]]) -> None:
    table = rows.table_for(Change)
    by_row: dict[str, list[Change]] = {key: [] for key in keys}
    for change in rows.records(book, Change, table.c.table_name == kind, table.c.row_uuid.in_(keys)):
        if change.column_name not in _NOT_SAID_BY_MAPS:
            by_row[change.row_uuid].append(change)
    there = rows.by_uuid(book, KINDS[kind], keys)
    wanted = []
    for key, record in there.items():
        texts = {change.column_name: change.old_value for change in reversed(by_row[key])}
        texts |= {c.column_name: c.new_value for c in acts.only_standing(by_row[key], *gone)}
        values = {column: history.from_text(kind, column, text) for column, text in texts.items()}
        wanted.append((record, values))
    history.amend_all(book, wanted)
