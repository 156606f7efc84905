"""Adds what rows refer to and nobody has entered: a new name, a companion, a station, the visit of a find."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Mapping

from sitebook.records.incoming import Draft
from sitebook.work.bring_in.adopting import identity_of_made
from sitebook.work.bring_in.gathering import Arrival, Gathered
from sitebook.work.bring_in.names import Names, folded, site_of_visit
from sitebook.work.identity_keys import uuid_of

SHORT_INITIALS = 4
_GENUS_ONLY = 1


def complete(gathered: Gathered, names: Names, zone: str) -> dict[str, list[str]]:
    """Add a row for each name that is referred to and stands nowhere; gives the names added, by table."""
    made: dict[str, list[str]] = {}
    called = {kind: _called(gathered, kind) for kind in ("person", "taxon", "weather_station", "visit")}
    taken = {folded(name) for name in called["person"]} | set(names.ids.get("person", {}))
    for arrival, kind, name in list(_references(gathered)):
        if names.find(kind, name) or folded(name) in called[kind]:
            continue
        if kind == "visit" and not _site_known(name, names, gathered):
            continue
        draft = _draft_of(kind, name, arrival.draft, zone, taken)
        if draft is None:
            continue
        called[kind].add(folded(name))
        made.setdefault(kind, []).append(name)
        new = Arrival(draft, uuid_of(kind, draft.identity), arrival.file_index)
        gathered.arrivals.setdefault(kind, []).append(new)
    return made


def _references(gathered: Gathered) -> Iterator[tuple[Arrival, str, str]]:
    wanted = {
        "collector_id": "person",
        "determined_by": "person",
        "person_id": "person",
        "taxon_id": "taxon",
        "station_id": "weather_station",
    }
    for kind in sorted(gathered.arrivals):
        for arrival in gathered.arrivals[kind]:
            for column, name in arrival.draft.refers.items():
                if column in wanted:
                    yield arrival, wanted[column], name
                elif column == "visit_id" and kind == "find":
                    yield arrival, "visit", name


def _called(gathered: Gathered, kind: str) -> set[str]:
    names: set[str] = set()
    for arrival in gathered.arrivals.get(kind, []):
        names |= {arrival.uuid, *(folded(name) for name in _draft_names(kind, arrival.draft))}
    if kind == "taxon":
        for arrival in gathered.arrivals.get("vernacular_name", []):
            names.add(folded(str(arrival.draft.values["vernacular"])))
    return names


def _draft_names(kind: str, draft: Draft) -> tuple[str, ...]:
    values = draft.values
    if kind == "person":
        return str(values["initials"]), str(values["name"])
    if kind == "taxon":
        return (str(values["scientific_name"]),)
    if kind == "weather_station":
        return (str(values["code"]),)
    day, began = f"{draft.refers.get('site_id')}@{values['local_date']}", values.get("started_at")
    if isinstance(began, datetime.datetime):
        return day, f"{day}@{began.astimezone(datetime.UTC):%H:%M}"
    return (day,)


def _site_known(visit: str, names: Names, gathered: Gathered) -> bool:
    site = site_of_visit(visit)
    sites = gathered.arrivals.get("site", [])
    arriving = {folded(str(a.draft.values["name"])) for a in sites} | {a.uuid for a in sites}
    return bool(names.find("site", site)) or folded(site) in arriving


def _draft_of(kind: str, name: str, referring: Draft, zone: str, taken: set[str]) -> Draft | None:
    if kind == "person":
        return _person(name, taken)
    if kind == "taxon":
        return _taxon(name, "Plantae" if referring.kind in ("host_tree", "find_host") else "Fungi")
    if kind == "weather_station":
        return Draft(kind, name, {"code": name, "name": name, "zone": zone})
    return _visit(name, referring.values)


def _person(name: str, taken: set[str]) -> Draft:
    initials = name if len(name) <= SHORT_INITIALS else "".join(word[0] for word in name.split()).upper()
    number, free = 1, initials
    while folded(free) in taken and folded(free) != folded(name):
        number += 1
        free = f"{initials}{number}"
    taken |= {folded(free), folded(name)}
    return Draft("person", free, {"name": name, "initials": free})


def _taxon(name: str, kingdom: str) -> Draft:
    rank = "genus" if len(name.split()) == _GENUS_ONLY else "species"
    return Draft("taxon", f"taxon:{name}|", {"scientific_name": name, "taxon_rank": rank, "kingdom": kingdom})


def _visit(name: str, of_find: Mapping[str, object]) -> Draft | None:
    site = site_of_visit(name)
    day, end = of_find.get("found_on"), of_find.get("found_on_end")
    if not isinstance(day, datetime.date):
        return None
    values: dict[str, object] = {"local_date": day, "reason": "seen first", "looked_for_all": False}
    if end is not None:
        values["local_date_end"] = end
    return Draft("visit", identity_of_made(name), values, {"site_id": site})
