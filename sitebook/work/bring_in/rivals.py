"""Finds what two copies of one sheet both changed, and keeps what does not stand for her to decide."""

from __future__ import annotations

import dataclasses
from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass

from sitebook.intake.field_return.drafts import last_words, settle
from sitebook.intake.field_return.line import WholeLine
from sitebook.records.incoming import Draft, SortedLine
from sitebook.records.kinds import KINDS
from sitebook.records.standing import Row, Standing
from sitebook.store import history, rows
from sitebook.work.bring_in.conflicts import keep_conflicts
from sitebook.work.bring_in.grounds import target_of
from sitebook.work.bring_in.keeping import Keeping
from sitebook.work.bring_in.meeting import same


@dataclass(frozen=True)
class Rival:
    """An entry that two copies of a sheet wrote on from the same turn.

    Parameters
    ----------
    last
        The line that stands.
    other
        The last line of the copy that does not stand.
    begun
        The last line before both; None where it has not come, or the entry began twice.
    """

    last: WholeLine
    other: WholeLine
    begun: WholeLine | None


def rivals_of(lines: Iterable[WholeLine]) -> list[Rival]:
    """Find every entry of which copies of a sheet wrote the same turn in other words, in a fixed order."""
    entries: dict[str, dict[str, WholeLine]] = defaultdict(dict)
    for line in lines:
        if line.kind != "end":
            entries[line.uuid][line.text] = line
    words = last_words(line for texts in entries.values() for line in texts.values())
    found = []
    for key, texts in sorted(entries.items()):
        found += _of_entry(words[key], list(texts.values()))
    return found


def _of_entry(last: WholeLine, lines: Sequence[WholeLine]) -> list[Rival]:
    by_turn: dict[int, list[WholeLine]] = defaultdict(list)
    for line in lines:
        by_turn[line.seq].append(line)
    found: dict[str, Rival] = {}
    for seq in sorted(turn for turn, there in by_turn.items() if len(there) > 1):
        before = [line for line in lines if line.seq < seq]
        begun = max(before, key=lambda line: line.turn, default=None)
        for pad in sorted({line.pad for line in by_turn[seq]} - {last.pad}):
            other = max((line for line in lines if line.pad == pad), key=lambda line: line.turn)
            found.setdefault(other.text, Rival(last, other, begun))
    return list(found.values())


def told(rivals: Iterable[Rival], new: Collection[str]) -> list[tuple[WholeLine, SortedLine]]:
    """Tell of the rivals of which one line is new."""
    lines = []
    for rival in rivals:
        last, other = rival.last, rival.other
        if last.text in new or other.text in new:
            kept = "in entry_line" if last.withdrawn or other.withdrawn else "beside it for you to decide"
            reason = (
                f"two copies of the sheet changed the same {other.kind}; "
                f"what was written at {last.at} stands, what was written at {other.at} is kept {kept}"
            )
            lines.append((last, SortedLine("left out", reason, last.line_number, other.text)))
    return lines


def keep_rivals(
    keeping: Keeping, rivals: Iterable[tuple[Rival, int]], *, zone: str, known: Collection[str]
) -> None:
    """Keep each column in which a rival differs from what stands and from what both began with.

    Parameters
    ----------
    keeping
        What holds for the command; the rows stand already.
    rivals
        Each with the place of the file that tells of it.
    zone
        IANA name of the zone of the book's dates.
    known
        UUIDs of records the book holds.
    """
    for rival, place in rivals:
        if rival.last.withdrawn or rival.other.withdrawn or rival.last.kind != rival.other.kind:
            continue
        existing = _existing(keeping, rival.last)
        theirs = _said(keeping, rival.other, zone, known)
        if existing is None or theirs is None:
            continue
        begun = (_said(keeping, rival.begun, zone, known) if rival.begun else None) or {}
        against: dict[str, str | None] = {}
        for column in sorted(theirs.keys() | begun.keys()):
            new, old = (_or_default(existing, column, said) for said in (theirs, begun))
            if not same(getattr(existing, column), new) and not (begun and same(new, old)):
                against[column] = history.as_text(new)
        base = {column: history.as_text(begun.get(column)) for column in against}
        batch_id = keeping.batch_ids.get(place)
        keep_conflicts(keeping.book, existing, against, base=base, batch_id=batch_id)


def _existing(keeping: Keeping, line: WholeLine) -> Row | None:
    kind = KINDS[line.kind]
    if not issubclass(kind, Standing):
        return None
    found = rows.by_uuid(keeping.book, kind, [line.uuid]).get(line.uuid)
    return found if found is not None and found.withdrawn_at is None else None


def _said(keeping: Keeping, line: WholeLine, zone: str, known: Collection[str]) -> dict[str, object] | None:
    """Give what one line says of its own row; what it names that is not in the book is left away."""
    drafts = [d for _, d in settle([line], zone=zone, known=known).rows if d.kind == line.kind]
    own = next((draft for draft in drafts if draft.values.get("uuid") == line.uuid), None)
    return None if own is None else _columns(keeping, own)


def _columns(keeping: Keeping, draft: Draft) -> dict[str, object]:
    said = {name: value for name, value in draft.values.items() if name != "uuid"}
    for column, name in draft.refers.items():
        found = keeping.names.find(target_of(draft.kind, column), name)
        if len(found) == 1:
            said[column] = next(iter(found))
    if draft.kind == "find":
        said.setdefault("collector_id", keeping.owner_id)
    return said


def _or_default(existing: Row, column: str, said: Mapping[str, object]) -> object:
    if column in said:
        return said[column]
    field = next(f for f in dataclasses.fields(existing) if f.name == column)
    return None if field.default is dataclasses.MISSING else field.default
