"""Writes a backup: one zip with the book, the originals of its photos and a manifest."""

from __future__ import annotations

import hashlib
import json
import os
import zipfile
from collections.abc import Callable, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import BinaryIO

from sitebook.records.results.safekeeping import (
    FORMAT_NAME,
    FORMAT_VERSION,
    MANIFEST_NAME,
    README_NAME,
    BackupOrigin,
    Manifest,
    Member,
)

Progress = Callable[[str, int, int], None]
_CHUNK_BYTES = 1 << 20
_EARLIEST = (1980, 1, 1, 0, 0, 0)

_README = """This is a copy of a book of places and of the photos that belong to it, made by sitebook.

To use it with sitebook:   sitebook restore THIS.zip --book NEW-NAME.gpkg

Without sitebook: unpack it with any unzip program. {book} is a GeoPackage (an open format of the Open
Geospatial Consortium, and an SQLite database): map programs open it, and any SQLite program reads its tables.
The folder {book}.photos holds each photo as it came from the camera, named by the SHA-256 of its bytes; the
table photo says which is which. Keep the folder beside the book. manifest.json gives the size and the SHA-256
of every file in here, so that each can be checked.
"""


def pack(
    path: Path,
    origin: BackupOrigin,
    book: Path,
    originals: Sequence[tuple[str, str, Path]],
    progress: Progress,
) -> Manifest:
    """Write the zip anew and see it onto the disk.

    Parameters
    ----------
    path
        Where it is written; nothing may lie there.
    origin
        Which book it is made of, and when.
    book
        A copy of the book that nobody writes in.
    originals
        For each photo its name in the zip, its SHA-256 and where it lies.
    progress
        Told after each file.

    Returns
    -------
    Manifest
        What the zip holds; originals that cannot be read are named as missing.

    Raises
    ------
    OSError
        When the zip cannot be written or the book's copy cannot be read.
    """
    stamp = _stamp(origin)
    with path.open("xb") as file:
        with zipfile.ZipFile(file, "w") as packed:
            members = [_book(packed, origin, book, stamp)]
            missing, altered = [], []
            for done, (name, sha256, original) in enumerate(originals, start=1):
                member = _add(packed, _entry(name, zipfile.ZIP_STORED, stamp), original)
                if member is None:
                    missing.append(name)
                else:
                    members.append(member)
                    altered += [name] if member.sha256 != sha256.lower() else []
                progress("photos packed", done, len(originals))
            manifest = Manifest(origin, tuple(members), tuple(missing), tuple(altered))
            readme = _README.format(book=origin.book_name)
            for name, text in ((README_NAME, readme), (MANIFEST_NAME, as_text(manifest))):
                packed.writestr(_entry(name, zipfile.ZIP_DEFLATED, stamp), text.encode("utf-8"))
        see_onto_disk(file)
    return manifest


def as_text(manifest: Manifest) -> str:
    """Give the manifest as JSON."""
    said = {
        "format": FORMAT_NAME,
        "format_version": FORMAT_VERSION,
        **asdict(manifest.origin),
        "made_at": manifest.origin.made_at.isoformat(timespec="milliseconds").replace("+00:00", "Z"),
        "members": [asdict(member) for member in manifest.members],
        "missing": manifest.missing,
        "altered": manifest.altered,
    }
    return json.dumps(said, ensure_ascii=False, indent=1) + "\n"


def see_onto_disk(file: BinaryIO) -> None:
    """Flush a file onto the disk and, where the system can, forget it, so that it is read back from there."""
    file.flush()
    os.fsync(file.fileno())
    if hasattr(os, "posix_fadvise"):
        os.posix_fadvise(file.fileno(), 0, 0, os.POSIX_FADV_DONTNEED)


def _stamp(origin: BackupOrigin) -> tuple[int, int, int, int, int, int]:
    at = origin.made_at
    return max((at.year, at.month, at.day, at.hour, at.minute, at.second), _EARLIEST)


def _entry(name: str, method: int, stamp: tuple[int, int, int, int, int, int]) -> zipfile.ZipInfo:
    entry = zipfile.ZipInfo(name, date_time=stamp)
    entry.compress_type = method
    entry.external_attr = 0o600 << 16
    return entry


def _book(
    packed: zipfile.ZipFile, origin: BackupOrigin, book: Path, stamp: tuple[int, int, int, int, int, int]
) -> Member:
    member = _add(packed, _entry(origin.book_name, zipfile.ZIP_DEFLATED, stamp), book)
    if member is None or member.size_bytes != book.stat().st_size:
        raise OSError("the copy of the book cannot be read back")
    return member


def _add(packed: zipfile.ZipFile, entry: zipfile.ZipInfo, path: Path) -> Member | None:
    """Pack one file; None when it cannot be read, and as much as can be read when the disk fails midway."""
    digest, size_bytes = hashlib.sha256(), 0
    try:
        source = path.open("rb")
    except OSError:
        return None
    with source:
        chunk = _next_of(source)
        if chunk is None:
            return None
        with packed.open(entry, "w", force_zip64=True) as target:
            while chunk:
                target.write(chunk)
                digest.update(chunk)
                size_bytes += len(chunk)
                chunk = _next_of(source)
    return Member(entry.filename, digest.hexdigest(), size_bytes)


def _next_of(source: BinaryIO) -> bytes | None:
    try:
        return source.read(_CHUNK_BYTES)
    except OSError:
        return None
