"""Turns the lines that stand into rows: visits, looks, finds with their names and hosts."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass, field

from sitebook.intake.cells import CellError
from sitebook.intake.field_return import cells
from sitebook.intake.field_return.line import WholeLine
from sitebook.intake.names import parse_name
from sitebook.intake.table.typed import read_typed
from sitebook.records.incoming import Draft, SortedLine

HANGS_ON_VISIT = ("look", "find")
_Make = Callable[[WholeLine, str, Collection[str]], list[Draft]]


@dataclass
class Settled:
    """What a heap of lines says once every entry has its last word.

    Parameters
    ----------
    rows
        The line and the drafts it stands for; a visit that only its finds tell of has one of their lines.
    sorted_lines
        The line, and why it gives no row.
    """

    rows: list[tuple[WholeLine, Draft]] = field(default_factory=list)
    sorted_lines: list[tuple[WholeLine, SortedLine]] = field(default_factory=list)


def last_words(lines: Iterable[WholeLine]) -> dict[str, WholeLine]:
    """Give the line that stands of each entry, whatever order the lines came in and however often."""
    found: dict[str, WholeLine] = {}
    for line in lines:
        before = found.get(line.uuid)
        if before is None or line.turn > before.turn:
            found[line.uuid] = line
    return found


def settle(
    lines: Iterable[WholeLine],
    *,
    zone: str,
    known: Collection[str] = frozenset(),
    withdrawn: bool = False,
) -> Settled:
    """Turn lines into rows; the same lines give the same rows in any order.

    Parameters
    ----------
    lines
        Whole lines of one book.
    zone
        IANA name of the zone of the book's dates.
    known
        UUIDs of records the book holds; what is among them is referred to by its UUID, else by its name.
    withdrawn
        Whether entries that were taken back give rows too.
    """
    words = last_words(lines)
    entries = [line for _, line in sorted(words.items()) if line.kind != "end"]
    standing = [line for line in entries if withdrawn or not line.withdrawn]
    settled = Settled()
    for line in _visits(standing, words):
        _take(settled, line, _visit, zone, known)
    told = {draft.identity for _, draft in settled.rows}
    for line in standing:
        if line.kind in HANGS_ON_VISIT:
            visit = f"uuid:{line.says.get('visit')}"
            if visit in told:
                _take(settled, line, _look if line.kind == "look" else _find, zone, known)
            else:
                _refuse(settled, line, "the visit it belongs to cannot be read")
    return settled


def _visits(standing: list[WholeLine], words: Mapping[str, WholeLine]) -> list[WholeLine]:
    """Give a line for each visit that stands, or that something standing hangs on."""
    found = {line.uuid: line for line in standing if line.kind == "visit"}
    for line in standing:
        visit = line.says.get("visit")
        if line.kind in HANGS_ON_VISIT and isinstance(visit, str) and visit not in found:
            own = words.get(visit)
            found[visit] = own if own is not None and own.kind == "visit" else line
    return [found[key] for key in sorted(found)]


def _take(settled: Settled, line: WholeLine, make: _Make, zone: str, known: Collection[str]) -> None:
    try:
        drafts = make(line, zone, known)
    except CellError as reason:
        _refuse(settled, line, str(reason))
        return
    settled.rows.extend((line, dataclasses.replace(d, line_number=line.line_number)) for d in drafts)


def _refuse(settled: Settled, line: WholeLine, reason: str) -> None:
    settled.sorted_lines.append((line, SortedLine("refused", reason, line.line_number, line.text)))


def _visit(line: WholeLine, zone: str, known: Collection[str]) -> list[Draft]:
    own = line.kind == "visit"
    key = line.uuid if own else str(line.says["visit"])
    visit, *people = _typed("visit", key, cells.of_visit(line.says, own=own), zone)
    site = _called(line, "site", str(visit.refers.get("site_id")), known)
    uuids = dict(zip(_words(line, "companions"), _words(line, "companion_uuids"), strict=False))
    named = [_with(p, {"person_id": _or_name(uuids, p.refers["person_id"], known)}) for p in people]
    return [_with(visit, {"site_id": site}), *named]


def _look(line: WholeLine, zone: str, known: Collection[str]) -> list[Draft]:
    (look,) = _typed("look", line.uuid, cells.of_look(line.says), zone)
    refers = {"visit_id": f"uuid:{line.says['visit']}", **_tree(line, look.refers, known)}
    if (taxon := look.refers.get("taxon_id")) is not None:
        refers["taxon_id"] = _called(line, "taxon", taxon, known)
    return [_with(look, refers)]


def _find(line: WholeLine, zone: str, known: Collection[str]) -> list[Draft]:
    find, *hanging = _typed("find", line.uuid, cells.of_find(line.says, zone), zone)
    who = find.refers.get("collector_id")
    collector = {"collector_id": _called(line, "collector", who, known)} if who else {}
    rows = [_with(find, {"visit_id": f"uuid:{line.says['visit']}", **collector})]
    for draft in hanging:
        more = _tree(line, draft.refers, known)
        if draft.kind == "determination":
            more["taxon_id"] = _taxon_of_name(line, draft.refers["taxon_id"], known)
            if who:
                more["determined_by"] = collector["collector_id"]
        rows.append(_with(draft, more))
    return rows


def _with(draft: Draft, refers: Mapping[str, str]) -> Draft:
    return dataclasses.replace(draft, refers={**draft.refers, **refers})


def _typed(kind: str, key: str, values: Mapping[str, str], zone: str) -> list[Draft]:
    """Read cells as a typed row would be read, so that the same words refuse the same things."""
    reading = read_typed(kind, {**values, "uuid": key}, zone=zone)
    if reading.sorted_lines:
        raise CellError(reading.sorted_lines[0].reason)
    main, *hanging = reading.drafts
    return [dataclasses.replace(main, values={**main.values, "uuid": key}), *hanging]


def _tree(line: WholeLine, refers: Mapping[str, str], known: Collection[str]) -> dict[str, str]:
    tag = refers.get("host_tree_id")
    if tag is None:
        return {}
    site = line.says.get("site")
    return {"host_tree_id": _called(line, "host_tree", f"{site}|{tag}" if site else tag, known)}


def _taxon_of_name(line: WholeLine, bare: str, known: Collection[str]) -> str:
    """Give the taxon a find was tapped as; a name that was typed over it stands by itself."""
    name = line.says.get("name")
    tapped = isinstance(name, str) and parse_name(name).bare == " ".join(name.split())
    return _called(line, "taxon", bare, known) if tapped else bare


def _called(line: WholeLine, member: str, name: str, known: Collection[str]) -> str:
    key = line.says.get(f"{member}_uuid")
    return key if isinstance(key, str) and key in known else name


def _words(line: WholeLine, member: str) -> list[str]:
    value = line.says.get(member)
    return value.split() if isinstance(value, str) else []


def _or_name(uuids: Mapping[str, str], name: str, known: Collection[str]) -> str:
    key = uuids.get(name, "")
    return key if key in known else name
