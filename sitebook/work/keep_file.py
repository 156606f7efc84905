"""Writes a page or file whole or not at all, and over nothing but an earlier one of its kind."""

from __future__ import annotations

import os
import re
import tempfile
from collections.abc import Iterable
from pathlib import Path

from sitebook import errors
from sitebook.outgo.calendar_file import PRODUCT

HEAD_BYTES = 512
"""From so many bytes at its beginning a file is known for what it is."""
BOOK = (b"SQLite format 3\x00", b"GPKG")
MARKS: dict[str, re.Pattern[bytes]] = {
    "page": re.compile(
        rb'<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        rb'<meta http-equiv="Content-Security-Policy" content="default-src &#39;none&#39;; '
    ),
    "calendar file": re.compile(
        rb"BEGIN:VCALENDAR\r\nVERSION:2\.0\r\nPRODID:" + re.escape(PRODUCT.encode()) + rb"\r\n"
    ),
    "GPX file": re.compile(rb'<\?xml version="1\.0" encoding="UTF-8"\?>\n<gpx [^>]*creator="sitebook"'),
}
"""How each kind of file that sitebook writes again and again begins."""


def keep_file(path: Path, text: str, *, replace: bool = False) -> Path:
    """Write text as UTF-8: into a file beside the place first, then moved there in one step.

    Parameters
    ----------
    path
        Where it goes.
    text
        What it holds.
    replace
        Whether it may go over any file but a book; else over one of its own kind alone.

    Raises
    ------
    BookExists, FileExists
        When a book lies there, or a file that is no earlier one of its kind.
    FileNotWritable
        When the folder is missing, write-protected or full; what lay there before stays.
    """
    return keep_bytes(path, text.encode("utf-8"), replace=replace)


def keep_bytes(path: Path, content: bytes, *, replace: bool = False) -> Path:
    """Write bytes as `keep_file` writes text; raises as it does."""
    _require_place(path, kind_of(content[:HEAD_BYTES]), replace=replace)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, partial = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
            Path(partial).chmod(0o644)
            Path(partial).replace(path)
        except BaseException:
            Path(partial).unlink(missing_ok=True)
            raise
    except OSError as error:
        raise not_writable(path, error) from error
    return path


def require_own(kind: str, *paths: Path | None) -> None:
    """Refuse, before anything is computed, places where a file of a kind will not be written.

    Parameters
    ----------
    kind
        "page", "calendar file" or "GPX file".
    paths
        The places; None for one that was not named.

    Raises
    ------
    BookExists, FileExists, FileNotWritable
        As `keep_file`.
    """
    for path in filter(None, paths):
        _require_place(path, kind, replace=False)


def kind_of(head: bytes) -> str:
    """Name the kind of a file by how it begins; "" for one that is none of `MARKS`."""
    return next((kind for kind, mark in MARKS.items() if mark.match(head)), "")


def folder_to_make(path: Path) -> Path | None:
    """Give the uppermost folder that has to be made for a file; None where its folder is there."""
    missing = [folder for folder in path.absolute().parents if not folder.exists()]
    return missing[-1] if missing else None


def is_book(path: Path) -> bool:
    """Tell whether a file is a book or another GeoPackage; raises FileNotWritable where it cannot be read."""
    head = _head(path)
    return (head[:16], head[68:72]) == BOOK


def _require_place(path: Path, kind: str, *, replace: bool) -> None:
    """Refuse a place where a book lies, or something that is no file of the kind."""
    if path.is_dir() or not (path.exists() or path.is_symlink()):
        return
    if path.is_file() and is_book(path):
        raise errors.BookExists(
            "this is a book or another GeoPackage, no place for a page or file",
            where=str(path),
            remedy="Name another place; nothing was written over.",
        )
    if replace or (path.is_file() and kind and kind_of(_head(path)) == kind):
        return
    raise errors.FileExists(
        f"what lies here is no {kind or 'file'} of sitebook's making",
        where=str(path),
        remedy="Name another place, or move it away; nothing was written over.",
    )


def _head(path: Path) -> bytes:
    try:
        with path.open("rb") as file:
            return file.read(HEAD_BYTES)
    except OSError as error:
        raise not_writable(path, error) from error


def not_writable(path: Path, error: OSError) -> errors.FileNotWritable:
    """Give the error that says why a file cannot be written."""
    return errors.FileNotWritable(
        f"the file cannot be written ({error.strerror or error})",
        where=str(path),
        remedy="Name another place, or make room; what lay there before is as it was.",
    )


def require_free(paths: Iterable[Path]) -> None:
    """Refuse to write where something lies.

    Raises
    ------
    FileExists
        When a file or folder lies at one of the paths.
    """
    for path in paths:
        if path.exists() or path.is_symlink():
            raise errors.FileExists(
                "something lies here already",
                where=str(path),
                remedy="Name another place with --to, or write over it with --replace; nothing was written.",
            )
