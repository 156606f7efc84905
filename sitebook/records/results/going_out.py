"""What goes out of the book: features with names in place of keys, tracks, reports, answers to queries."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from shapely.geometry.base import BaseGeometry


@dataclass(frozen=True)
class Feature:
    """One record with a place.

    Parameters
    ----------
    kind
        Table it is kept in.
    uuid
        Its UUID.
    called
        What it is called, in one line.
    geometry
        Where it is, WGS 84; None where only its site is known.
    values
        Its columns in order, references as names; neither key nor geometry.
    found_at
        Instant, UTC; None where it has none.
    elevation_m
        Height above the sea [m]; None where not noted.
    """

    kind: str
    uuid: str
    called: str
    geometry: BaseGeometry | None
    values: Mapping[str, object]
    found_at: datetime.datetime | None = None
    elevation_m: float | None = None


@dataclass(frozen=True)
class TrackPoint:
    """One point of a track; the instant is UTC, and None stands for what was not recorded."""

    lon: float
    lat: float
    at: datetime.datetime | None
    elevation_m: float | None


@dataclass(frozen=True)
class TrackPiece:
    """One unbroken piece of a recorded way."""

    uuid: str
    name: str | None
    piece: int
    points: tuple[TrackPoint, ...]


@dataclass(frozen=True)
class WrittenFile:
    """One file that was written, and how many records of which kind it holds."""

    path: Path
    counts: Mapping[str, int]


@dataclass(frozen=True)
class ExportReport:
    """What an export wrote.

    Parameters
    ----------
    written_as
        The format.
    files
        The files.
    remarks
        What she should know of them, a sentence each.
    """

    written_as: str
    files: tuple[WrittenFile, ...]
    remarks: tuple[str, ...]


@dataclass(frozen=True)
class QueryAnswer:
    """What a query found.

    Parameters
    ----------
    columns
        Names of the columns as the query gives them; a doubled name carries a number.
    rows
        Values in the order of the columns: text, numbers, None, geometries as well-known text.
    cut_off
        Whether there are more rows than these.
    remarks
        What the engine complained of without failing, a sentence each.
    """

    columns: tuple[str, ...]
    rows: tuple[tuple[object, ...], ...]
    cut_off: bool = False
    remarks: tuple[str, ...] = ()
