"""Makes docs/formats/osm.md: what is read of a map extract, and what becomes of it."""

from __future__ import annotations

from collections.abc import Iterator

from sitebook.citations import Cited
from sitebook.intake.osm import packing, tally
from sitebook.reference.map_tags import (
    TABLES,
    Condition,
    HazardKind,
    Table,
    TagRow,
    hazard_kinds,
    kinds_of,
    tag_rows,
)
from tests.house.source_files import REPOSITORY

PAGE = REPOSITORY / "docs" / "formats" / "osm.md"

TITLES: dict[Table, str] = {
    "way": "Roads and paths",
    "land_cover": "Ground",
    "map_point": "Points to find one's way by",
    "mapped_tree": "Trees",
    "hazard": "Sources of pollution",
}

OPENING = """# Map extracts

This page is made from the tables `osm_tags` and `hazard_kinds` by
`.venv/bin/python -m tests.house.write_docs`; do not edit it.

`sitebook import TOWN.osm.pbf` reads an extract of OpenStreetMap, or any map written in its format:
`.osm.pbf`, `.osm`, `.osm.xml`, `.osm.gz`, `.osm.bz2`. What the file is, is told from its bytes.

**The extract itself** becomes one row: its SHA-256, the day of its data, the ground it covers and whom to
name. The day is the one in the head of the file, else that of the newest element, else not known. The ground
is the box in the head, else the box round all points: an extract without a box may seem to cover more than it
does. The name is "© OpenStreetMap contributors, ODbL 1.0", unless the root element carries an attribution of
its own that is no link to OpenStreetMap, or the program that wrote the file calls its map invented.

**Each element** (point, way, or relation that draws an outline) may become one row in each of the tables
below, by the first line that fits; as a source of pollution it becomes a row for every kind that fits. It is
known again by its name in the map, as way/123, when a newer extract comes. All its tags are kept.

- Outlines may have holes, and islands in the holes. Ways are joined to rings; a ring inside a ring is a hole.
- Where the extract ends in the middle of a road, the longest run of points inside is kept. Ground that is cut
  off is not drawn; a source of pollution that is cut off is kept as the line that is left of its outline.
- Points that follow themselves are taken once. Outlines that cross themselves are mended.
- Width is read in metres, centimetres or feet, and is empty where it is no single length. A motorway and a
  roundabout run one way unless tagged otherwise (OpenStreetMap's own rule); so does a road whose direction
  changes with the hour.
- A tree's name is kept as tagged. Where genus and species do not agree, both stand, as
  "species=...; genus=...".
- A point for an area (a car park, a station) lies inside the area.
"""


def _conditions(also: tuple[Condition, ...]) -> str:
    words = {"=": "{0}={1}", "!=": "not {0}={1}", "<": "{0} before {1}"}
    return ", ".join(words[c.sign].format(c.key, c.value) for c in also)


def _tag_line(row: TagRow) -> str:
    value = "any but no" if row.value == "*" else row.value
    cells = (f"{row.key}={value}", _conditions(row.also), " or ".join(row.shapes), row.kind, row.note)
    return f"| {' | '.join(cells)} | {row.source_key} ({row.mark}) |"


def _tags(table: Table) -> Iterator[str]:
    yield f"\n## {TITLES[table]}: `{table}`\n"
    how_many = len(kinds_of(table))
    yield f"{how_many} kinds. What a tag becomes is our choice; the source says what the tag means.\n"
    yield "| tag | only where | taken as | becomes | note | source of the tag |\n|---|---|---|---|---|---|"
    yield from (_tag_line(row) for row in tag_rows() if row.lands_in == table)


def _metres(value: Cited | None) -> str:
    return "none" if value is None else f"{value.value:g} m: {value.said}"


def _kind_line(kind: HazardKind) -> str:
    place = ", ".join(filter(None, (kind.source_key, kind.locator))) + f" ({kind.mark})"
    softer = "on it" if kind.hard_on_it else "may be" if kind.hard_may_be else "yes"
    leave = softer if kind.hard_rule else "no"
    yes_no = (leave, "yes" if kind.asks_spraying else "no")
    numbers = (_metres(kind.distance_m), _metres(kind.length_scale_m), _metres(kind.reach_m))
    return f"| {' | '.join((kind.kind, kind.title, kind.what, place, *numbers, *yes_no))} |"


def _kinds() -> Iterator[str]:
    yield "\n## Kinds of pollution sources\n"
    yield (
        "Distance: published or agreed, within which a place is marked. Length: over which the effect is\n"
        "taken to fall to a third. Reach: within which the source is named at all. Leave it: inside it, or\n"
        "on it, the advice is to leave everything. Spraying: its spray history is not known unless somebody\n"
        "tells it. A map shows mapped sources alone; a kind without a tag above is one that she tells of.\n"
    )
    yield "| kind | title | what may be there | source | distance | length | reach | leave it | spraying |"
    yield "|---|---|---|---|---|---|---|---|---|"
    yield from (_kind_line(kind) for kind in hazard_kinds().values())


def _sorting() -> Iterator[str]:
    yield "\n## Left out, refused, and too large\n"
    yield "Every element is kept, left out or refused; the import says how many, and names the first few.\n"
    reasons = {name: text for name, text in vars(tally).items() if name.isupper() and isinstance(text, str)}
    left_out = [text for text in reasons.values() if text not in (*tally.PARTS, *tally.REFUSED)]
    yield "Left out, and the rest comes in:\n\n" + "\n".join(f"- {text}" for text in left_out)
    yield "\nKept, with a note:\n\n" + "\n".join(f"- {text}" for text in tally.PARTS)
    yield "\nRefused, and nothing of the file comes in unless told so:\n\n" + "\n".join(
        f"- {text}" for text in tally.REFUSED
    )
    yield (
        f"\nNot read at all: a .osm.pbf above {packing.MOST_PBF_MIB.value:g} MiB; text above"
        f" {packing.MOST_PLAIN_MIB.value:g} MiB,\npacked or unpacked; a packed file that unpacks to more than"
        f" {packing.MOST_RATIO.value:g} times its size (our choices);\nthe history of a map, lists of"
        " changes, files that break off."
    )


def drawn() -> str:
    """Give the page as it should stand."""
    tables = [line for table in TABLES for line in _tags(table)]
    return "\n".join([OPENING.rstrip("\n"), *tables, *_kinds(), *_sorting()]) + "\n"
