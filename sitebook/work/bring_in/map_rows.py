"""Lets a newer map extract set anew what an older one said, and never what she said herself."""

from __future__ import annotations

import dataclasses
import datetime
from collections.abc import Mapping, Sequence
from typing import Any

import shapely

from sitebook.records.kinds import KINDS
from sitebook.records.map_data import Extract
from sitebook.records.standing import Row
from sitebook.store import history, rows
from sitebook.work.bring_in.gathering import Arrival
from sitebook.work.bring_in.keeping import Keeping, keep_kind, resolved
from sitebook.work.bring_in.meeting import same

MAPPED = ("way", "land_cover", "map_point", "mapped_tree", "hazard")
"""Tables filled from extracts; a hazard that carries no map element is hers and left alone."""

_HISTORY = ("extract_id", "valid_from", "valid_to")


def keep_extracts(keeping: Keeping) -> None:
    """Keep the extracts, oldest first, and mark those that a newer one covers whole."""
    keep_kind(keeping, "extract")
    if keeping.gathered.arrivals.get("extract"):
        _mark_superseded(keeping)


def _mark_superseded(keeping: Keeping) -> None:
    extracts = rows.records(keeping.book, Extract)
    for old in extracts:
        newer = [
            new
            for new in extracts
            if _date(new) > _date(old) and new.geom.covers(old.geom) and new.id is not None
        ]
        if newer and old.id is not None:
            newest = max(newer, key=lambda e: (_date(e), e.id or 0))
            history.amend(keeping.book, old, {"superseded_by": newest.id}, batch_id=newest.batch_id)


def _date(extract: Extract | None) -> datetime.date:
    return (extract.data_date if extract else None) or datetime.date.min


def keep_mapped(keeping: Keeping, kind: str) -> None:
    """Keep the mapped rows of one table, each extract after the older ones."""
    arrivals = keeping.gathered.arrivals.get(kind, [])
    from_maps = [a for a in arrivals if a.draft.values.get("osm_ref") is not None]
    keeping.gathered.arrivals[kind] = [a for a in arrivals if a.draft.values.get("osm_ref") is None]
    keep_kind(keeping, kind)
    keeping.gathered.arrivals[kind] = arrivals
    everything = {e.id: e for e in rows.records(keeping.book, Extract)}
    coming = {
        arrival.file_index: key
        for arrival in keeping.gathered.arrivals.get("extract", [])
        for key in keeping.names.find("extract", arrival.draft.identity) & everything.keys()
    }
    known = {key: extract for key, extract in everything.items() if key not in coming.values()}
    for file_index, key in sorted(coming.items()):
        known[key] = everything[key]
        _keep_one(keeping, kind, [a for a in from_maps if a.file_index == file_index], key, known)


def _keep_one(
    keeping: Keeping, kind: str, arrivals: list[Arrival], extract_id: int, known: Mapping[int | None, Extract]
) -> None:
    """Keep what one extract holds of a table; `known` are the extracts read up to this one that stand."""
    record_kind, extract = KINDS[kind], known[extract_id]
    there = rows.by_uuid(keeping.book, record_kind, (a.uuid for a in arrivals))
    new: list[Row] = []
    set_anew: list[tuple[Row, dict[str, object]]] = []
    late: list[tuple[Row, dict[str, object]]] = []
    for arrival in arrivals:
        values = resolved(keeping, arrival)
        if values is None:
            continue
        existing = there.get(arrival.uuid)
        if existing is None:
            new.append(_made(keeping, record_kind, arrival, values))
        elif _date(extract) >= _date(known.get(getattr(existing, "extract_id", None))):
            set_anew += _set_anew(keeping, arrival, existing, values, known)
        else:
            keeping.gathered.count_already(arrival)
            late.append((existing, {n: v for n, v in _content(values).items() if n != "valid_to"}))
    rows.insert(keeping.book, new)
    history.amend_all(keeping.book, set_anew, batch_id=extract.batch_id)
    _say_behind(keeping, late, extract, known)
    if new:
        _count(keeping.added, arrivals[0].file_index, kind, len(new))
    _end_in_newer(keeping, record_kind, [a.uuid for a in arrivals], extract, known)
    _end_what_is_gone(keeping, kind, extract, {a.uuid for a in arrivals}, known)


def _say_behind(
    keeping: Keeping,
    late: list[tuple[Row, dict[str, object]]],
    extract: Extract,
    known: Mapping[int | None, Extract],
) -> None:
    """Write down what an older extract that comes late says of rows a newer one holds; the newer one stands.

    So the older map can come back when the newer extract is taken back.
    """
    history.amend_all(keeping.book, late, batch_id=extract.batch_id)
    by_newer: dict[int | None, list[tuple[Row, dict[str, object]]]] = {}
    for row, values in late:
        back = {name: getattr(row, name) for name in values}
        newer = known[getattr(row, "extract_id", None)].batch_id
        by_newer.setdefault(newer, []).append((dataclasses.replace(row, **values), back))  # type: ignore[arg-type]
    for batch_id, again in by_newer.items():
        history.amend_all(keeping.book, again, batch_id=batch_id)


def _end_in_newer(
    keeping: Keeping,
    kind: type[Row],
    uuids: Sequence[str],
    extract: Extract,
    known: Mapping[int | None, Extract],
) -> None:
    """Give a last day to the elements of this extract that no newer one of their ground holds any more."""
    newer = [e for e in known.values() if _date(e) > _date(extract)]
    if not newer:
        return
    for row in rows.by_uuid(keeping.book, kind, uuids).values():
        if getattr(row, "extract_id", None) != extract.id:
            continue
        place = shapely.point_on_surface(row.geom)  # type: ignore[attr-defined]
        covering = [e for e in newer if e.geom.covers(place)]
        if covering:
            first = min(covering, key=_date)
            history.amend(keeping.book, row, {"valid_to": _date(first)}, batch_id=first.batch_id)


def _count(counts: dict[tuple[int, str], int], file_index: int, kind: str, how_many: int) -> None:
    if how_many:
        counts[file_index, kind] = counts.get((file_index, kind), 0) + how_many


def _made(keeping: Keeping, kind: type[Row], arrival: Arrival, values: Mapping[str, object]) -> Row:
    made: dict[str, Any] = {"uuid": arrival.uuid} | dict(values)
    if kind is KINDS["hazard"]:
        made |= {
            "created_at": keeping.now,
            "changed_at": keeping.now,
            "batch_id": keeping.batch_ids.get(arrival.file_index),
        }
    return kind(**made)


def _content(values: Mapping[str, object]) -> dict[str, object]:
    """Give what an extract says of an element: its columns, that it is there, and the extract itself."""
    said = {name: value for name, value in values.items() if name not in _HISTORY}
    return said | {"extract_id": values["extract_id"], "valid_to": None}


def _set_anew(
    keeping: Keeping,
    arrival: Arrival,
    existing: Row,
    values: Mapping[str, object],
    known: Mapping[int | None, Extract],
) -> list[tuple[Row, dict[str, object]]]:
    """Give the row its new values; the date of its first extract stays, and it is there again.

    Of a hazard the columns that she changed herself stay as she said.
    """
    content = _content(values)
    was_away = _is_away(existing, values["extract_id"], known)
    if was_away:
        content |= {"valid_from": values.get("valid_from")}
        content |= {"withdrawn_at": None} if arrival.draft.kind == "hazard" else {}
    if arrival.draft.kind == "hazard":
        hers = keeping.said_by_her(existing)
        content = {name: value for name, value in content.items() if name not in hers}
    told = [name for name in content if name != "extract_id"]
    if was_away:
        _count(keeping.added, arrival.file_index, arrival.draft.kind, 1)
    elif all(same(getattr(existing, name), content[name]) for name in told):
        keeping.gathered.count_already(arrival)
    else:
        _count(keeping.changed, arrival.file_index, arrival.draft.kind, 1)
    return [(existing, content)]


def _is_away(existing: Row, extract_id: object, known: Mapping[int | None, Extract]) -> bool:
    """Whether a row is out of view, since the extract that held it last was taken back."""
    last = getattr(existing, "extract_id", None)
    is_withdrawn = getattr(existing, "withdrawn_at", None) is not None
    return is_withdrawn or last not in known or last == extract_id


def _end_what_is_gone(
    keeping: Keeping,
    kind: str,
    extract: Extract,
    seen: set[str],
    extracts: Mapping[int | None, Extract],
) -> None:
    """Give a last day to every element that lies inside a newer extract and is no longer in it."""
    if extract.data_date is None:
        return
    shapely.prepare(extract.geom)
    gone = []
    for row in rows.in_window(keeping.book, KINDS[kind], extract.geom.bounds):
        older = extracts.get(getattr(row, "extract_id", None))
        if (
            getattr(row, "osm_ref", None) is None
            or getattr(row, "valid_to", None) is not None
            or getattr(row, "uuid", "") in seen
            or older is None
            or _date(older) >= extract.data_date
        ):
            continue
        if extract.geom.covers(shapely.point_on_surface(row.geom)):  # type: ignore[attr-defined]
            gone.append(row)
    ended = [(row, {"valid_to": extract.data_date}) for row in gone]
    history.amend_all(keeping.book, ended, batch_id=extract.batch_id)
