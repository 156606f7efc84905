"""Merges what comes home from entry sheets with what came home before, entry by entry."""

from __future__ import annotations

import dataclasses
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from sitebook.intake.field_return.drafts import settle
from sitebook.intake.field_return.line import WholeLine, whole_line
from sitebook.intake.field_return.reading import LINE, RECOGNISED_AS
from sitebook.records.entry_line import EntryLine
from sitebook.records.find import Find
from sitebook.records.host_tree import HostTree
from sitebook.records.import_batch import ImportBatch
from sitebook.records.incoming import Draft, SortedLine
from sitebook.records.kinds import table_name
from sitebook.records.outing import Visit
from sitebook.records.person import Person
from sitebook.records.site import Site
from sitebook.records.taxon import Taxon
from sitebook.store import rows
from sitebook.store.book import Book
from sitebook.work.bring_in.gathering import uuid_for
from sitebook.work.bring_in.names import Names
from sitebook.work.bring_in.reading import ReadFile
from sitebook.work.bring_in.rivals import Rival, rivals_of, told
from sitebook.work.bring_in.tag_numbers import numbers_once
from sitebook.work.opening import book_row, owner

REFERRED = (Person, Taxon, Site, HostTree)
Key = tuple[str, str]
"""Table and UUID of a row."""


@dataclass
class Returned:
    """What the lines of this command change in what the lines before them said.

    Parameters
    ----------
    bases
        Rows as the earlier lines gave them, those that were taken back among them.
    gone
        Rows for which no line stands any more, with the file that says so.
    ids
        Record by UUID for everything that a line refers to, by table.
    undone
        Imports that were taken back.
    rivals
        What two copies of a sheet both changed, with a file that tells of it.
    zone
        IANA name of the zone of the book's dates.
    """

    bases: dict[Key, Draft] = field(default_factory=dict)
    gone: dict[Key, ReadFile] = field(default_factory=dict)
    ids: dict[Key, int] = field(default_factory=dict)
    undone: set[int] = field(default_factory=set)
    rivals: list[tuple[Rival, ReadFile]] = field(default_factory=list)
    zone: str = "UTC"

    def name(self, names: Names) -> None:
        """Let every record that a line refers to be found by its UUID."""
        for (kind, key), record_id in self.ids.items():
            names.call(kind, record_id, key, f"uuid:{key}")


def merge_returns(book: Book, files: Sequence[ReadFile]) -> tuple[list[ReadFile], Returned]:
    """Let the rows of returned sheets follow from all lines, those of earlier imports among them.

    A line of another book is refused. Lines of the same entry in several files stand or fall together:
    the last turn of each has the word, in whatever order the files come.
    """
    sheets = [file for file in files if file.reading.recognised_as == RECOGNISED_AS]
    if not sheets:
        return list(files), Returned()
    row, whose = book_row(book), owner(book)
    came = {id(file): _whole_lines(file) for file in sheets}
    new = [line for lines in came.values() for line in lines if line.book == row.uuid]
    undone = {b.id for b in rows.records(book, ImportBatch) if b.undone_at is not None and b.id is not None}
    kept = _kept_lines(book, undone)
    ids = _ids_of(book, (*kept, *new))
    known = {key for _, key in ids}
    standing, every, goal = (
        settle(lines, zone=row.zone, known=known, withdrawn=withdrawn)
        for lines, withdrawn in ((kept, False), (kept, True), ((*kept, *new), False))
    )
    taken = numbers_once(book, goal.rows, whose)
    before, base = (
        {_key(d, whose): (line, d) for line, d in numbers_once(book, settled.rows, whose).rows}
        for settled in (standing, every)
    )
    after = {_key(d, whose): (line, d) for line, d in taken.rows}
    fresh = {key: pair for key, pair in after.items() if _differs(before.get(key), pair)}
    returned = Returned(
        bases={key: base[key][1] for key in fresh if key in base},
        gone={key: _file_of(line, sheets, came) for key, (line, _) in before.items() if key not in after},
        ids=ids,
        undone=undone,
        zone=row.zone,
    )
    notes = [*goal.sorted_lines, *taken.sorted_lines]
    rivals, texts = rivals_of((*kept, *new)), {line.text for line in new}
    returned.rivals += [
        (rival, _file_of(rival.last, sheets, came))
        for rival in rivals
        if texts & {rival.last.text, rival.other.text}
    ]
    notes += told(rivals, texts)
    return _with_rows(files, came, row.uuid, list(fresh.values()), notes), returned


def _file_of(
    line: WholeLine, sheets: Sequence[ReadFile], came: Mapping[int, Sequence[WholeLine]]
) -> ReadFile:
    """Give the file that tells of an entry; the first, where none does."""
    told = (file for file in sheets if any(other.uuid == line.uuid for other in came[id(file)]))
    return next(told, sheets[0])


def _whole_lines(file: ReadFile) -> list[WholeLine]:
    drafts = [draft for draft in file.reading.drafts if draft.kind == LINE]
    return [whole_line(str(draft.values["line_text"]), draft.line_number) for draft in drafts]


def _kept_lines(book: Book, undone: Collection[int]) -> list[WholeLine]:
    lines = [line for line in rows.records(book, EntryLine) if line.batch_id not in undone]
    return [whole_line(line.line_text) for line in lines]


def _ids_of(book: Book, lines: Iterable[WholeLine]) -> dict[Key, int]:
    """Find what lines refer to by its UUID; what was merged into another is taken for that other."""
    wanted = {word for line in lines for value in line.says.values() for word in _words(value)}
    wanted |= {line.uuid for line in lines}
    found: dict[Key, int] = {}
    for kind in (*REFERRED, Visit, Find):
        for key, record in rows.by_uuid(book, kind, wanted).items():
            if record.id is not None:
                found[table_name(kind), key] = getattr(record, "merged_into", None) or record.id
    return found


_UUID_SIGNS = 36


def _words(value: object) -> Iterable[str]:
    return (w for w in value.split() if len(w) == _UUID_SIGNS) if isinstance(value, str) else ()


def _key(draft: Draft, whose: Person) -> Key:
    return draft.kind, uuid_for(draft, whose.initials)


def _differs(one: tuple[WholeLine, Draft] | None, other: tuple[WholeLine, Draft]) -> bool:
    return one is None or (one[1].values, one[1].refers) != (other[1].values, other[1].refers)


def _with_rows(
    files: Sequence[ReadFile],
    came: Mapping[int, list[WholeLine]],
    own: str,
    fresh: Sequence[tuple[WholeLine, Draft]],
    notes: Sequence[tuple[WholeLine, SortedLine]],
) -> list[ReadFile]:
    """Give each file the rows its lines changed; a row whose line came before goes to the first file."""
    home: dict[str, int] = {}
    for index, lines in reversed(list(came.items())):
        home |= {line.text: index for line in lines}
    first = next(iter(came))
    read = []
    for file in files:
        if id(file) not in came:
            read.append(file)
            continue
        others = [line for line in came[id(file)] if line.book != own]
        foreign = {line.text for line in others}
        drafts = [d for d in file.reading.drafts if d.kind == LINE and d.values["line_text"] not in foreign]
        drafts += [d for line, d in fresh if home.get(line.text, first) == id(file)]
        told = [s for s in file.reading.sorted_lines if s.line_text not in home]
        told += [_foreign(line) for line in others]
        told += [s for line, s in notes if home.get(line.text, first) == id(file)]
        reading = dataclasses.replace(file.reading, drafts=tuple(drafts), sorted_lines=tuple(told))
        read.append(dataclasses.replace(file, reading=reading))
    return read


def _foreign(line: WholeLine) -> SortedLine:
    return SortedLine(
        "refused", "the sheet was made from another book: bring it into that one", line.line_number, line.text
    )
