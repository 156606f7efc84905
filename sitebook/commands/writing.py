"""Puts what a command drew in its place, and says which folder had to be made for it."""

from __future__ import annotations

from pathlib import Path

import click


def write(path: Path, content: str | bytes, *, quiet: bool) -> Path:
    """Write a page or file, and tell of a folder that was made for it.

    Parameters
    ----------
    path, content
        Where it goes, and what it holds.
    quiet
        Whether nothing is told, as with --json.
    """
    from sitebook.work.keep_file import folder_to_make, keep_bytes

    folder = folder_to_make(path)
    written = keep_bytes(path, content.encode("utf-8") if isinstance(content, str) else content)
    if folder is not None and not quiet:
        click.echo(f"Made the folder {folder}.")
    return written


def require_own(page: Path | None = None, *, calendar: Path | None = None, gpx: Path | None = None) -> None:
    """Refuse places that hold something else, before a command computes or keeps anything.

    Parameters
    ----------
    page, calendar, gpx
        Where a page, a calendar file and a GPX file are to go; None for none.
    """
    from sitebook.work import keep_file

    keep_file.require_own("page", page)
    keep_file.require_own("calendar file", calendar)
    keep_file.require_own("GPX file", gpx)
