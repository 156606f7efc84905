"""Lists the pictures in a folder and what lies beside them."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path

from sitebook.errors import FileNotRecognised, SitebookError
from sitebook.intake.files import name_of
from sitebook.intake.recognise import recognise
from sitebook.records.incoming import SortedLine

SMALL_PICTURES = frozenset({"thumbnails", "thumbs", "@eadir", "lost.dir"})
"""Folders, lower case, that machines fill with small copies and leftovers."""

LEFTOVERS = frozenset({"thumbs.db", "desktop.ini", "ehthumbs.db"})
"""Files, lower case, that machines leave in folders of pictures."""


@dataclass(frozen=True)
class PicturesIn:
    """What a folder holds.

    Parameters
    ----------
    pictures
        The pictures, in the order of their paths.
    left_out
        What is no picture, each named with its reason.
    """

    pictures: tuple[Path, ...]
    left_out: tuple[SortedLine, ...]


def pictures_in(folder: Path) -> PicturesIn:
    """List the pictures in a folder and in the folders within it.

    Hidden files and folders, links, small copies and leftovers of the machine are passed over.

    Raises
    ------
    FileNotRecognised
        When it holds no picture.
    """
    pictures, left_out = [], []
    for path in _files(folder):
        reason = _why_not(path)
        if reason is None:
            pictures.append(path)
        else:
            left_out.append(SortedLine("left out", f"{name_within(path, folder)}: {reason}"))
    if not pictures:
        raise FileNotRecognised(
            "this folder holds no picture",
            remedy="Name the other files in it, as in FOLDER/*.gpx.",
            where=str(folder),
        )
    return PicturesIn(tuple(pictures), tuple(left_out))


def _files(folder: Path) -> list[Path]:
    found = []
    for here, folders, files in os.walk(folder):
        folders[:] = sorted(f for f in folders if f[0] != "." and f.casefold() not in SMALL_PICTURES)
        paths = (Path(here) / f for f in files if f[0] != "." and f.casefold() not in LEFTOVERS)
        found += [path for path in paths if not path.is_symlink()]
    return sorted(found)


def _why_not(path: Path) -> str | None:
    try:
        kind = recognise(path)
    except SitebookError as error:
        return error.what
    return None if kind == "photo" else "this is no picture; bring it in by its own name"


def name_within(path: Path, folder: Path) -> str:
    """Give a path from a folder on, as it can be written down and printed."""
    return "/".join(name_of(Path(part)) for part in path.relative_to(folder).parts)
