"""Takes the bytes of a file, or says in words why it cannot."""

from __future__ import annotations

import os
import stat
from pathlib import Path

from sitebook.citations import Cited
from sitebook.errors import FileMissing, FileNotRecognised, FileTooLarge, FileUnreadable

BYTES_A_MEBIBYTE = 1024 * 1024
LONGEST_PATH = 300


def require_there(path: Path) -> int:
    """Make sure that a file or a folder lies at a path; gives its size in bytes. Nothing is opened.

    Raises
    ------
    FileMissing
        When nothing lies at the path, or it may not be looked at.
    FileNotRecognised
        When it is a device or a pipe, whose bytes may never end.
    """
    try:
        found = path.stat()
    except (OSError, ValueError) as reason:
        raise FileMissing(
            "there is no such file",
            remedy="Look at the spelling of its name and at the folder it lies in.",
            where=str(path)[-LONGEST_PATH:],
        ) from reason
    if not (stat.S_ISREG(found.st_mode) or stat.S_ISDIR(found.st_mode)):
        raise FileNotRecognised(
            "this is a device or a pipe, not a file",
            remedy="Save what it holds as a file, then name that.",
            where=str(path),
        )
    return found.st_size


def require_file(path: Path) -> None:
    """Make sure that there is a file with something in it.

    Raises
    ------
    FileMissing, FileNotRecognised
        As `require_there`; FileNotRecognised also when the path is a folder.
    FileUnreadable
        When the file is empty.
    """
    size_bytes = require_there(path)
    if path.is_dir():
        raise FileNotRecognised(
            "this is a folder, not a file",
            remedy="Name the files in it, as in FOLDER/*.gpx.",
            where=str(path),
        )
    if size_bytes == 0:
        raise FileUnreadable("the file is empty", remedy="Save or copy it again.", where=str(path))


def read_head(path: Path, most_bytes: int) -> bytes:
    """Give the first bytes of a file; raises as `require_file` does."""
    require_file(path)
    try:
        with path.open("rb") as file:
            return file.read(most_bytes)
    except OSError as reason:
        raise _not_allowed(path, reason) from reason


def read_bytes(path: Path, most_mib: Cited) -> bytes:
    """Give all bytes of a file no larger than a limit.

    Parameters
    ----------
    path
        The file.
    most_mib
        Largest size taken [MiB].

    Raises
    ------
    FileTooLarge
        When the file is larger than the limit.
    FileMissing, FileNotRecognised, FileUnreadable
        As `require_file`.
    """
    require_file(path)
    size_mib = path.stat().st_size / BYTES_A_MEBIBYTE
    if size_mib > most_mib.value:
        raise FileTooLarge(
            f"the file holds {size_mib:,.0f} MiB; at most {most_mib.value:g} MiB are read at once",
            remedy="Cut it into smaller files.",
            where=str(path),
        )
    try:
        return path.read_bytes()
    except OSError as reason:
        raise _not_allowed(path, reason) from reason


def _not_allowed(path: Path, reason: OSError) -> FileMissing:
    return FileMissing(
        f"the file cannot be opened ({reason.strerror or 'no reason given'})",
        remedy="See that you may read it and that its disk is still there.",
        where=str(path),
    )


def name_of(path: Path) -> str:
    """Give a path's last part as it can be written down and printed: what is no text in it is marked."""
    text = os.fsencode(path.name).decode("utf-8", errors="replace")
    return "".join(sign if sign.isprintable() else "\ufffd" for sign in text)
