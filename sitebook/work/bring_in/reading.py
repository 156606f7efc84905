"""Reads each file with the reader that knows it, and remembers which file a row came from."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from sitebook import errors
from sitebook.intake.gpx import read_gpx
from sitebook.intake.osm import read_osm
from sitebook.intake.recognise import recognise
from sitebook.intake.table import read_table
from sitebook.intake.weather import read_weather
from sitebook.records.incoming import Reading
from sitebook.work.answer import Progress

Waypoints = Literal["finds", "sites"]
"""What a waypoint becomes."""

_CHUNK_BYTES = 1 << 20


@dataclass(frozen=True)
class ReadFile:
    """One file as read.

    Parameters
    ----------
    path
        Where it lay.
    sha256
        SHA-256 of its bytes, in hex.
    reading
        What its reader gave.
    """

    path: Path
    sha256: str
    reading: Reading


def sha256_of(path: Path) -> str:
    """Give the SHA-256 of a file's bytes, in hex.

    Raises
    ------
    FileMissing
        When it cannot be read.
    """
    digest = hashlib.sha256()
    try:
        with path.open("rb") as file:
            while chunk := file.read(_CHUNK_BYTES):
                digest.update(chunk)
    except OSError as error:
        raise errors.FileMissing(
            f"the file cannot be read ({error.strerror})", where=str(path), remedy="Look at its name."
        ) from error
    return digest.hexdigest()


def read_file(path: Path, *, zone: str, kind: str | None, waypoints: Waypoints) -> Reading:
    """Read one file with the reader that knows it.

    Raises
    ------
    SitebookError
        When the file is missing, of no known kind, or broken as a whole.
    """
    if kind is not None and kind != "weather":
        return read_table(path, zone=zone, kind=kind)
    recognised = recognise(path)
    if recognised == "gpx":
        return read_gpx(path, zone=zone, waypoints=waypoints)
    if recognised == "osm":
        return read_osm(path, zone=zone)
    if recognised == "weather" or kind == "weather":
        return read_weather(path, zone=zone)
    return read_table(path, zone=zone)


def read_all(
    paths: Sequence[Path], *, zone: str, kind: str | None, waypoints: Waypoints, progress: Progress
) -> list[ReadFile]:
    """Read every file once, by name and content, so that the order they were named in does not matter."""
    read: dict[str, ReadFile] = {}
    ordered = sorted(paths, key=lambda path: (path.name, str(path)))
    for done, path in enumerate(ordered):
        progress(f"reading {path.name}", done, len(ordered))
        recognise(path)
        digest = sha256_of(path)
        if digest not in read:
            read[digest] = ReadFile(path, digest, read_file(path, zone=zone, kind=kind, waypoints=waypoints))
    progress("reading", len(ordered), len(ordered))
    return list(read.values())
