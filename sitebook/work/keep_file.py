"""Writes a page or file whole or not at all."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from sitebook import errors


def keep_file(path: Path, text: str) -> Path:
    """Write text as UTF-8: into a file beside the place first, then moved there in one step.

    Raises
    ------
    FileNotWritable
        When the folder is missing, write-protected or full; what lay there before stays.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, partial = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
        try:
            with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as file:
                file.write(text)
                file.flush()
                os.fsync(file.fileno())
            Path(partial).chmod(0o644)
            Path(partial).replace(path)
        except BaseException:
            Path(partial).unlink(missing_ok=True)
            raise
    except OSError as error:
        raise errors.FileNotWritable(
            f"the file cannot be written ({error.strerror or error})",
            where=str(path),
            remedy="Name another place, or make room; what lay there before is as it was.",
        ) from error
    return path
