"""Reads each file with the reader that knows it, and remembers which file a row came from."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal

from sitebook import errors
from sitebook.intake.field_return import read_field_return
from sitebook.intake.files import BYTES_A_MEBIBYTE, name_of, require_there
from sitebook.intake.gpx import read_gpx
from sitebook.intake.osm import read_osm
from sitebook.intake.osm.packing import MOST_PLAIN_MIB
from sitebook.intake.photo import read_photo
from sitebook.intake.recognise import recognise
from sitebook.intake.table import read_table
from sitebook.intake.weather import read_weather
from sitebook.records.incoming import Reading
from sitebook.work.answer import Progress
from sitebook.work.bring_in.pictures import folder_sha256, read_folder

Waypoints = Literal["finds", "sites"]
"""What a waypoint becomes."""

READERS: dict[str, Callable[..., Reading]] = {
    "osm": read_osm,
    "photo": read_photo,
    "entries": read_field_return,
}
"""Reader of each format that needs no more than the file and the zone of the book."""

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
    originals
        Where the original of each photo lies, by its SHA-256.
    """

    path: Path
    sha256: str
    reading: Reading
    originals: Mapping[str, Path] = field(default_factory=dict)

    @property
    def name(self) -> str:
        """Give the file's name, without its folder."""
        return name_of(self.path)


def sha256_of(path: Path) -> str:
    """Give the SHA-256 of a file's bytes, or of all pictures of a folder, in hex.

    Raises
    ------
    FileMissing
        When it cannot be read.
    FileNotRecognised
        When it is a folder without a picture, or a device or pipe.
    FileTooLarge
        When no reader would take as much.
    """
    size_mib = require_there(path) / BYTES_A_MEBIBYTE
    if path.is_dir():
        return folder_sha256(path)
    if size_mib > MOST_PLAIN_MIB.value:
        raise errors.FileTooLarge(
            f"the file holds {size_mib:,.0f} MiB; no file of more than {MOST_PLAIN_MIB.value:g} is read",
            where=str(path),
            remedy="Cut it into smaller files.",
        )
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
    if recognised in READERS:
        return READERS[recognised](path, zone=zone)
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
        progress(f"reading {name_of(path)}", done, len(ordered))
        if path.is_dir() and kind is None:
            folder = read_folder(path, zone=zone, progress=progress)
            digest = sha256_of(path)
            read.setdefault(digest, ReadFile(path, digest, folder.reading, folder.originals))
            continue
        recognise(path)
        digest = sha256_of(path)
        if digest not in read:
            reading = read_file(path, zone=zone, kind=kind, waypoints=waypoints)
            read[digest] = ReadFile(path, digest, reading, _originals(path, reading))
    progress("reading", len(ordered), len(ordered))
    return list(read.values())


def _originals(path: Path, reading: Reading) -> dict[str, Path]:
    return {draft.identity: path for draft in reading.drafts if draft.kind == "photo"}
