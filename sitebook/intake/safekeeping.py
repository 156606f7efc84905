"""Reads a backup: looks at the whole zip before anything is taken out of it."""

from __future__ import annotations

import datetime
import hashlib
import json
import re
import stat
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sitebook import errors
from sitebook.citations import Cited
from sitebook.records.results.safekeeping import (
    FORMAT_NAME,
    FORMAT_VERSION,
    MANIFEST_NAME,
    README_NAME,
    BackupOrigin,
    Manifest,
    Member,
)

MOST_RATIO = Cited(200.0, "1", "ours", "our choice")
"""How many times its packed size a book may unpack to; an empty book reaches about 15."""

MOST_MANIFEST_BYTES = 1 << 26
_ALWAYS_ALLOWED_BYTES = 1 << 24
_CHUNK_BYTES = 1 << 20
_ENCRYPTED = 0x1
_BOOK_NAME = re.compile(r"[^./\\:\x00-\x1f][^/\\:\x00-\x1f]{0,199}")
_PHOTO_NAME = r"{book}\.photos/[0-9a-f]{{2}}/[0-9a-f]{{64}}\.[a-z0-9]{{1,8}}"
_UNREADABLE = (
    zipfile.BadZipFile,
    zlib.error,
    OSError,
    EOFError,
    NotImplementedError,
    RuntimeError,
    ValueError,
)


@dataclass(frozen=True)
class Backup:
    """A backup that lies open.

    Parameters
    ----------
    path
        Where the zip lies.
    manifest
        What it says of itself.
    packed
        The zip.
    """

    path: Path
    manifest: Manifest
    packed: zipfile.ZipFile

    def chunks(self, member: Member) -> Iterator[bytes]:
        """Give the bytes of one member piece by piece.

        Raises
        ------
        BackupDamaged
            At the end, when they are not what the manifest says; in between, when they cannot be read.
        """
        digest, size_bytes = hashlib.sha256(), 0
        with _told_in_words(self.path), self.packed.open(member.name) as source:
            while chunk := source.read(_CHUNK_BYTES):
                digest.update(chunk)
                size_bytes += len(chunk)
                yield chunk
        if (digest.hexdigest(), size_bytes) != (member.sha256, member.size_bytes):
            raise _damaged(self.path, f"{member.name} is not what it was when it was packed")


@contextmanager
def opened_backup(path: Path) -> Iterator[Backup]:
    """Open a backup after looking at its list of members; nothing is unpacked but the manifest.

    Raises
    ------
    FileMissing
        When it cannot be opened.
    FileNotRecognised
        When it is no backup of sitebook.
    FileTooLarge
        When a member would unpack to far more than a backup holds.
    BookTooNew
        When a newer sitebook made it.
    BackupDamaged
        When it is cut off, or its members are not those of its manifest.
    """
    with _opened_zip(path) as packed:
        listed = [entry for entry in packed.infolist() if not (entry.is_dir() and entry.file_size == 0)]
        entries = {entry.filename: entry for entry in listed}
        if len(entries) != len(listed):
            raise _damaged(path, "two of its parts have one name")
        manifest = _manifest(path, packed, entries)
        _require_members(path, manifest, entries)
        yield Backup(path, manifest, packed)


@contextmanager
def _opened_zip(path: Path) -> Iterator[zipfile.ZipFile]:
    try:
        file = path.open("rb")
    except OSError as error:
        raise errors.FileMissing(
            f"the backup cannot be opened ({error.strerror or error})",
            where=str(path),
            remedy="Look at the spelling and at the folder you are in.",
        ) from error
    with file:
        begins_as_zip = file.read(4) == b"PK\x03\x04"
        file.seek(0)
        try:
            packed = zipfile.ZipFile(file)
        except _UNREADABLE as error:
            if begins_as_zip:
                raise _damaged(path, "its end is missing or torn") from error
            raise _not_ours(path) from error
        with packed:
            yield packed


@contextmanager
def _told_in_words(path: Path) -> Iterator[None]:
    try:
        yield
    except _UNREADABLE as error:
        raise _damaged(path, f"a part of it cannot be read ({error})") from error


def _damaged(path: Path, what: str) -> errors.BackupDamaged:
    return errors.BackupDamaged(
        f"this backup is not whole: {what}",
        where=str(path),
        remedy="Take another copy; nothing was restored from this one.",
    )


def _not_ours(path: Path) -> errors.FileNotRecognised:
    return errors.FileNotRecognised(
        "this is no backup of sitebook",
        where=str(path),
        remedy="Name the zip that `sitebook backup` made; other files come in with `sitebook import`.",
    )


def _manifest(path: Path, packed: zipfile.ZipFile, entries: dict[str, zipfile.ZipInfo]) -> Manifest:
    if MANIFEST_NAME not in entries:
        raise _not_ours(path)
    _require_possible(path, entries[MANIFEST_NAME], MOST_MANIFEST_BYTES)
    with _told_in_words(path):
        text = packed.read(MANIFEST_NAME)
    try:
        said = json.loads(text.decode("utf-8"))
    except (ValueError, RecursionError) as error:
        raise _damaged(path, "its manifest cannot be read") from error
    if not isinstance(said, dict) or said.get("format") != FORMAT_NAME:
        raise _not_ours(path)
    if not isinstance(said.get("format_version"), int) or said["format_version"] > FORMAT_VERSION:
        raise errors.BookTooNew(
            "this backup was made by a newer sitebook",
            where=str(path),
            remedy="Install the newer sitebook, then restore again.",
        )
    try:
        return _read_manifest(said)
    except (KeyError, TypeError, ValueError) as error:
        raise _damaged(path, "its manifest lacks something") from error


def _read_manifest(said: dict[str, Any]) -> Manifest:
    origin = BackupOrigin(
        book_name=str(said["book_name"]),
        book_uuid=str(said["book_uuid"]),
        title=str(said["title"]),
        revision=int(said["revision"]),
        schema=str(said["schema"]),
        made_with=str(said["made_with"]),
        made_at=datetime.datetime.fromisoformat(said["made_at"]),
    )
    members = tuple(Member(str(m["name"]), str(m["sha256"]), int(m["size_bytes"])) for m in said["members"])
    return Manifest(origin, members, tuple(map(str, said["missing"])), tuple(map(str, said["altered"])))


def _require_members(path: Path, manifest: Manifest, entries: dict[str, zipfile.ZipInfo]) -> None:
    named = [member.name for member in manifest.members]
    book = manifest.origin.book_name
    if len(named) != len(set(named)) or named[:1] != [book] or not _BOOK_NAME.fullmatch(book):
        raise _damaged(path, "its manifest does not name one book")
    allowed = re.compile(_PHOTO_NAME.format(book=re.escape(book)))
    strange = [name for name in named[1:] if not allowed.fullmatch(name)]
    strange += sorted(entries.keys() - {*named, MANIFEST_NAME, README_NAME})
    if strange:
        raise _damaged(path, f"it holds '{strange[0]}', which no backup holds")
    lacking = [name for name in named if name not in entries]
    if lacking:
        raise _damaged(path, f"'{lacking[0]}' is missing")
    for member in manifest.members:
        entry = entries[member.name]
        if entry.file_size != member.size_bytes:
            raise _damaged(path, f"{member.name} has another size than when it was packed")
        _require_possible(path, entry, None)
    if sum(entry.compress_size for entry in entries.values()) > path.stat().st_size:
        raise _damaged(path, "its parts overlap")


def _require_possible(path: Path, entry: zipfile.ZipInfo, most_bytes: int | None) -> None:
    if entry.flag_bits & _ENCRYPTED or stat.S_ISLNK(entry.external_attr >> 16):
        raise _damaged(path, f"'{entry.filename}' is locked or is no plain file")
    by_ratio = max(_ALWAYS_ALLOWED_BYTES, int(MOST_RATIO.value * entry.compress_size))
    if entry.file_size > min(by_ratio, most_bytes or by_ratio):
        raise errors.FileTooLarge(
            f"'{entry.filename}' would unpack to {entry.file_size / 1e6:.0f} MB",
            where=str(path),
            remedy="No backup holds such a file; take another copy.",
        )
