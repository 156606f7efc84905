"""Turns what a line says into the cells that a typed row of the same kind would have."""

from __future__ import annotations

import datetime
import zoneinfo
from collections.abc import Iterable, Mapping

from sitebook.intake.cells import CellError
from sitebook.intake.field_return.line import WholeLine
from sitebook.intake.table.times import is_stamp, read_instant

VISIT = (
    "site",
    "local_date",
    "started_at",
    "reason",
    "searchers",
    "search_minutes",
    "looked_for_all",
    "companions",
    "remarks",
    "lon",
    "lat",
)
PART_OF_VISIT = ("site", "local_date", "started_at", "reason")
"""What looks and finds repeat of their visit, so that it can be made where its own line is lost."""

LOOK = ("host_tree", "taxon", "outcome", "minutes", "remarks")
FIND = (
    "site",
    "found_at",
    "collector",
    "collection_number",
    "name",
    "qualifier",
    "individual_count",
    "count_of",
    "taken_count",
    "remaining_count",
    "fresh_mass_g",
    "growth_stage",
    "substrate",
    "host_tree",
    "host_role",
    "lon",
    "lat",
    "uncertainty_m",
    "position_source",
    "note",
)
NOTED = (("base_dug", "base dug up"), ("smell", "smell"), ("photos", "photos"))
"""What goes into a find's note for want of a column, in this order and with these words before it."""

HOST_SEEN = "seen by her"
POSITION_OF_SITE = "site"

READ = {
    "visit": frozenset((*VISIT, "site_uuid", "companion_uuids")),
    "look": frozenset((*PART_OF_VISIT, *LOOK, "visit", "site_uuid", "host_tree_uuid", "taxon_uuid")),
    "find": frozenset(
        (
            *PART_OF_VISIT,
            *FIND,
            *(name for name, _ in NOTED),
            "visit",
            "site_uuid",
            "host_tree_uuid",
            "taxon_uuid",
            "collector_uuid",
        )
    ),
    "end": frozenset(("lines", "last_number")),
}
"""Members read of each kind, beside those that every line has."""

EVERY = frozenset(("v", "kind", "uuid", "seq", "at", "book", "sheet", "pad", "revision", "withdrawn", "sum"))


def unread(line: WholeLine) -> tuple[str, ...]:
    """Name the members of a line that nobody reads."""
    return tuple(sorted(set(line.says) - EVERY - READ[line.kind]))


def of_visit(says: Mapping[str, object], *, own: bool) -> dict[str, str]:
    """Give the cells of a visit, from its own line or from a line of something on it."""
    return _cells(says, VISIT if own else PART_OF_VISIT)


def of_look(says: Mapping[str, object]) -> dict[str, str]:
    """Give the cells of a look, those of its visit among them."""
    return _cells(says, (*LOOK, "site", "local_date"))


def of_find(says: Mapping[str, object], zone: str) -> dict[str, str]:
    """Give the cells of a find with its name and host."""
    cells = _cells(says, FIND)
    cells["found_on"] = _text(says.get("local_date")) or ""
    pieces = [cells.pop("note", "")]
    if "lon" not in cells:
        cells["position_source"] = POSITION_OF_SITE
    if "host_tree" in cells:
        cells["host_how_known"] = HOST_SEEN
    if "name" in cells:
        cells["determined_on"] = cells["found_on"]
    else:
        cells.pop("qualifier", None)
    if "found_at" in cells and not _falls_on(cells["found_at"], cells["found_on"], zone):
        pieces.append(f"noted at {cells.pop('found_at')}")
    pieces += [f"{said}: {value}" for name, said in NOTED if (value := _text(says.get(name)))]
    if note := "; ".join(piece for piece in pieces if piece):
        cells["note"] = note
    return cells


def _falls_on(instant: str, day: str, zone: str) -> bool:
    """Whether an instant falls on a day in the book's zone; what is no instant is left for its column."""
    if not is_stamp(instant):
        return True
    try:
        local = read_instant(instant, None, datetime.UTC).astimezone(zoneinfo.ZoneInfo(zone))
    except CellError:
        return True
    return local.date().isoformat() == day


def _cells(says: Mapping[str, object], names: Iterable[str]) -> dict[str, str]:
    texts = {name: _text(says.get(name)) for name in names}
    return {name: text for name, text in texts.items() if text}


def _text(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | str):
        return str(value).strip()
    raise CellError(f"{value!r} is neither text nor a number")
