"""Makes of one line the drafts it stands for: its record, and what hangs on it."""

from __future__ import annotations

import dataclasses
import datetime
import re
from collections.abc import Callable, Container

from sitebook.intake.cells import CellError
from sitebook.intake.names import parse_name
from sitebook.intake.table.counts import complete_count
from sitebook.intake.table.dates import read_day
from sitebook.intake.table.entry import Entry
from sitebook.intake.table.finds import complete_find, key_of_find, settled_qualifier, with_find
from sitebook.intake.table.identity import identity, identity_of, visit_name
from sitebook.intake.table.kinds import Layout
from sitebook.intake.table.lab_tests import complete_lab_result, complete_lab_test, with_results
from sitebook.intake.table.making import Making, begin
from sitebook.intake.table.sprayings import (
    complete_active,
    complete_spraying,
    remark_on_active,
    with_actives,
)
from sitebook.records.incoming import Draft

DAY_NAMES = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
WEEKDAYS: dict[str, int] = {
    word: number for number, day in enumerate(DAY_NAMES, start=1) for word in (str(number), day, day[:3])
}


def drafts_of(
    layout: Layout, entry: Entry, zone: datetime.tzinfo, taken: Container[str] = frozenset()
) -> list[Draft]:
    """Give the drafts of one line, the record of the table's own kind first.

    Parameters
    ----------
    layout
        Kind of the table.
    entry
        The line.
    zone
        Time zone of local dates; also the zone of a weather station that names none.
    taken
        Identities of earlier lines, by which finds that nothing tells apart are counted.

    Raises
    ------
    CellError
        When the cells of the line do not make a record together.
    """
    making = begin(layout, entry)
    if layout.kind == "find":
        complete_find(making, entry, zone)
    elif layout.kind == "weather_station":
        making.values.setdefault("zone", str(zone))
    if not entry.at_its_word or layout.kind in ALWAYS_COMPLETED:
        COMPLETED.get(layout.kind, _as_it_is)(making, entry)
    key = identity_of(layout, making, entry)
    if layout.kind == "find":
        key = key_of_find(making, key, taken)
    main = Draft(layout.kind, key, making.values, making.refers, entry.line_number)
    return FOLLOWED[layout.kind](main, entry) if layout.kind in FOLLOWED else [main]


def _as_it_is(making: Making, entry: Entry) -> None:
    """Leave a record as its columns made it."""


def _complete_taxon(making: Making, entry: Entry) -> None:
    parsed = parse_name(str(entry.text("scientific_name")))
    if parsed.rank is None:
        raise CellError(
            f"scientific_name: {parsed.verbatim!r} is no scientific name, as Betula pendula is one"
        )
    if parsed.qualifier:
        raise CellError(f"scientific_name: a taxon carries no qualifier ({parsed.qualifier})")
    making.values["scientific_name"] = parsed.bare
    making.values.setdefault("taxon_rank", parsed.rank)
    if parsed.authorship:
        making.values.setdefault("authorship", parsed.authorship)


def _complete_determination(making: Making, entry: Entry) -> None:
    parsed = parse_name(str(entry.text("verbatim_name")))
    qualifier = settled_qualifier(parsed.qualifier, entry.text("qualifier"))
    making.values["verbatim_name"] = parsed.verbatim
    making.refers.setdefault("taxon_id", parsed.bare)
    if qualifier:
        making.values["qualifier"] = qualifier


def _complete_site(making: Making, entry: Entry) -> None:
    _require_place(making, entry)
    is_point = "lon" in entry.values
    if is_point and "radius_m" not in making.values:
        raise CellError("radius_m is empty: a site given as a point needs the metres it reaches round it")
    if not is_point and "radius_m" in making.values:
        raise CellError("radius_m goes with lon and lat; an outline needs none")


def _require_place(making: Making, _: Entry) -> None:
    if "geom" not in making.values and "geom" not in making.refers:
        raise CellError("where is it? fill lon and lat, or outline_wkt")


def _complete_visit(making: Making, entry: Entry) -> None:
    if "site" not in entry.values and "geom" not in making.values:
        raise CellError("where was it? fill site, or lon and lat")


def _complete_look(making: Making, entry: Entry) -> None:
    site, day = entry.text("site"), entry.first_day("local_date")
    if "visit_id" in making.refers:
        return
    if site is None or day is None:
        raise CellError("a look needs the site and local_date of its visit")
    making.refers["visit_id"] = visit_name(site, day, entry.instant("started_at"))


def _complete_look_alike(making: Making, entry: Entry) -> None:
    if making.refers.get("taxon_id") == making.refers.get("other_id"):
        raise CellError(f"other: {entry.text('other')} cannot be taken for itself")


def _complete_find_host(making: Making, _: Entry) -> None:
    if not {"host_tree_id", "taxon_id"} & set(making.refers):
        raise CellError("fill host_tree or taxon")


def _complete_permission(making: Making, entry: Entry) -> None:
    if {"daily_limit", "season_limit"} & set(entry.values) and "limit_unit" not in making.values:
        raise CellError("limit_unit is empty, but a limit is given")


def _with_companions(visit: Draft, entry: Entry) -> list[Draft]:
    apart = ";" if entry.at_its_word else r"[\s,;|]+"
    initials = dict.fromkeys(i.strip() for i in re.split(apart, entry.text("companions") or ""))
    return [visit, *(_hung("visit_person", visit, {"person_id": i}) for i in initials if i)]


def _with_sites_and_closed_days(permission: Draft, entry: Entry) -> list[Draft]:
    sites = dict.fromkeys(s.strip() for s in re.split(r"[;|]", entry.text("sites") or ""))
    weekdays = dict.fromkeys((entry.text("closed_weekdays") or "").replace(",", " ").split())
    closed = dict.fromkeys((entry.text("closed_dates") or "").replace(";", " ").split())
    return [
        permission,
        *(_hung("permission_site", permission, {"site_id": s}) for s in sites if s),
        *(_closed_day(permission, "weekday", _weekday(word)) for word in weekdays),
        *(_closed_day(permission, "closed_on", read_day(text)) for text in closed),
    ]


def _weekday(word: str) -> int:
    if word.casefold() not in WEEKDAYS:
        raise CellError(f"closed_weekdays: {word!r} is no weekday; write 1 to 7 or Mon to Sun")
    return WEEKDAYS[word.casefold()]


def _closed_day(permission: Draft, column: str, value: object) -> Draft:
    key = identity("permission_closed_day", (permission.identity, value))
    refers = {"permission_id": permission.identity}
    return Draft("permission_closed_day", key, {column: value}, refers, permission.line_number)


def _hung(kind: str, main: Draft, refers: dict[str, str]) -> Draft:
    key = identity(kind, (main.identity, *refers.values()))
    return Draft(kind, key, {}, {f"{main.kind}_id": main.identity, **refers}, main.line_number)


def _with_remark_on_active(active: Draft, entry: Entry) -> list[Draft]:
    name = "" if entry.at_its_word else str(active.values["active"])
    return [dataclasses.replace(active, remarks=remark_on_active(name) if name else ())]


ALWAYS_COMPLETED = frozenset({"look", "hazard", "spraying", "spraying_active", "lab_result", "traffic_count"})
"""Kinds that are filled in or checked also where a line is a record as a book keeps it."""

COMPLETED: dict[str, Callable[[Making, Entry], None]] = {
    "taxon": _complete_taxon,
    "determination": _complete_determination,
    "site": _complete_site,
    "hazard": _require_place,
    "visit": _complete_visit,
    "look": _complete_look,
    "look_alike": _complete_look_alike,
    "find_host": _complete_find_host,
    "permission": _complete_permission,
    "traffic_count": complete_count,
    "spraying": complete_spraying,
    "spraying_active": complete_active,
    "lab_test": complete_lab_test,
    "lab_result": complete_lab_result,
}
"""What fills in and checks a record of one kind before it stands."""

FOLLOWED: dict[str, Callable[[Draft, Entry], list[Draft]]] = {
    "find": with_find,
    "visit": _with_companions,
    "permission": _with_sites_and_closed_days,
    "spraying": with_actives,
    "spraying_active": _with_remark_on_active,
    "lab_test": with_results,
}
"""What gives a record together with the records that hang on it."""
