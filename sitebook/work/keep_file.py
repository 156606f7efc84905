"""Writes a page or file whole or not at all."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterable
from pathlib import Path

from sitebook import errors


def keep_file(path: Path, text: str) -> Path:
    """Write text as UTF-8: into a file beside the place first, then moved there in one step.

    Raises
    ------
    FileNotWritable
        When the folder is missing, write-protected or full; what lay there before stays.
    """
    return keep_bytes(path, text.encode("utf-8"))


def keep_bytes(path: Path, content: bytes) -> Path:
    """Write bytes as `keep_file` writes text; raises as it does."""
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
