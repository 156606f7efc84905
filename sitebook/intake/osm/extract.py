"""Reads a map extract of OpenStreetMap's format into drafts."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from zoneinfo import ZoneInfo

import osmium

from sitebook.errors import FileUnreadable
from sitebook.intake.osm.elements import Origin, drafts_of
from sitebook.intake.osm.extent import attribution, covered, data_date, head_of
from sitebook.intake.osm.packing import Packed, look_at
from sitebook.intake.osm.sheet import Sheet, join_outlines, read_points_and_relations, read_ways
from sitebook.records.incoming import Draft, Reading

WRITTEN_AS_SAID = {
    "pbf": "map extract (.osm.pbf)",
    "osm": "map extract (.osm)",
    "osm.gz": "map extract (.osm.gz)",
    "osm.bz2": "map extract (.osm.bz2)",
}


LONGEST_REASON = 200


def read_osm(path: Path, *, zone: str = "UTC") -> Reading:
    """Read a map extract: .osm.pbf, .osm, .osm.xml, .osm.gz or .osm.bz2.

    Every element of the file is in a draft, or counted among those left out or refused. The file is read
    twice, points and relations first, so that the order of its elements does not matter.

    Parameters
    ----------
    path
        The file.
    zone
        IANA name of the time zone in which the day of the map data is told.

    Returns
    -------
    Reading
        First a draft of the extract, identity "extract:" and its SHA-256; then ways, grounds, points, trees
        and hazards, identity "osm:way/123" (hazards "osm:way/123:kind").

    Raises
    ------
    FileUnreadable
        When it is no map extract, is damaged or cut off, holds the history of a map, or no element at all.
    FileTooLarge
        When it is larger, or unpacks to more, than the limits of `packing`.
    FileMissing, FileNotRecognised
        As `files.require_file`.
    """
    packed = look_at(path)
    sheet = Sheet()
    with _damage_told(path):
        file = osmium.io.File(str(path), packed.written_as)
        header = _header(file, path)
        head = head_of(packed, header)
        read_points_and_relations(file, sheet)
        read_ways(file, sheet)
    join_outlines(sheet)
    extract = _extract_draft(packed, header, head, sheet, ZoneInfo(zone))
    day = extract.values["data_date"]
    origin = Origin(extract.identity, day if isinstance(day, datetime.date) else None)
    drafts = (draft for element in sheet.elements.values() for draft in drafts_of(element, origin))
    return Reading(WRITTEN_AS_SAID[packed.written_as], (extract, *drafts), sheet.tally.sorted_lines)


@contextmanager
def _damage_told(path: Path) -> Iterator[None]:
    try:
        yield
    except (RuntimeError, ValueError, osmium.InvalidLocationError) as reason:
        said = str(reason).strip().rstrip(".")[:LONGEST_REASON] or "no reason given"
        raise FileUnreadable(
            f"the map extract is damaged or cut off ({said})",
            remedy="Fetch or copy it again; the size should be the one its source tells.",
            where=str(path),
        ) from reason


def _header(file: osmium.io.File, path: Path) -> osmium.io.Header:
    with osmium.io.Reader(file, osmium.osm.NOTHING) as reader:
        header = reader.header()
    if header.has_multiple_object_versions:
        raise FileUnreadable(
            "this is the history of a map, or a list of changes",
            remedy="Give an extract that shows the map on one day.",
            where=str(path),
        )
    return header


def _extract_draft(
    packed: Packed, header: osmium.io.Header, head: Mapping[str, str], sheet: Sheet, zone: ZoneInfo
) -> Draft:
    ground = covered(header, sheet.seen)
    if ground is None or sheet.seen.elements == 0:
        raise FileUnreadable(
            "the map extract holds no element with a position",
            remedy="Cut a piece of the map that holds your places.",
            where=str(packed.path),
        )
    values = {
        "sha256": packed.sha256,
        "data_date": data_date(head, sheet.seen, zone),
        "attribution": attribution(head),
        "superseded_by": None,
        "geom": ground,
    }
    return Draft("extract", f"extract:{packed.sha256}", values)
