"""Makes of one line of a table of finds the find, the name it was given and the host it stood with."""

from __future__ import annotations

import datetime
import itertools
from collections.abc import Container, Mapping

from sitebook.intake.cells import CellError
from sitebook.intake.names import parse_name
from sitebook.intake.table.entry import Entry
from sitebook.intake.table.identity import identity, visit_name
from sitebook.intake.table.making import Making
from sitebook.records.incoming import Draft
from sitebook.vocabulary import SUBSTRATE

ROLE_NOT_GIVEN = "possible"
"""What a host is to a find where the line names it and says no more: the weakest of the words."""


def complete_find(making: Making, entry: Entry, zone: datetime.tzinfo) -> None:
    """Fill in what the line says of a find in other words than the find's own columns.

    Raises
    ------
    CellError
        When the line names no place, or a site without a date, or two dates that differ.
    """
    if entry.at_its_word:
        _join_visit(making, entry)
        return
    date_fits_hour(making, zone)
    site, day = entry.text("site"), making.values.get("found_on")
    if site is None and "geom" not in making.values and "visit_id" not in making.refers:
        raise CellError("where was it? fill site, or lon and lat")
    if "visit_id" in making.refers or (site is not None and isinstance(day, datetime.date)):
        _join_visit(making, entry)
    elif site is not None and "geom" not in making.values:
        raise CellError("a find at a site needs found_on; an interval such as 1994 will do")
    elif site is not None:
        _add_note(making, f"site: {site}")
    habitat = entry.text("habitat")
    if habitat and habitat.casefold() in SUBSTRATE and "substrate" not in making.values:
        making.values["substrate"] = habitat.casefold()
    elif habitat:
        _add_note(making, f"habitat: {habitat}")
    if "geom" in making.values:
        making.values.setdefault("position_source", "typed")


def _join_visit(making: Making, entry: Entry) -> None:
    """Refer to the visit that the line names, else to that of its site and date."""
    site, day = entry.text("site"), making.values.get("found_on")
    if site is not None and isinstance(day, datetime.date):
        making.refers.setdefault("visit_id", visit_name(site, day, entry.instant("started_at")))


def key_of_find(making: Making, key: str, taken: Container[str]) -> str:
    """Give the identity of a find: its collection number, or its key with a count.

    Two lines that nothing tells apart are two finds, unless they carry a number.
    """
    number = making.values.get("collection_number")
    if key.startswith("uuid:"):
        return key
    if number is not None:
        return identity("find", (making.refers.get("collector_id"), number))
    counted = (f"{key}#{how_many}" for how_many in itertools.count(1))
    return next(name for name in counted if name not in taken)


def with_find(find: Draft, entry: Entry) -> list[Draft]:
    """Give a find with its determination and its host, as far as the line names them.

    The determination refers to its taxon by the bare scientific name, whether a book holds it or not.

    Raises
    ------
    CellError
        When the qualifier in the name and the qualifier column differ, or host columns name no host.
    """
    return [find, *_determination(find, entry), *_host(find, entry)]


def settled_qualifier(in_name: str | None, in_column: str | None) -> str | None:
    """Give the one qualifier of a name; raises CellError when name and column say two."""
    if in_name and in_column and in_name != in_column:
        raise CellError(f"qualifier: the name says {in_name!r}, the column says {in_column!r}")
    return in_name or in_column


def date_fits_hour(making: Making, zone: datetime.tzinfo) -> None:
    """Take a missing date from the hour; raises CellError when date and hour are of different days."""
    found_at = making.values.get("found_at")
    if not isinstance(found_at, datetime.datetime):
        return
    local = found_at.astimezone(zone).date()
    first = making.values.setdefault("found_on", local)
    last = making.values.get("found_on_end", first)
    if not first <= local <= last:  # type: ignore[operator]
        raise CellError(f"found_at: {found_at:%Y-%m-%d %H:%M} UTC is not on the date in found_on")


def _add_note(making: Making, text: str) -> None:
    making.values["note"] = "; ".join(str(part) for part in (making.values.get("note"), text) if part)


def _determination(find: Draft, entry: Entry) -> list[Draft]:
    name = entry.text("name")
    if name is None:
        return []
    parsed = parse_name(name)
    by = entry.text("determined_by") or find.refers.get("collector_id")
    values = {
        "verbatim_name": parsed.verbatim,
        "qualifier": settled_qualifier(parsed.qualifier, entry.text("qualifier")),
        "determined_on": entry.first_day("determined_on"),
        "verification_level": entry.text("verification_level"),
        "source_used": entry.text("source_used"),
        "remarks": entry.text("determination_remarks"),
    }
    refers = {"find_id": find.identity, "taxon_id": parsed.bare} | ({"determined_by": by} if by else {})
    key = identity("determination", (find.identity, parsed.verbatim, by, values["determined_on"]))
    return [Draft("determination", key, _filled(values), refers, find.line_number)]


def _host(find: Draft, entry: Entry) -> list[Draft]:
    tree, taxon = entry.text("host_tree"), entry.text("host_taxon")
    values = {
        "role": entry.text("host_role"),
        "distance_m": entry.values.get("host_distance_m"),
        "bearing_deg": entry.values.get("host_bearing_deg"),
        "how_known": entry.text("host_how_known"),
    }
    if tree is None and taxon is None:
        if _filled(values):
            raise CellError("host columns are filled, but neither host_tree nor host_taxon names a host")
        return []
    refers = {"find_id": find.identity}
    refers |= {"host_tree_id": tree} if tree else {}
    refers |= {"taxon_id": taxon} if taxon else {}
    key = identity("find_host", (find.identity, tree, taxon))
    filled = {"role": ROLE_NOT_GIVEN, **_filled(values)}
    return [Draft("find_host", key, filled, refers, find.line_number)]


def _filled(values: Mapping[str, object]) -> dict[str, object]:
    return {name: value for name, value in values.items() if value is not None}
