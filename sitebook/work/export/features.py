"""Turns the records of a book that have a place into features, references written as names."""

from __future__ import annotations

import datetime
from collections.abc import Mapping

import shapely
from shapely.geometry.base import BaseGeometry

from sitebook.records.columns import meanings
from sitebook.records.kinds import KINDS
from sitebook.records.outing import Track
from sitebook.records.person import Person
from sitebook.records.results.going_out import Feature, TrackPiece, TrackPoint
from sitebook.store import rows
from sitebook.store.book import Book
from sitebook.work.asking import list_kind
from sitebook.work.bring_in.names import Names, names_in

PLACES = ("site", "host_tree", "find", "hazard", "spraying")
"""Kinds that go out as GeoJSON; a hazard only where it was told or seen, not where a map shows it."""

ALL_PLACES = (
    "site",
    "host_tree",
    "visit",
    "find",
    "track",
    "traffic_count",
    "hazard",
    "spraying",
    "weather_station",
)
"""Kinds that become tables of features in a database."""

OF_EXTRACTS = ("osm_ref", "extract", "raw_tags")
PEOPLE = ("collector",)
"""Columns of features in which initials may become a full name."""


def features_of(book: Book, kind: str, *, with_people: bool) -> list[Feature]:
    """Give every standing record of a kind as a feature.

    Parameters
    ----------
    book
        The open book.
    kind
        A kind with a geometry.
    with_people
        Whether a collector is named in full instead of by initials.
    """
    names = names_in(book)
    people = {p.initials: p.name for p in rows.records(book, Person)} if with_people else {}
    found = [row for row in list_kind(book, kind).result.rows if row.get("osm_ref") is None]
    return [_feature(kind, row, names, people) for row in found]


def _feature(kind: str, row: Mapping[str, object], names: Names, people: Mapping[str, str]) -> Feature:
    aside = {"id", "uuid", "geom", *OF_EXTRACTS}
    values = {name: _named(kind, name, value) for name, value in row.items() if name not in aside}
    for column in PEOPLE:
        values |= {column: people.get(str(values[column]), values[column])} if column in values else {}
    shape, found_at, elevation_m = row.get("geom"), row.get("found_at"), row.get("elevation_m")
    return Feature(
        kind=kind,
        uuid=str(row["uuid"]),
        called=_called(kind, row, names),
        geometry=shape if isinstance(shape, BaseGeometry) else None,
        values=values,
        found_at=found_at if isinstance(found_at, datetime.datetime) else None,
        elevation_m=elevation_m if isinstance(elevation_m, float) else None,
    )


def _named(kind: str, name: str, value: object) -> object:
    """Leave out the key of something withdrawn, which has no name any more."""
    refers = {column.removesuffix("_id") for column, m in meanings(KINDS[kind]).items() if m.refers}
    return None if name in refers and isinstance(value, int) else value


def _called(kind: str, row: Mapping[str, object], names: Names) -> str:
    if kind == "find":
        key = row["id"] if isinstance(row["id"], int) else -1
        return f"{names.shown.get('find', {}).get(key, 'draft')} {row['name']}"
    if kind == "host_tree":
        return " ".join(str(part) for part in (row["tag"], row["taxon"]) if part)
    return str(row.get("name") or row.get("kind") or row.get("ground") or kind.replace("_", " "))


def tracks_of(book: Book) -> list[TrackPiece]:
    """Give every standing track with the instant and height of each point."""
    return [_piece(track) for track in rows.records(book, Track)]


def _piece(track: Track) -> TrackPiece:
    lonlat = shapely.get_coordinates(track.geom)
    seconds = _numbers(track.point_seconds, len(lonlat)) if track.started_at else [None] * len(lonlat)
    heights_m = _numbers(track.point_elevations_m, len(lonlat))
    start = track.started_at or datetime.datetime.min.replace(tzinfo=datetime.UTC)
    points = tuple(
        TrackPoint(lon, lat, None if s is None else start + datetime.timedelta(seconds=s), height_m)
        for (lon, lat), s, height_m in zip(lonlat.tolist(), seconds, heights_m, strict=True)
    )
    return TrackPiece(track.uuid, track.name, track.piece, points)


def _numbers(text: str | None, how_many: int) -> list[float | None]:
    """Read numbers parted by commas, None where one is empty; all None where their count does not fit."""
    parts = (text or "").split(",")
    if len(parts) != how_many:
        return [None] * how_many
    return [float(part) if part else None for part in parts]
