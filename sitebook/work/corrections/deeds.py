"""Lists what can be taken back, newest first: single acts and whole imports."""

from __future__ import annotations

import datetime
import math
from dataclasses import dataclass
from pathlib import PurePath

from sitebook import errors
from sitebook.records.import_batch import ImportBatch
from sitebook.store import acts, rows
from sitebook.store.acts import Done
from sitebook.store.book import Book

IMPORT = "import"


@dataclass(frozen=True)
class Deed:
    """One act, or one import of one file, that an undo reaches.

    Parameters
    ----------
    made_at
        Its instant, UTC.
    order
        Which of several of one instant came first.
    act
        The act; for an undo that is to be taken back, the undo; None for an import.
    batch
        The import; None for an act that brought in no file.
    """

    made_at: datetime.datetime
    order: float
    act: Done | None = None
    batch: ImportBatch | None = None


def newest(book: Book, how_many: int) -> list[Deed]:
    """Give the last acts that stand, newest first; all files of one import command are one act.

    Raises
    ------
    RecordMissing
        When nothing stands that could be taken back.
    """
    done = acts.all_acts(book)
    gone = acts.taken_back(done)
    single = [
        Deed(act.made_at, act.first_id, act)
        for act in done
        if act.undoes is None and act.key not in gone and act.command_name != IMPORT
    ]
    imports = [Deed(b.made_at, math.inf, None, b) for b in standing_imports(book)]
    deeds = sorted((*single, *imports), key=lambda deed: (deed.made_at, deed.order), reverse=True)
    return _first_acts(book, deeds, how_many, "Change something first.")


def newest_undos(book: Book, how_many: int) -> list[Deed]:
    """Give the last undos that were not taken back themselves, newest first.

    Raises
    ------
    RecordMissing
        When there is none.
    """
    done = acts.all_acts(book)
    gone = acts.taken_back(done)
    plain = {act.key for act in done if act.undoes is None}
    undone = {b.uuid: b for b in rows.records(book, ImportBatch) if b.undone_at is not None}
    deeds = [
        Deed(act.made_at, act.first_id, act, undone.get(act.undoes))
        for act in reversed(done)
        if act.undoes is not None and act.key not in gone and act.undoes in plain | undone.keys()
    ]
    return _first_acts(book, deeds, how_many, "Nothing was undone that is not back already.")


def _first_acts(book: Book, deeds: list[Deed], how_many: int, remedy: str) -> list[Deed]:
    if not deeds:
        raise errors.RecordMissing("there is nothing to take back", where=str(book.path), remedy=remedy)
    chosen: list[Deed] = []
    commands: list[tuple[object, bool]] = []
    for deed in deeds:
        command = (deed.made_at if deed.batch else deed.order, deed.batch is not None)
        if command not in commands:
            commands.append(command)
        if len(commands) > how_many:
            break
        chosen.append(deed)
    return chosen


def standing_imports(book: Book) -> list[ImportBatch]:
    """Give the imports that were not taken back."""
    return rows.records(book, ImportBatch, rows.table_for(ImportBatch).c.undone_at.is_(None))


def import_called(book: Book, name: str) -> Deed:
    """Give the one import that a file name or key means.

    Raises
    ------
    RecordMissing
        When no import that stands is called so.
    NameAmbiguous
        When several are.
    """
    standing = standing_imports(book)
    found = [b for b in standing if b.file_name == PurePath(name).name]
    found = found or [b for b in standing if name in (str(b.id), b.uuid)]
    if len(found) > 1:
        keys = ", ".join(f"{b.id} ({b.made_at:%Y-%m-%d %H:%M} UTC)" for b in found)
        raise errors.NameAmbiguous(
            f"{len(found)} files called '{name}' were brought in",
            where=str(book.path),
            remedy=f"Name one by its key: {keys}.",
        )
    if not found:
        raise errors.RecordMissing(
            f"no import of a file '{name}' stands",
            where=str(book.path),
            remedy="See `sitebook list import_batch` for the files and their keys.",
        )
    return Deed(found[0].made_at, math.inf, None, found[0])
