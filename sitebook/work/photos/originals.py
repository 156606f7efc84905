"""Copies the originals of photos beside the book, and takes the copies back where nothing is kept."""

from __future__ import annotations

import hashlib
import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from sitebook import errors
from sitebook.store.photos import photo_folder, photo_path

_CHUNK_BYTES = 1 << 20


@dataclass
class Originals:
    """The folder beside a book, and what this act puts into it.

    Parameters
    ----------
    book_path
        Where the book lies.
    made
        Files and folders made so far, in order.
    """

    book_path: Path
    made: list[Path] = field(default_factory=list)

    def keep(self, path: Path, sha256: str, media_type: str) -> Path:
        """Copy one original under its SHA-256; one that lies there already stays.

        Raises
        ------
        BookNotWritable
            When it cannot be copied: the disk is full, or the folder write-protected.
        FileUnreadable
            When its bytes are no longer those that were read.
        """
        kept = photo_path(self.book_path, sha256, media_type)
        try:
            if kept.is_file() and kept.stat().st_size == path.stat().st_size:
                return kept
            for folder in (photo_folder(self.book_path), kept.parent):
                if not folder.is_dir():
                    folder.mkdir()
                    self.made.append(folder)
            partial = _copied(path, kept.parent, sha256)
            partial.replace(kept)
        except OSError as error:
            raise errors.BookNotWritable(
                f"the original cannot be copied beside the book ({error.strerror or error})",
                where=str(path),
                remedy="Make room, or lift the protection; nothing of this try was kept.",
            ) from error
        self.made.append(kept)
        return kept

    def take_back(self) -> None:
        """Remove what this act made; a folder in which something else lies stays."""
        for path in reversed(self.made):
            try:
                path.rmdir() if path.is_dir() else path.unlink()
            except OSError:
                continue


@contextmanager
def keeping_originals(book_path: Path) -> Iterator[Originals]:
    """Give the folder of originals; whatever is put into it goes again if the block fails."""
    originals = Originals(book_path)
    try:
        yield originals
    except BaseException:
        originals.take_back()
        raise


def _require_same(found: str, wanted: str, path: Path) -> None:
    if found != wanted:
        raise errors.FileUnreadable(
            "the file changed while it was read", where=str(path), remedy="Name it again."
        )


def _copied(path: Path, folder: Path, sha256: str) -> Path:
    handle, name = tempfile.mkstemp(dir=folder, prefix=".coming-")
    partial = Path(name)
    try:
        digest = hashlib.sha256()
        with os.fdopen(handle, "wb") as copy, path.open("rb") as original:
            while chunk := original.read(_CHUNK_BYTES):
                digest.update(chunk)
                copy.write(chunk)
            copy.flush()
            os.fsync(copy.fileno())
        _require_same(digest.hexdigest(), sha256, path)
        partial.chmod(0o644)
    except BaseException:
        partial.unlink(missing_ok=True)
        raise
    return partial
