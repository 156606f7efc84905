"""Writes rows into the book, each reference turned from a name into a key."""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from sitebook.records.columns import meanings
from sitebook.records.incoming import Draft, Reading, SortedLine
from sitebook.records.kinds import KINDS, table_name
from sitebook.records.standing import Row, Standing
from sitebook.store import acts, history, rows
from sitebook.store.book import Book
from sitebook.work.bring_in.adopting import adopt
from sitebook.work.bring_in.claims import Claim, Claims
from sitebook.work.bring_in.gathering import Arrival, Gathered, another_says_otherwise, uuid_for
from sitebook.work.bring_in.grounds import placed_at, target_of
from sitebook.work.bring_in.meeting import meet, otherwise, same, stands_for
from sitebook.work.bring_in.names import Names, names_in, site_of_visit
from sitebook.work.opening import book_row

__all__ = ["Keeping", "keep_kind", "keep_starter", "resolved", "same"]


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
    gone
        Acts and imports that were taken back.
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
    gone: tuple[frozenset[str], frozenset[int]] = (frozenset(), frozenset())

    def batch_of(self, arrival: Arrival) -> int | None:
        """Give the import a row comes with; None for one that is typed."""
        return self.batch_ids.get(arrival.file_index)

    def count_changed(self, arrival: Arrival) -> None:
        """Count a row of the book that a file changed."""
        self.count(self.changed, arrival)

    def count(self, counts: dict[tuple[int, str], int], arrival: Arrival) -> None:
        """Count a row of a file as added or changed."""
        place = (arrival.file_index, arrival.draft.kind)
        counts[place] = counts.get(place, 0) + 1

    def said_by_her(self, record: Row) -> frozenset[str]:
        """Give the columns of a row that she set herself, and that stand so."""
        changes = history.of_row(self.book, table_name(type(record)), history.row_key(record))
        standing = acts.only_standing(changes, *self.gone)
        return frozenset(change.column_name for change in standing if change.batch_id is None)


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
        keeping.count(keeping.added, arrival)
    if history.is_link(record_kind) and history.act_of(keeping.book) is not None:
        for (arrival, _), record in zip(new, records, strict=True):
            history.note_made(keeping.book, [record], batch_id=keeping.batch_of(arrival))
    return ids


def _called(keeping: Keeping, arrival: Arrival) -> set[str]:
    called = keeping.gathered.called.get(arrival.uuid, {arrival.draft.identity})
    return called if arrival.draft.kind == "vernacular_name" else called | {arrival.uuid}


def resolved(keeping: Keeping, arrival: Arrival) -> dict[str, object] | None:
    """Give a row's values with keys for names; None, and a refused line, where a name stands nowhere.

    What hangs on a refused row, as the name of a refused find, goes with it and has no line of its own.
    """
    draft = arrival.draft
    values = dict(draft.values)
    if draft.kind == "find" and "visit_id" in draft.refers:
        keeping.visit_of_find[draft.identity] = draft.refers["visit_id"]
    for column, name in draft.refers.items():
        target = target_of(draft.kind, column)
        found = keeping.names.find(target, name)
        if len(found) > 1:
            found = _meant(keeping, draft, target, name) or found
        if not found and name in keeping.gathered.refused:
            return None
        if len(found) != 1:
            keeping.gathered.sort_out(arrival, _unresolved(keeping.names, draft, target, name, len(found)))
            return None
        (key,) = found
        values |= placed_at(keeping.book, key, values, name) if column == "geom" else {column: key}
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
    taken = _keys_taken(keeping, kind) if ready else {}
    claims = Claims(tuple(taken))
    new = []
    for arrival, values in ready:
        existing = (
            there.get(arrival.uuid)
            or _known_name(keeping, arrival, values)
            or _known_key(keeping, kind, values, taken)
        )
        if existing is not None:
            _meet(keeping, arrival, existing, values)
        elif (earlier := claims.first(values)) is not None:
            _say_the_same_or_otherwise(keeping, arrival, values, earlier)
        elif not _adopted(keeping, arrival, values):
            claims.take(arrival, values)
            new.append((arrival, values))
    return new


def _say_the_same_or_otherwise(
    keeping: Keeping, arrival: Arrival, values: Mapping[str, object], earlier: Claim
) -> None:
    """Leave out a row whose key an earlier one on its way claims; what hangs on it hangs on that one."""
    first, said = earlier
    keeping.gathered.called[first.uuid] = _called(keeping, first) | _called(keeping, arrival)
    if all(same(said.get(name), value) for name, value in values.items() if name != "uuid"):
        keeping.gathered.count_already(arrival)
    else:
        keeping.gathered.sort_out(arrival, another_says_otherwise(arrival.draft))


def _adopted(keeping: Keeping, arrival: Arrival, values: Mapping[str, object]) -> bool:
    if arrival.draft.kind != "visit":
        return False
    site_name = keeping.names.called_now("site", values.get("site_id"))
    batch_id = keeping.batch_ids.get(arrival.file_index)
    made_id = adopt(keeping.book, site_name, arrival.uuid, values, batch_id=batch_id)
    if made_id is None:
        return False
    keeping.names.call("visit", made_id, *_called(keeping, arrival))
    count = (arrival.file_index, "visit")
    keeping.changed[count] = keeping.changed.get(count, 0) + 1
    return True


def _meet(keeping: Keeping, arrival: Arrival, existing: Row, values: Mapping[str, object]) -> None:
    """Let a row meet the one the book has; what hangs on the row finds it by what the file calls it."""
    keeping.names.call(arrival.draft.kind, stands_for(keeping.book, existing), *_called(keeping, arrival))
    met = meet(keeping.book, existing, values, batch_id=keeping.batch_of(arrival), gone=keeping.gone)
    if met.became == "already":
        keeping.gathered.count_already(arrival)
    elif met.became in ("changed", "back"):
        keeping.count(keeping.added if met.became == "back" else keeping.changed, arrival)
    if met.became == "back":
        (fresh,) = rows.by_uuid(keeping.book, type(existing), [history.row_key(existing)]).values()
        keeping.names.add(arrival.draft.kind, existing.id or 0, rows.values_of(fresh))
    if met.reason is not None:
        line = SortedLine("left out", met.reason, arrival.draft.line_number)
        keeping.gathered.sort_out(arrival, line)


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


def _keys_taken(keeping: Keeping, kind: type[Row]) -> dict[tuple[str, ...], dict[tuple[object, ...], int]]:
    """Give the row that holds each unique key, as a person's initials, whatever its UUID."""
    unique = [(name,) for name, meaning in meanings(kind).items() if meaning.unique and name != "uuid"]
    return {group: rows.ids_by(keeping.book, kind, group) for group in (*unique, *kind.GROUPS_UNIQUE)}


def _known_key(
    keeping: Keeping,
    kind: type[Row],
    values: Mapping[str, object],
    taken: Mapping[tuple[str, ...], Mapping[tuple[object, ...], int]],
) -> Row | None:
    """Find the row that a row shares a unique key with."""
    for group, there in taken.items():
        key = there.get(tuple(values.get(name) for name in group))
        if key is not None:
            return _by_id(keeping.book, kind, key)
    return None


def _by_id(book: Book, kind: type[Row], key: int) -> Row:
    (record,) = rows.records(book, kind, rows.table_for(kind).c.id == key, withdrawn=True)
    return record


def _without_twins(
    keeping: Keeping, kind: type[Row], ready: list[tuple[Arrival, dict[str, object]]]
) -> list[tuple[Arrival, dict[str, object]]]:
    """Rows without a UUID are told apart by the columns that no two rows share, else by all of them.

    A row of an import that was taken back is taken over.
    """
    columns = kind.GROUPS_UNIQUE[0] if kind.GROUPS_UNIQUE else _own_columns(kind)
    there = {
        tuple(getattr(r, c) for c in columns): r for r in rows.records(keeping.book, kind, withdrawn=True)
    }
    new = []
    for arrival, values in ready:
        key = tuple(values.get(c) for c in columns)
        twin = there.get(key)
        if twin is None:
            there[key] = _record(keeping, kind, arrival, values)
            new.append((arrival, values))
        elif getattr(twin, "batch_id", None) in keeping.gone[1]:
            _take_over(keeping, arrival, twin, values)
            there[key] = _record(keeping, kind, arrival, values)
        else:
            _meet_twin(keeping, arrival, twin, values)
    return new


def _meet_twin(keeping: Keeping, arrival: Arrival, twin: Row, values: Mapping[str, object]) -> None:
    """Let a row without a UUID meet its twin: fill what is empty, and tell where they differ."""
    differs = {c: v for c, v in values.items() if not same(getattr(twin, c), v)}
    against = {c: v for c, v in differs.items() if getattr(twin, c) is not None}
    if against:
        line = SortedLine("left out", otherwise(twin, against), arrival.draft.line_number)
        keeping.gathered.sort_out(arrival, line)
    elif differs and twin.id is not None:
        history.amend(keeping.book, twin, differs, batch_id=keeping.batch_of(arrival))
        keeping.count_changed(arrival)
    else:
        keeping.gathered.count_already(arrival)


def _take_over(keeping: Keeping, arrival: Arrival, twin: Row, values: Mapping[str, object]) -> None:
    whole = rows.values_of(_record(keeping, type(twin), arrival, values))
    own = {name: value for name, value in whole.items() if name != "id"}
    history.amend(keeping.book, twin, own, batch_id=keeping.batch_of(arrival))
    keeping.count(keeping.added, arrival)


def _own_columns(kind: type[Row]) -> tuple[str, ...]:
    return tuple(name for name in meanings(kind) if name not in ("id", "batch_id"))


def _record(keeping: Keeping, kind: type[Row], arrival: Arrival, values: Mapping[str, object]) -> Row:
    columns = meanings(kind)
    standing: dict[str, object] = {
        "uuid": arrival.uuid,
        "created_at": keeping.now,
        "changed_at": keeping.now,
        "batch_id": keeping.batch_of(arrival),
    }
    said = _told_by_the_book(keeping, arrival) | dict(values)
    made: dict[str, Any] = {n: v for n, v in (standing | said).items() if n in columns}
    return kind(**made)


def _told_by_the_book(keeping: Keeping, arrival: Arrival) -> dict[str, object]:
    """Give what a new weather station takes where its file is silent: its code as name, the book's zone."""
    if arrival.draft.kind != "weather_station":
        return {}
    return {"name": arrival.draft.values["code"], "zone": book_row(keeping.book).zone}


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
