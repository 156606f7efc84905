"""Puts the rows of all files into one order that does not depend on the order of the files."""

from __future__ import annotations

import dataclasses
import datetime
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field

from sitebook.records.columns import meanings
from sitebook.records.incoming import Draft, SortedLine
from sitebook.records.kinds import KINDS
from sitebook.work.bring_in.reading import ReadFile
from sitebook.work.identity_keys import uuid_of


@dataclass(frozen=True)
class Arrival:
    """One row on its way into the book.

    Parameters
    ----------
    draft
        The row as read.
    uuid
        Its UUID.
    file_index
        Which file it came with.
    """

    draft: Draft
    uuid: str
    file_index: int


@dataclass
class Gathered:
    """All rows on their way in, and the lines that stay out, by file.

    Parameters
    ----------
    files
        The files in order.
    arrivals
        Rows by table.
    sorted_lines
        Lines that became no row, by file.
    already
        Rows that another file of the same command, or the book, holds in the same words, by file.
    called
        What the files call each row, by its UUID.
    refused
        Identities of refused rows: what hangs on one goes with it.
    set_aside
        UUIDs of photos of which no find is made: they were taken far from everything in the book.
    """

    files: list[ReadFile]
    arrivals: dict[str, list[Arrival]] = field(default_factory=dict)
    sorted_lines: dict[int, list[SortedLine]] = field(default_factory=dict)
    already: dict[int, int] = field(default_factory=dict)
    set_aside: set[str] = field(default_factory=set)
    refused: set[str] = field(default_factory=set)
    called: dict[str, set[str]] = field(default_factory=dict)

    def sort_out(self, arrival: Arrival, line: SortedLine) -> None:
        """Put a row among the lines that stay out."""
        self.sorted_lines.setdefault(arrival.file_index, []).append(line)
        if line.sorting == "refused":
            self.refused.add(arrival.draft.identity)

    def take_out(self, kind: str, arrival: Arrival) -> None:
        """Take a row off its way."""
        self.arrivals[kind] = [other for other in self.arrivals[kind] if other is not arrival]

    def remarks(self) -> list[str]:
        """Give what was taken for granted, or is not known, of the rows on their way; each once."""
        said = [remark for arrivals in self.arrivals.values() for a in arrivals for remark in a.draft.remarks]
        return [f"{text} ({n} times)" if n > 1 else text for text, n in Counter(said).items()]

    def replace(self, arrival: Arrival, draft: Draft) -> Arrival:
        """Let a row say more than it did."""
        fuller = dataclasses.replace(arrival, draft=draft)
        kind = self.arrivals[arrival.draft.kind]
        kind[next(i for i, other in enumerate(kind) if other is arrival)] = fuller
        return fuller

    def count_already(self, arrival: Arrival) -> None:
        """Count a row that is already there."""
        self.already[arrival.file_index] = self.already.get(arrival.file_index, 0) + 1


def gather(files: Sequence[ReadFile], owner_initials: str) -> Gathered:
    """Order all rows by table and identity; of several lines about one thing the first file's stands."""
    ordered = sorted(files, key=_file_order)
    gathered = Gathered(list(ordered))
    seen: dict[tuple[str, str], Arrival] = {}
    told = _uuids_told(ordered)
    for index, file in enumerate(ordered):
        gathered.sorted_lines[index] = list(file.reading.sorted_lines)
        for draft in file.reading.drafts:
            own = next((told[key] for key in _unique_keys(draft) if key in told), None)
            arrival = Arrival(draft, own or uuid_for(draft, owner_initials), index)
            gathered.called.setdefault(arrival.uuid, set()).add(draft.identity)
            earlier = seen.get((draft.kind, arrival.uuid))
            if earlier is None or draft.kind in FROM_EXTRACTS:
                seen[draft.kind, arrival.uuid] = arrival
                gathered.arrivals.setdefault(draft.kind, []).append(arrival)
            elif (merged := _merged_with(earlier.draft, draft)) is not None:
                gathered.count_already(arrival)
                seen[draft.kind, arrival.uuid] = gathered.replace(earlier, merged)
            else:
                gathered.sort_out(arrival, another_says_otherwise(draft))
    order = {kind: place for place, kind in enumerate(KINDS)}
    gathered.arrivals = {
        kind: sorted(gathered.arrivals[kind], key=lambda a: (a.file_index, a.draft.identity))
        if kind in FROM_EXTRACTS
        else sorted(gathered.arrivals[kind], key=lambda a: a.draft.identity)
        for kind in sorted(gathered.arrivals, key=lambda kind: order[kind])
    }
    return gathered


Key = tuple[str, str, object]
"""Kind, a column that no two rows share, and its value."""


def _uuids_told(files: Sequence[ReadFile]) -> dict[Key, str]:
    """Give the UUID that a file gives beside a unique key, as beside a station's code."""
    drafts = (draft for file in files for draft in file.reading.drafts)
    return {
        key: str(draft.values["uuid"])
        for draft in drafts
        if "uuid" in draft.values
        for key in _unique_keys(draft)
    }


def _unique_keys(draft: Draft) -> list[Key]:
    return [(draft.kind, name, draft.values.get(name)) for name in UNIQUE[draft.kind] if name in draft.values]


UNIQUE: dict[str, tuple[str, ...]] = {
    kind: tuple(n for n, m in meanings(record).items() if m.unique and n != "uuid")
    for kind, record in KINDS.items()
}
"""Columns besides the UUID that no two rows of a kind share."""

FROM_EXTRACTS = ("extract", "way", "land_cover", "map_point", "mapped_tree", "hazard")
"""Tables in which a newer extract sets the rows of an older one anew."""


def uuid_for(draft: Draft, owner_initials: str) -> str:
    """Give a row's UUID: its own where the file gives one, else made of its identity."""
    given = draft.values.get("uuid")
    if isinstance(given, str):
        return given
    number = draft.values.get("collection_number")
    if draft.kind == "find" and number is not None:
        return uuid_of("find", f"{draft.refers.get('collector_id', owner_initials)}|{number}")
    return uuid_of(draft.kind, _identity_with_owner(draft, owner_initials))


def _identity_with_owner(draft: Draft, owner_initials: str) -> str:
    """Name the owner where a numbered find leaves its collector out, so that both ways are one row."""
    find = draft.refers.get("find_id", "")
    if draft.kind not in ("determination", "find_host") or not find.startswith("find:"):
        return draft.identity
    find = find.replace("find:|", f"find:{owner_initials}|", 1)
    if draft.kind == "find_host":
        return "|".join((find, draft.refers.get("host_tree_id", ""), draft.refers.get("taxon_id", "")))
    by = draft.refers.get("determined_by", owner_initials)
    return "|".join((find, str(draft.values["verbatim_name"]), by, str(draft.values.get("determined_on"))))


def another_says_otherwise(draft: Draft) -> SortedLine:
    """Say that a line about the same thing stands already and differs."""
    return SortedLine(
        "left out", f"another line about the same {_words(draft.kind)} says otherwise", draft.line_number
    )


def _words(kind: str) -> str:
    return kind.replace("_", " ")


BY_CONTENT = ("photo", "photo_thumbnail")
"""Tables whose rows are told apart by the bytes they come from: under another name it is the same photo."""


def _merged_with(earlier: Draft, draft: Draft) -> Draft | None:
    return earlier if draft.kind in BY_CONTENT else _merged(earlier, draft)


def _merged(one: Draft, other: Draft) -> Draft | None:
    """Give what two drafts of one thing say together; None where they contradict each other."""
    for mine, theirs in ((one.values, other.values), (one.refers, other.refers)):
        if any(mine[name] != theirs[name] for name in mine.keys() & theirs.keys()):
            return None
    return dataclasses.replace(
        one, values={**other.values, **one.values}, refers={**other.refers, **one.refers}
    )


def _file_order(file: ReadFile) -> tuple[datetime.date, str, str]:
    dates = [d.values.get("data_date") for d in file.reading.drafts if d.kind == "extract"]
    date = next((d for d in dates if isinstance(d, datetime.date)), datetime.date.min)
    return date, file.path.name, file.sha256
