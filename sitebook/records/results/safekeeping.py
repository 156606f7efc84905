"""What a backup holds, and what backing up and restoring answer."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from pathlib import Path

FORMAT_NAME = "sitebook backup"
FORMAT_VERSION = 1
MANIFEST_NAME = "manifest.json"
README_NAME = "README.txt"


@dataclass(frozen=True)
class Member:
    """One file in a backup.

    Parameters
    ----------
    name
        Its name in the zip.
    sha256
        SHA-256 of its bytes, in hex.
    size_bytes
        How many bytes it has, unpacked.
    """

    name: str
    sha256: str
    size_bytes: int


@dataclass(frozen=True)
class BackupOrigin:
    """Which book a backup was made of, and when.

    Parameters
    ----------
    book_name
        File name of the book, in the zip too.
    book_uuid
        The book's key.
    title
        What she calls it.
    revision
        The book's count of changes.
    schema
        Revision of its tables.
    made_with
        Version of sitebook that made the backup.
    made_at
        Instant of the backup, UTC.
    """

    book_name: str
    book_uuid: str
    title: str
    revision: int
    schema: str
    made_with: str
    made_at: datetime.datetime


@dataclass(frozen=True)
class Manifest:
    """What a backup says of itself.

    Parameters
    ----------
    origin
        Book and instant.
    members
        The book first, then the originals of its photos.
    missing
        Originals that were not in the folder when the backup was made.
    altered
        Originals that were no longer what they had been; they are kept as they were found.
    """

    origin: BackupOrigin
    members: tuple[Member, ...]
    missing: tuple[str, ...] = ()
    altered: tuple[str, ...] = ()


@dataclass(frozen=True)
class BackedUp:
    """A backup that was made and read back.

    Parameters
    ----------
    path
        Where the zip lies.
    size_bytes
        How large it is.
    manifest
        What it holds.
    """

    path: Path
    size_bytes: int
    manifest: Manifest


@dataclass(frozen=True)
class Restored:
    """A book that was restored and looked over.

    Parameters
    ----------
    path
        Where the book lies.
    manifest
        What the backup said of itself.
    upgrade_needed
        Whether the book is at older tables.
    faults
        What looking the book over found; nothing was looked at in a book at older tables.
    """

    path: Path
    manifest: Manifest
    upgrade_needed: bool
    faults: tuple[str, ...]
