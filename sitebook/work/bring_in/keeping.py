"""Writes rows into the book, each reference turned from a name into a key."""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from shapely.geometry.base import BaseGeometry

from sitebook.records.columns import meanings
from sitebook.records.incoming import Draft, Reading, SortedLine
from sitebook.records.kinds import KINDS
from sitebook.records.standing import Row, Standing
from sitebook.store import history, rows
from sitebook.store.book import Book
from sitebook.work.bring_in.gathering import Arrival, Gathered, uuid_for
from sitebook.work.bring_in.names import Names, names_in, site_of_visit


@dataclass
class Keeping:
    """What holds for all rows of one command.

    Parameters
    ----------
    book
        The open book, held for writing.
    names
        Every name so far.
    gathered
        Rows on their way.
    now
        Instant of keeping, UTC.
    owner_id
        Who is meant where nobody is named.
    batch_ids
        Import of each file.
    added
        Rows added by (file, table).
    changed
        Rows set anew by (file, table).
    visit_of_find
        Name of the visit of each find on its way, by the find's identity.
    """

    book: Book
    names: Names
    gathered: Gathered
    now: datetime.datetime
    owner_id: int
    batch_ids: Mapping[int, int] = field(default_factory=dict)
    added: dict[tuple[int, str], int] = field(default_factory=dict)
    changed: dict[tuple[int, str], int] = field(default_factory=dict)
    visit_of_find: dict[str, str] = field(default_factory=dict)


def keep_kind(keeping: Keeping, kind: str) -> list[int]:
    """Keep all rows of one table that are not in the book yet; gives the new ids.

    Rows that refer to rows of their own table, as a species to its genus, come after these.
    """
    arrivals = keeping.gathered.arrivals.get(kind, [])
    own = [name for name, meaning in meanings(KINDS[kind]).items() if meaning.refers == kind]
    waiting = [a for a in arrivals if any(column in a.draft.refers for column in own)]
    ids = _keep_wave(keeping, kind, [a for a in arrivals if a not in waiting] if waiting else arrivals)
    while waiting:
        ready = [
            a
            for a in waiting
            if all(keeping.names.find(kind, a.draft.refers[c]) for c in own if c in a.draft.refers)
        ]
        ids += _keep_wave(keeping, kind, ready or waiting)
        waiting = [a for a in waiting if a not in ready] if ready else []
    return ids


def _keep_wave(keeping: Keeping, kind: str, arrivals: Sequence[Arrival]) -> list[int]:
    record_kind = KINDS[kind]
    ready = [(a, values) for a in arrivals if (values := resolved(keeping, a)) is not None]
    new = _not_there_yet(keeping, record_kind, ready)
    records = [_record(keeping, record_kind, arrival, values) for arrival, values in new]
    ids = rows.insert(keeping.book, records)
    for key, (arrival, values) in zip(ids, new, strict=True):
        keeping.names.add(kind, key, values, *_called(keeping, arrival))
        count = (arrival.file_index, kind)
        keeping.added[count] = keeping.added.get(count, 0) + 1
    return ids


def _called(keeping: Keeping, arrival: Arrival) -> set[str]:
    called = keeping.gathered.called.get(arrival.uuid, {arrival.draft.identity})
    return called if arrival.draft.kind == "vernacular_name" else called | {arrival.uuid}


def resolved(keeping: Keeping, arrival: Arrival) -> dict[str, object] | None:
    """Give a row's values with keys for names; None, and a refused line, where a name stands nowhere."""
    draft = arrival.draft
    values = dict(draft.values)
    if draft.kind == "find" and "visit_id" in draft.refers:
        keeping.visit_of_find[draft.identity] = draft.refers["visit_id"]
    for column, name in draft.refers.items():
        target = meanings(KINDS[draft.kind])[column].refers or ""
        found = keeping.names.find(target, name)
        if len(found) > 1:
            found = _meant(keeping, draft, target, name) or found
        if len(found) != 1:
            keeping.gathered.sort_out(arrival, _unresolved(keeping.names, draft, target, name, len(found)))
            return None
        (values[column],) = found
    _fill_in(keeping, draft.kind, values)
    return values


def _meant(keeping: Keeping, draft: Draft, target: str, name: str) -> set[int]:
    """Choose among several of one name: the tree in the row's own site, the first visit of the day."""
    if target == "visit":
        return {min(keeping.names.find(target, name))}
    visit = draft.refers.get("visit_id") or keeping.visit_of_find.get(draft.refers.get("find_id", ""))
    if target != "host_tree" or visit is None:
        return set()
    return keeping.names.find(target, f"{site_of_visit(visit)}|{name}")


def _unresolved(names: Names, draft: Draft, target: str, name: str, how_many: int) -> SortedLine:
    called = target.replace("_", " ")
    if how_many:
        reason = f"{how_many} of kind {called} are called '{name}': write SITE|TAG, or rename one"
    else:
        near = names.near(target, name)
        hint = f" (nearest: {near})" if near else ""
        reason = f"no {called} is called '{name}' in the book or in these files{hint}"
    return SortedLine("refused", reason, draft.line_number)


def _fill_in(keeping: Keeping, kind: str, values: dict[str, object]) -> None:
    if kind == "find":
        values.setdefault("collector_id", keeping.owner_id)
    if kind == "determination" and values.get("determined_by") is None:
        values["determined_by"] = keeping.owner_id


def _not_there_yet(
    keeping: Keeping, kind: type[Row], ready: list[tuple[Arrival, dict[str, object]]]
) -> list[tuple[Arrival, dict[str, object]]]:
    if not issubclass(kind, Standing):
        return _without_twins(keeping, kind, ready)
    there = rows.by_uuid(keeping.book, kind, (arrival.uuid for arrival, _ in ready))
    new = []
    for arrival, values in ready:
        existing = (
            there.get(arrival.uuid)
            or _known_name(keeping, arrival, values)
            or _known_key(keeping, kind, arrival, values)
        )
        if existing is None:
            new.append((arrival, values))
        else:
            _meet(keeping, arrival, existing, values)
    return new


def _meet(keeping: Keeping, arrival: Arrival, existing: Row, values: Mapping[str, object]) -> None:
    """Let a row meet the one the book has: fill what is empty, never write over what is said.

    What hangs on the row finds it by what the file calls it.
    """
    keeping.names.call(arrival.draft.kind, existing.id or 0, *_called(keeping, arrival))
    differs = [c for c, v in values.items() if c != "uuid" and not same(getattr(existing, c), v)]
    filled = {c: values[c] for c in differs if getattr(existing, c) is None}
    if not differs:
        keeping.gathered.count_already(arrival)
    elif len(filled) == len(differs) and existing.id is not None:
        history.amend(keeping.book, existing, filled)
        count = (arrival.file_index, arrival.draft.kind)
        keeping.changed[count] = keeping.changed.get(count, 0) + 1
    else:
        keeping.gathered.sort_out(arrival, _kept_hers(arrival, existing, values, differs))


def _known_name(keeping: Keeping, arrival: Arrival, values: Mapping[str, object]) -> Row | None:
    """Count a taxon as there when its name is, unless both give authors and these differ."""
    if arrival.draft.kind != "taxon":
        return None
    for key in keeping.names.find("taxon", str(values["scientific_name"])):
        taxon = _by_id(keeping.book, KINDS["taxon"], key)
        if "uuid" in values and getattr(taxon, "uuid", "") in keeping.gathered.called:
            continue
        authors = {getattr(taxon, "authorship", None), values.get("authorship")} - {None}
        if getattr(taxon, "scientific_name", None) == values["scientific_name"] and len(authors) < 2:
            return taxon
    return None


def _known_key(
    keeping: Keeping, kind: type[Row], arrival: Arrival, values: Mapping[str, object]
) -> Row | None:
    """Find the row that a row with a UUID of its own shares a unique key with, as a person's initials."""
    if "uuid" not in arrival.draft.values:
        return None
    table = rows.table_for(kind)
    unique = [(name,) for name, meaning in meanings(kind).items() if meaning.unique and name != "uuid"]
    for group in (*unique, *kind.GROUPS_UNIQUE):
        if all(values.get(name) is not None for name in group):
            same_key = [table.c[name] == values[name] for name in group]
            if found := rows.records(keeping.book, kind, *same_key, withdrawn=True):
                return found[0]
    return None


def _by_id(book: Book, kind: type[Row], key: int) -> Row:
    (record,) = rows.records(book, kind, rows.table_for(kind).c.id == key, withdrawn=True)
    return record


def _without_twins(
    keeping: Keeping, kind: type[Row], ready: list[tuple[Arrival, dict[str, object]]]
) -> list[tuple[Arrival, dict[str, object]]]:
    """Rows without a UUID are told apart by the columns that no two rows share, else by all of them."""
    columns = kind.GROUPS_UNIQUE[0] if kind.GROUPS_UNIQUE else _own_columns(kind)
    there = {tuple(getattr(r, c) for c in columns) for r in rows.records(keeping.book, kind)}
    new = []
    for arrival, values in ready:
        key = tuple(values.get(c) for c in columns)
        if key in there:
            keeping.gathered.count_already(arrival)
        else:
            there.add(key)
            new.append((arrival, values))
    return new


def _own_columns(kind: type[Row]) -> tuple[str, ...]:
    return tuple(name for name in meanings(kind) if name not in ("id", "batch_id"))


def same(one: object, other: object) -> bool:
    """Whether two values of one column are equal, geometries compared point by point."""
    if isinstance(one, BaseGeometry) and isinstance(other, BaseGeometry):
        return bool(one.equals_exact(other, 0.0))
    return one == other


def _short(value: object) -> str:
    if value is None:
        return "empty"
    return value.geom_type if isinstance(value, BaseGeometry) else str(value)


def _kept_hers(
    arrival: Arrival, existing: Row, values: Mapping[str, object], differs: Sequence[str]
) -> SortedLine:
    told = (f"{c} {_short(getattr(existing, c))}, the file says {_short(values[c])}" for c in differs)
    reason = f"the book has it already and says otherwise: {'; '.join(told)}"
    return SortedLine("left out", reason, arrival.draft.line_number)


def _record(keeping: Keeping, kind: type[Row], arrival: Arrival, values: Mapping[str, object]) -> Row:
    columns = meanings(kind)
    standing: dict[str, object] = {
        "uuid": arrival.uuid,
        "created_at": keeping.now,
        "changed_at": keeping.now,
        "batch_id": keeping.batch_ids.get(arrival.file_index),
    }
    made: dict[str, Any] = {n: v for n, v in (standing | dict(values)).items() if n in columns}
    return kind(**made)


def keep_starter(book: Book, reading: Reading, *, now: datetime.datetime) -> None:
    """Keep the starter names of a new book."""
    gathered = Gathered([])
    for draft in reading.drafts:
        gathered.arrivals.setdefault(draft.kind, []).append(Arrival(draft, uuid_for(draft, ""), 0))
    keeping = Keeping(book, names_in(book), gathered, now, owner_id=1)
    for kind in KINDS:
        keep_kind(keeping, kind)
    if gathered.sorted_lines:
        first = gathered.sorted_lines[0][0]
        raise ValueError(f"the starter names do not fit together: {first.reason}")
